"""Time of credit with its full range and 500 simulated maps, a shaft and a thousand shafts, on one core.

By hand: ``python -m tests.bench.bench_credit``.  Never in the suite.  Goals: under 50 ms a shaft after
import, 1,000 shafts under 20 s.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy: one core

import sys
import time

import numpy as np

from fieldapp.base.base_curve import Ground, Nominal
from fieldapp.base.credit import Cover
from fieldapp.base.credit_range import BaseModel, Displacements, credit_range
from fieldapp.base.sediment import SedimentSpread

MAPS, CELLS, POINTS, ROUNDS, SHAFTS = 500, 400, 25, 31, 1000
SPREAD = SedimentSpread(ground_modulus_mpa=(300.0, 1200.0))


def shaft(seed):
    """A base of its own: diameter, ground, nominal, soundings and maps drawn by its number."""
    rng = np.random.default_rng(seed)
    diameter = rng.uniform(1.0, 3.0)
    ground = Ground(diameter, 600.0, 0.25)
    model = BaseModel(ground, Nominal.at_usual_displacement(rng.uniform(4.0, 12.0), diameter))
    places = rng.uniform(-0.3, 0.3, (POINTS, 2)) * diameter
    cover = Cover.of(rng.uniform(0, 0.04, POINTS), np.ones(POINTS), places)
    thick = np.maximum(rng.normal(0.015, 0.012, (MAPS, CELLS)), 0.0)
    return model, cover, Cover.of(thick, np.ones(CELLS))


def timed(model, cover, maps):
    wall, core = time.perf_counter(), time.process_time()
    credit_range(model, cover, SPREAD, Displacements(), maps)
    return time.perf_counter() - wall, time.process_time() - core


def main():
    one = shaft(0)
    first = timed(*one)[0]
    times = np.array([timed(*one) for _ in range(ROUNDS)])
    wall, core = 1000 * np.median(times, axis=0)
    without = np.array([timed(one[0], one[1], None) for _ in range(ROUNDS)])
    total = sum(np.array(timed(*shaft(seed))) for seed in range(1, SHAFTS + 1))
    say = sys.stdout.write
    say(f"one shaft, {MAPS} maps of {CELLS} cells, parameter and modulus range, two displacements\n")
    say(f"  first call {1000 * first:.1f} ms; median {wall:.1f} ms (core {core:.1f} ms), ")
    say(f"least {1000 * times[:, 0].min():.1f} ms; goal 50 ms\n")
    say(f"  without maps: median {1000 * np.median(without[:, 0]):.1f} ms\n")
    say(
        f"{SHAFTS} shafts: {total[0]:.1f} s (core {total[1]:.1f} s), drawing of maps not counted; goal 20 s\n"
    )


if __name__ == "__main__":
    main()
