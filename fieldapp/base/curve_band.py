"""Base load against base displacement, clean and as built, with the range that doubt leaves open.

Every point is the credit at that displacement, asked in the same way as at service and strength: a curve
and the table beside it cannot disagree.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from fieldapp.base.credit import Cover
from fieldapp.base.credit_facts import CreditAt
from fieldapp.base.credit_range import BaseModel, Displacements, credit_range
from fieldapp.base.disk import FloatArray
from fieldapp.base.grid import read_only
from fieldapp.base.quantities import DISPLACEMENT, checked
from fieldapp.base.sediment import SedimentSpread
from fieldapp.units import OutOfRange

_BEYOND: Final = 1.1
_SAMPLES: Final = 20


@dataclass(frozen=True, slots=True, eq=False)
class CurveBand:
    """Base displacements [m] and base loads [MN], all of shape (n,), in rising order from 0.

    ``low_mn`` is the least of all credits told, over parameters and maps, times the clean load;
    ``high_mn`` the greatest over the parameters.
    """

    moved_m: FloatArray
    clean_mn: FloatArray
    low_mn: FloatArray
    best_mn: FloatArray
    high_mn: FloatArray


def curve_band(
    model: BaseModel,
    cover: Cover,
    spread: SedimentSpread,
    displacement_m: ArrayLike,
    maps: Cover | None = None,
) -> CurveBand:
    """Clean curve and as-built curves at base displacements [m], more than 0 and at most 5, shape (n,).

    Point by point what ``credit_range`` tells with the same arguments.  Raises OutOfRange as that does,
    and for displacements that do not rise or are none.
    """
    moved = checked(DISPLACEMENT, displacement_m)
    if moved.ndim != 1 or not len(moved) or (np.diff(moved) <= 0).any():
        raise OutOfRange("displacements of a base curve", f"shape {moved.shape}", "(n,), in rising order")
    told: list[CreditAt] = []
    for first, then in _pairs(moved):
        asked = credit_range(model, cover, spread, Displacements(first, then), maps)
        told += [asked.service, asked.strength]
    rows = [
        (each.clean_mn, each.lowest * each.clean_mn, each.as_built_mn, each.greatest.credit * each.clean_mn)
        for each in told[: len(moved)]
    ]
    loads = np.array([(0.0, 0.0, 0.0, 0.0), *rows])
    return CurveBand(read_only(np.concatenate([[0.0], moved])), *(read_only(each) for each in loads.T.copy()))


def band_displacements_m(service_m: float, strength_m: float) -> FloatArray:
    """Where to sample a band [m]: both displacements, and others up to a little beyond the greater.

    More than 0 and at most 4.5 m, else OutOfRange.  Closer together at small displacements, where the
    curves bend most.
    """
    DISPLACEMENT.check(service_m, strength_m, _BEYOND * max(service_m, strength_m))
    end = _BEYOND * max(service_m, strength_m)
    return np.unique([*(end * (np.arange(1, _SAMPLES + 1) / _SAMPLES) ** 2), service_m, strength_m])


def _pairs(moved: FloatArray) -> Iterator[tuple[float, float]]:
    for at in range(0, len(moved), 2):
        yield float(moved[at]), float(moved[min(at + 1, len(moved) - 1)])
