"""Head curve of 40 points, clean and as built, beside the same model in a general finite-element library.

By hand: ``python -m tests.bench.bench_head_curve`` (openseespy installed).  Never in the suite.  Goal: at
least 50 times faster in one run, agreeing to 1e-4.  The library is timed without its import, with the
steps of 0.1 mm of the stated model, and with one step a point, which is the least it could do.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy: one core for both sides

import statistics
import sys
import time

import numpy as np

from fieldapp.base.credit import Cover
from fieldapp.base.head_curve import head_curve, head_curves
from fieldapp.base.head_march import ShaftBody
from fieldapp.base.side_curve import Side, SideLayer
from tests.base.oracle import ask, case_of
from tests.base.worth import CHECKS, model_of, sediment_of
from tests.bench.peers import Beside

HEADS_M = np.linspace(0.0019, 0.0760, 40)
ROUNDS, REPEATS = 31, 5
NAMES = ("clean", "as built")


def reference():
    inputs = CHECKS["J-w2"]["inputs"]
    layer = SideLayer(inputs["length_m"], CHECKS["J1"]["expected"]["unit_side_MPa"], 0.006)
    shaft = ShaftBody(inputs["diameter_m"], Side((layer,)), inputs["concrete_modulus_MPa"])
    cover = Cover.of(np.array(inputs["thickness_mm"]) / 1000, inputs["area_weight"])
    return shaft, model_of(inputs), cover, sediment_of(inputs)


def median_ms(work, rounds=ROUNDS):
    took = []
    for _ in range(rounds):
        started = time.perf_counter()
        work()
        took.append(time.perf_counter() - started)
    return 1000 * statistics.median(took)


def oracle(step_m):
    """Rows of the library and the median milliseconds of clean and as-built together."""
    cases = {f"{n} {i}": case_of(HEADS_M, n == "clean", step_m) for n in NAMES for i in range(REPEATS)}
    answer, why = ask({"cases": cases})
    if answer is None:
        sys.exit(f"the library does not load: {why}")
    took = [1000 * sum(answer[f"{n} {i}"]["seconds"] for n in NAMES) for i in range(REPEATS)]
    return {n: np.array(answer[f"{n} 0"]["rows"]) for n in NAMES}, statistics.median(took)


def beside():
    """Ours beside the library in the steps of the stated model; asked for is a fiftieth of its time."""
    shaft, model, cover, sediment = reference()
    ours_ms = median_ms(lambda: head_curves(shaft, model, cover, sediment, HEADS_M))
    what = "combined curve of 40 points, clean and built"
    return Beside(what, "general finite-element library", (ours_ms, oracle(1e-4)[1]), 1 / 50)


def main():
    shaft, model, cover, sediment = reference()
    ours = head_curves(shaft, model, cover, sediment, HEADS_M)
    exact_ms = median_ms(lambda: head_curves(shaft, model, cover, sediment, HEADS_M))
    march_ms = median_ms(
        lambda: head_curve(shaft, lambda w: model.ground.area_m2 * model.curve.clean_mpa(w), HEADS_M, 400), 5
    )
    rows, fine_ms = oracle(1e-4)
    _, coarse_ms = oracle(1.0)
    off = max(
        float(np.abs(curve.head_mn / rows[name][:, 0] - 1).max())
        for curve, name in zip((ours.clean, ours.as_built), NAMES, strict=True)
    )
    say = sys.stdout.write
    say(f"40 head displacements, clean and as built: {exact_ms:.2f} ms, exact layers\n")
    say(f"finite elements, steps of 0.1 mm: {fine_ms:.0f} ms, {fine_ms / exact_ms:.0f} times ours\n")
    say(f"finite elements, one step a point: {coarse_ms:.0f} ms, {coarse_ms / exact_ms:.0f} times ours\n")
    say(f"worst relative difference of the head load: {off:.1e}; goals 50 times and 1e-4\n")
    say(f"marching in 400 slices, one curve: {march_ms:.0f} ms (shapes other than elastic-plastic)\n")


if __name__ == "__main__":
    main()
