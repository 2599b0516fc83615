"""Reads a base load test: does it start flat, at what displacement does the base close, and why.

A base that moves freely before it takes load has something soft under it.  A plunge of the side below
the load cell looks alike; where the cell stood tells them apart, and when that is not known the cause
is not told.  Nothing read here is adopted: the designer does that, as an entry.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, TypeAlias

import numpy as np

from fieldapp.base.closure import (
    CARRIED_BACK,
    Bend,
    Estimate,
    Pieces,
    carried_back,
    greatest_stiffening,
    locking,
    pieces,
    tangent,
)
from fieldapp.base.disk import FloatArray
from fieldapp.base.measured_curve import LoadTest

LEAST_POINTS: Final = 8

# Judgment: how a curve is sorted.  The flat piece has at most a third of the later slope; less than
# 0.5 mm is not read as a free movement; a load counts when over 2 % of the greatest; a cell within
# 0.15 m of the base stands on it; a side in rock slips within 10 mm.
_FLAT_OF_STEEP: Final = 1 / 3
_LEAST_CLOSURE_M: Final = 0.0005
_LOAD_THAT_COUNTS: Final = 0.02
_LOAD_GAINED: Final = 0.2
_ON_BASE_M: Final = 0.15
_SLIP_M: Final = 0.010
_LEVEL_OF_STEEP: Final = 0.05
_UP_TO_FLAT: Final = 0.95
_GOOD_READING: Final = 0.08

_FROM_THE_FIRST: Final = "No flat start can be told: the load rises from the first movement."


class Cause(StrEnum):
    """What the start of the curve says, together with the place of the load cell."""

    SOFT_BASE = "soft base"
    SIDE_SLIPS_THEN_SOFT_BASE = "the side below the load cell slips first, then a soft base closes"
    SIDE_SLIPS_NO_BASE = "the side below the load cell slips and the base does not come in"
    NOT_TOLD = "not told"


@dataclass(frozen=True, slots=True)
class Closure:
    """A flat start, and the displacement at which the base closed [m], counted from where it moved freely.

    ``closure_m`` is best, between ``low_m`` (the lowest reading less two standard errors) and
    ``high_m``; ``readings`` are the methods one by one, those with an error over 8 % of themselves
    left out of the range.  ``free_from_m`` is where the free movement
    began, ``free_load_mn`` the load that it went on at; ``side_below_mpa`` is that load on the side below
    the cell where it slipped first, None where it did not or the diameter is not known.
    """

    closure_m: float
    low_m: float
    high_m: float
    readings: tuple[Estimate, ...]
    free_from_m: float
    free_load_mn: float
    stiffness_mn_per_m: float
    cause: Cause
    side_below_mpa: float | None
    points_used: int


@dataclass(frozen=True, slots=True)
class NoClosure:
    """No flat start to read, why, and what the curve says instead."""

    reason: str
    cause: Cause
    points_used: int


Reading: TypeAlias = Closure | NoClosure


def read_load_test(test: LoadTest) -> Reading:
    """Find the flat start of the base curve and the displacement at closure.

    Only points that go further than all before them are used, so unloading is left out.  Straight
    pieces through neighbouring points give the flat one and the steeper one after it; closure is
    where the base takes load in earnest, read in three ways (fieldapp.base.closure).  Best is the
    hyperbola carried back, else the tangent.  The thresholds are judgment.

    Returns
    -------
    Closure, or NoClosure with fewer than 8 points, without a flat start, or when the load never rises
    again after it.

    Raises
    ------
    OutOfRange
        By the curve itself, when it is made.
    """
    w, q = test.base.forward()
    if len(w) < LEAST_POINTS:
        found = f"The curve has {len(w)} usable points; a flat start needs at least {LEAST_POINTS}."
        return NoClosure(found, Cause.NOT_TOLD, len(w))
    lines = pieces(w, q)
    bend = greatest_stiffening(lines)
    if bend is None or not _is_flat_start(lines, bend, q):
        return _no_flat_start(test, w, q, lines)
    start_m, load_mn = _free_movement(lines, bend, w, q)
    past = w >= start_m
    readings = _readings(lines, bend, load_mn, start_m, (w[past], q[past]))
    best = next((each for each in readings if each.method == CARRIED_BACK), next(iter(readings), None))
    if best is None or best.value_m - 2 * best.error_m <= _LEAST_CLOSURE_M:
        return NoClosure(_FROM_THE_FIRST, Cause.NOT_TOLD, len(w))
    good = [each for each in readings if each is best or each.error_m <= _GOOD_READING * each.value_m]
    low = min(each.value_m - 2 * each.error_m for each in good)
    high = max(each.value_m + 2 * each.error_m for each in good)
    cause = _cause(test, load_came_first=start_m > w[0])
    side = _side_below_mpa(test, load_mn) if cause is Cause.SIDE_SLIPS_THEN_SOFT_BASE else None
    return Closure(
        best.value_m, max(low, 0.0), high, readings, start_m, load_mn, bend.steep_slope, cause, side, len(w)
    )


def _is_flat_start(lines: Pieces, bend: Bend, q: FloatArray) -> bool:
    """Flat against what follows, and what follows carries a good part of the load."""
    gained = q.max() - q[bend.flat : bend.flat + lines.size].mean()
    return bend.flat_slope <= _FLAT_OF_STEEP * bend.steep_slope and bool(gained >= _LOAD_GAINED * q.max())


def _no_flat_start(test: LoadTest, w: FloatArray, q: FloatArray, lines: Pieces) -> NoClosure:
    """A plunge: nearly all the load within a slip, and level from there over at least as much again."""
    reached = float(w[int(np.argmax(q >= 0.9 * q.max()))])
    level = lines.slope[-1] <= _LEVEL_OF_STEEP * lines.slope.max()
    if level and reached <= _SLIP_M and w[-1] >= 3 * max(reached, _LEAST_CLOSURE_M):
        above = test.cell_above_base_m is not None and test.cell_above_base_m > _ON_BASE_M
        cause = Cause.SIDE_SLIPS_NO_BASE if above else Cause.NOT_TOLD
        return NoClosure(
            "The load comes at once and then stays level; it does not rise again.", cause, len(w)
        )
    return NoClosure(_FROM_THE_FIRST, Cause.NOT_TOLD, len(w))


def _free_movement(lines: Pieces, bend: Bend, w: FloatArray, q: FloatArray) -> tuple[float, float]:
    """Where the free movement begins [m] and the load [MN] that it goes on at.

    When load came first, that is where the curve comes up to the level of the flat piece: the median
    load before closure, reached at least three times as steeply as it is left.  Else the first point.
    """
    first = float(w[0]), float(q[0])
    level = float(q[bend.flat : bend.flat + lines.size].mean())
    before = w < tangent(lines, bend, level).value_m
    plateau = float(np.median(q[before])) if before.any() else 0.0
    up = int(np.argmax(q >= _UP_TO_FLAT * plateau))
    if plateau <= _LOAD_THAT_COUNTS * q.max() or q[0] >= plateau / 2 or not before[up]:
        return first
    last = int(np.flatnonzero(before)[-1])
    share = float((_UP_TO_FLAT * plateau - q[up - 1]) / (q[up] - q[up - 1]))
    start = float(w[up - 1] + share * (w[up] - w[up - 1]))
    rise, after = plateau / (start - w[0]), (q[last] - q[up]) / max(w[last] - w[up], _LEAST_CLOSURE_M)
    return (start, plateau) if rise >= after / _FLAT_OF_STEEP else first


def _readings(
    lines: Pieces, bend: Bend, load_mn: float, start_m: float, past: tuple[FloatArray, FloatArray]
) -> tuple[Estimate, ...]:
    """The three readings, counted from the start of the free movement; those that cannot be made left out."""
    w, q = past[0] - start_m, past[1] - load_mn
    straight = tangent(lines, bend, load_mn)
    found = [Estimate(straight.method, straight.value_m - start_m, straight.error_m)]
    found += [each for each in (carried_back(w, q), locking(w, q)) if each is not None]
    return tuple(each for each in found if math.isfinite(each.value_m) and math.isfinite(each.error_m))


def _side_below_mpa(test: LoadTest, load_mn: float) -> float | None:
    height, diameter = test.cell_above_base_m, test.diameter_m
    if height is None or diameter is None:
        return None
    return load_mn / (math.pi * diameter * height)


def _cause(test: LoadTest, load_came_first: bool) -> Cause:
    """Soft base or slip of the side below the cell; without the place of the cell it is not told."""
    if test.cell_above_base_m is None:
        return Cause.NOT_TOLD
    on_base = test.cell_above_base_m <= _ON_BASE_M
    if not load_came_first:
        return Cause.SOFT_BASE
    return Cause.NOT_TOLD if on_base else Cause.SIDE_SLIPS_THEN_SOFT_BASE
