"""A measured load test: curves of load against displacement, and where the load cell stood.

Readings as they were made; nothing is smoothed.  A file is read into this elsewhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from fieldapp.base.disk import DIAMETER, FloatArray
from fieldapp.units import OutOfRange, Range

MOVEMENT: Final = Range("displacement in a load test", "m", -0.05, 2.0)
LOAD: Final = Range("load in a load test", "MN", -0.5, 1000.0)
CELL_HEIGHT: Final = Range("height of the load cell above the base", "m", 0.0, 300.0)
MOST_POINTS: Final = 10_000
_GROUPS: Final = 400


@dataclass(frozen=True, slots=True)
class MeasuredCurve:
    """Displacement [m] and load [MN] in the order read, compression and movement positive.

    At most 10 000 points, displacement -0.05 to 2 m, load -0.5 to 1000 MN, else OutOfRange.
    """

    displacement_m: tuple[float, ...]
    load_mn: tuple[float, ...]

    def __post_init__(self) -> None:
        MOVEMENT.check(*self.displacement_m)
        LOAD.check(*self.load_mn)
        if not 1 <= len(self.load_mn) == len(self.displacement_m) <= MOST_POINTS:
            counts = f"{len(self.load_mn)} for {len(self.displacement_m)} displacements"
            raise OutOfRange("number of loads", counts, f"one for each, 1 to {MOST_POINTS}")

    def forward(self) -> tuple[FloatArray, FloatArray]:
        """Displacement and load of the points that go further than all before them, shapes (n,).

        Unloading and reloading are left out; of several points at one place the mean load counts, and
        more than 400 points are gathered into 400 groups of neighbours, each by its mean.
        """
        w, q = (np.asarray(each, dtype=np.float64) for each in (self.displacement_m, self.load_mn))
        onward = w >= np.maximum.accumulate(w)
        places, at = np.unique(w[onward], return_inverse=True)
        load = np.bincount(at, weights=q[onward]) / np.bincount(at)
        if len(places) <= _GROUPS:
            return places, load
        group = np.arange(len(places)) * _GROUPS // len(places)
        size = np.bincount(group)
        return np.bincount(group, weights=places) / size, np.bincount(group, weights=load) / size


@dataclass(frozen=True, slots=True)
class LoadTest:
    """A load test: the curve of the base (downward), that above the cell (upward), and where the cell was.

    ``cell_above_base_m`` 0 to 300 m, diameter more than 0 and at most 20 m, None unknown; else OutOfRange.
    """

    base: MeasuredCurve
    upward: MeasuredCurve | None = None
    cell_above_base_m: float | None = None
    diameter_m: float | None = None

    def __post_init__(self) -> None:
        if self.cell_above_base_m is not None:
            CELL_HEIGHT.check(self.cell_above_base_m)
        if self.diameter_m is not None:
            DIAMETER.check(self.diameter_m)
