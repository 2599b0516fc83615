"""Times of area share and sediment map beside general libraries, in one run, on one core.

By hand: ``python -m tests.bench.bench_map`` (shapely and scikit-learn installed).  Never in the suite.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy: one core for both sides

import math
import statistics
import sys
import time
import warnings

import numpy as np
import shapely
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import ConstantKernel, Matern

from fieldapp.base.areas import nearest_point_areas
from fieldapp.base.assured import AskedOfBase, assured_share
from fieldapp.base.bounds import soundings_needed
from fieldapp.base.covariance import FieldModel, condition, draw_fields
from fieldapp.base.disk import BaseDisk
from fieldapp.base.grid import disk_grid
from fieldapp.base.next_sounding import next_sounding
from fieldapp.base.sediment_map import Draws, Soundings, sediment_map, simulate

DISK = BaseDisk(1.5)
POINTS, SIMULATIONS, ROUNDS, MM = 25, 500, 21, 1e-3


def scattered() -> tuple[np.ndarray, np.ndarray]:
    rng = np.random.default_rng(1)
    r, angle = DISK.radius_m * np.sqrt(rng.random(POINTS)), rng.random(POINTS) * 2 * math.pi
    return np.stack([r * np.cos(angle), r * np.sin(angle)], axis=1), rng.random(POINTS) * 0.025


def milliseconds(work):
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1e3


def say(what, work, other="", other_work=None):
    """Medians of rounds taken in turn, so that a busy machine slows both sides alike."""
    rounds = [(milliseconds(work), milliseconds(other_work or int)) for _ in range(ROUNDS + 1)][1:]
    ours, theirs = (statistics.median(side) for side in zip(*rounds, strict=True))
    line = f"{what:58} {ours:8.2f} ms"
    if other:
        ratio = statistics.median(b / a for a, b in rounds)
        line += f"   {other} {theirs:8.2f} ms, {ratio:.1f} times as long"
    sys.stdout.write(line + "\n")


def voronoi_areas(xy):
    disk = shapely.Point(0, 0).buffer(DISK.radius_m, quad_segs=64)
    cells = shapely.get_parts(shapely.voronoi_polygons(shapely.multipoints(xy), extend_to=disk))
    return shapely.area(shapely.intersection(cells, disk))


def our_field(xy, thickness, seed):
    model = FieldModel(8 * MM, 0.5 * DISK.radius_m, (4 * MM) ** 2, 12 * MM)
    field = condition(xy, thickness, disk_grid(DISK).xy_m, model)
    return field.mean_m, field.variance_m2, draw_fields(field, SIMULATIONS, seed)


def their_field(xy, thickness, seed):
    """The same field in millimetres: Matern 1/2 is exp(-h/l), alpha the nugget, known mean 12 mm."""
    kernel = ConstantKernel(64.0) * Matern(0.5 * DISK.radius_m, nu=0.5)
    process = GaussianProcessRegressor(kernel, alpha=16.0, optimizer=None).fit(xy, thickness / MM - 12)
    cells = disk_grid(DISK).xy_m
    mean, sd = process.predict(cells, return_std=True)
    return (mean + 12) * MM, (sd * MM) ** 2, process.sample_y(cells, SIMULATIONS, random_state=seed)


def main() -> None:
    warnings.simplefilter("ignore", RuntimeWarning)  # the peer's covariance is singular to rounding
    xy, thickness = scattered()
    soundings = Soundings(DISK, xy, thickness.tolist())
    asked = AskedOfBase(0.0127, True, 0.5)
    nine = Soundings(DISK, xy[:9], thickness[:9].tolist())
    ours, theirs = our_field(xy, thickness, 1), their_field(xy, thickness, 1)
    gaps = [np.abs(a / b - 1).max() for a, b in zip(ours[:2], theirs[:2], strict=True)]
    sys.stdout.write(f"largest relative gap to scikit-learn: mean {gaps[0]:.1e}, variance {gaps[1]:.1e}\n")
    say(
        "areas of 25 points",
        lambda: nearest_point_areas(xy, DISK.radius_m),
        "shapely Voronoi",
        lambda: voronoi_areas(xy),
    )
    say(
        "mean, variance, 500 fields, 25 points, 400 cells",
        lambda: our_field(xy, thickness, 1),
        "scikit-learn",
        lambda: their_field(xy, thickness, 1),
    )
    say("map with fitted length and 500 simulated maps", lambda: simulated(soundings))
    say("share as measured and assured, by length too", lambda: assured(soundings, asked))
    say("next sounding of 9 points", lambda: next_sounding(nine, asked, Draws(SIMULATIONS, 1)))
    say("soundings needed for 90 % with 3 over", lambda: soundings_needed(0.9, 3, 0.05))


def simulated(soundings):
    return simulate(sediment_map(soundings), Draws(SIMULATIONS, 1))


def assured(soundings, asked):
    return assured_share(soundings, asked, 0.95, Draws(SIMULATIONS, 1))


if __name__ == "__main__":
    main()
