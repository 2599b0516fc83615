"""How much of the base lies within a thickness limit, told as separate facts.

A point without a reading makes share, largest and mean unknown; at most the two bounds are given,
that point clean and that point dirty.  Nothing here decides: rules hold these facts against limits.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from fieldapp.units import Number, OutOfRange, Range

_THICKNESS: Final = Range("sediment thickness", "m", 0.0, 100.0)
_LIMIT: Final = Range("thickness limit", "m", 0.0, 100.0)
_WEIGHT: Final = Range("weight of a point", "", 0.0, 1e9)
_SHARE: Final = Range("asked share of the area", "", 0.0, 1.0)
_POINTS: Final = Range("number of points", "", 1, 10_000)
_SHARE_STEPS: Final = 10**9


@dataclass(frozen=True, slots=True)
class Cleanliness:
    """Facts of one round: exact ratios of the area, and thicknesses in metres; None is unknown."""

    share: Fraction | None
    share_if_unknown_clean: Fraction
    share_if_unknown_dirty: Fraction
    largest_m: Fraction | None
    largest_known_m: Fraction | None
    mean_m: Fraction | None
    unread: int


def share_within(
    thickness_m: Sequence[Number | None], weights: Sequence[Number], limit_m: Number, strict: bool
) -> Cleanliness:
    """Share of the area whose thickness is within the limit, with largest and area-weighted mean.

    f = sum w_i [t_i < limit] / sum w_i, with <= unless ``strict``; mean = sum w_i t_i / sum w_i.

    Parameters
    ----------
    thickness_m
        One a point [m], 0 to 100; None where there is no reading.  Compared exactly, so give
        readings as fractions: 1/2 in is 127/10000 m.
    weights
        One a point, the area of its cell or any share of it; 0 or more, not all 0.
    limit_m
        Limit of the thickness [m].
    strict
        True asks for less than the limit, False allows the limit itself.

    Raises
    ------
    OutOfRange
        No point, a negative thickness, weights that do not match, a value that is not a number.

    Notes
    -----
    Shares from weights that are all fractions or whole numbers are exact.  With a float among them
    they are rounded to 1e-9 of the area, so that two of four equal quadrants are one half and not a
    hair less.  Rule and strictness: FHWA and AASHTO drilled shaft specifications (memory: sure),
    limits by document in acceptance sets; bounds with a point unread: judgment.
    """
    _check(thickness_m, weights, limit_m)
    parts = [Fraction(w) for w in weights]
    whole = sum(parts, Fraction(0))
    limit = Fraction(limit_m)
    known = [(Fraction(t), w) for t, w in zip(thickness_m, parts, strict=True) if t is not None]
    unread = len(parts) - len(known)
    within = sum((w for t, w in known if t < limit or (t == limit and not strict)), Fraction(0))
    beyond = sum((w for t, w in known if t > limit or (t == limit and strict)), Fraction(0))
    rounded = any(isinstance(w, float) for w in weights)
    dirty, clean = (_tidy(x / whole, rounded) for x in (within, whole - beyond))
    largest = max((t for t, _ in known), default=None)
    mean = sum((t * w for t, w in known), Fraction(0)) / whole
    return Cleanliness(
        share=None if unread else dirty,
        share_if_unknown_clean=clean,
        share_if_unknown_dirty=dirty,
        largest_m=None if unread else largest,
        largest_known_m=largest,
        mean_m=None if unread else mean,
        unread=unread,
    )


def points_needed(points: int, share_min: Number) -> int:
    """Least number of equal points within the limit for a share: the least k with k/n >= share.

    n equal points resolve the area only in steps of 1/n (arithmetic; calculated).  ``points`` 1 to
    10 000, ``share_min`` 0 to 1, else OutOfRange.
    """
    _POINTS.check(points)
    _SHARE.check(share_min)
    return math.ceil(points * Fraction(share_min))


def _check(thickness_m: Sequence[Number | None], weights: Sequence[Number], limit_m: Number) -> None:
    _POINTS.check(len(thickness_m))
    if len(weights) != len(thickness_m):
        raise OutOfRange("number of weights", str(len(weights)), f"{len(thickness_m)}, one for each point")
    _THICKNESS.check(*(t for t in thickness_m if t is not None))
    _WEIGHT.check(*weights)
    _LIMIT.check(limit_m)
    if not any(w > 0 for w in weights):
        raise OutOfRange("sum of the weights", "0", "more than 0")


def _tidy(share: Fraction, rounded: bool) -> Fraction:
    return Fraction(round(share * _SHARE_STEPS), _SHARE_STEPS) if rounded else share
