"""Ranges of the quantities that bearing, credit and load transfer share, and one check for arrays.

The ranges say for which numbers the formulas are stated, wide enough for their limiting cases; they are
not advice.  A value that is not a number lies outside every range.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from fieldapp.base.disk import FloatArray
from fieldapp.units import Range

ATMOSPHERE_MPA: Final = 0.101325

ROCK_MODULUS: Final = Range("modulus of the ground below the base", "MPa", 0.0, 500_000.0, open_below=True)
CONCRETE_MODULUS: Final = Range("modulus of the concrete", "MPa", 0.0, 1e6, open_below=True)
POISSON: Final = Range("Poisson's ratio", "", 0.0, 0.5)
STRENGTH: Final = Range("compressive strength", "MPa", 0.0, 500.0, open_below=True)
UNIT_BASE: Final = Range("unit base resistance", "MPa", 0.0, 1000.0, open_below=True)
UNIT_SIDE: Final = Range("unit side resistance", "MPa", 0.0, 50.0)
FORCE: Final = Range("force", "MN", 0.0, 1e5)
LENGTH: Final = Range("length of the shaft", "m", 0.0, 300.0, open_below=True)
DISPLACEMENT: Final = Range("displacement", "m", 0.0, 5.0, open_below=True)
SEDIMENT: Final = Range("sediment thickness", "m", 0.0, 100.0)
WEIGHT: Final = Range("weight of a cell", "", 0.0, 1e9)
CREDIT: Final = Range("credit", "", 0.0, 1.0, open_below=True)
FACTOR: Final = Range("resistance factor", "", 0.0, 1.0)


def checked(limits: Range, values: ArrayLike) -> FloatArray:
    """The values as an array of floats, any shape.  Raises OutOfRange for the first one outside the range."""
    array = np.asarray(values, dtype=np.float64)
    outside = ~((array >= limits.least) & (array <= limits.most))
    if limits.open_below:
        outside |= array == limits.least
    if outside.any():
        limits.check(float(array[outside][0]))
    return array
