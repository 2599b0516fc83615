"""Head of the fluid over the piezometric level, at readings and over a stretch of time.

Head is a difference of elevations.  It holds against the highest of several strata, and an unknown
level leaves it unknown.  Time without a reading counts as not shown: nothing between two readings is
interpolated.  Sums and comparisons keep fractions exact, so that a head at its limit is a tie.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from fieldapp.units import Number, OutOfRange, Range

_ELEVATION: Final = Range("elevation", "m", -12_000.0, 9_000.0)
_INTERVAL: Final = Range("longest time between readings", "s", 0.0, 366 * 86_400.0, open_below=True)
_RISE: Final = Range("rise of the water", "m", 0.0, 100.0)
_WINDOW: Final = Range("time of the seepage reading", "s", 0.0, 86_400.0, open_below=True)
_AREA: Final = Range("area of the hole", "m2", 0.0, 400.0, open_below=True)


@dataclass(frozen=True, slots=True)
class HeadReading:
    """Head over the piezometric level [m] at a time [s]; ``head_m`` None: read, but not known."""

    at_s: float
    head_m: Number | None


@dataclass(frozen=True, slots=True)
class Gap:
    """A stretch of time without a reading, longer than allowed."""

    from_s: float
    until_s: float


@dataclass(frozen=True, slots=True)
class HeadRecord:
    """What the readings of a period show: the lowest head seen, and the time not shown."""

    readings: int
    lowest: HeadReading | None
    gaps: tuple[Gap, ...]

    @property
    def not_shown_s(self) -> float:
        """Sum of the gaps [s]."""
        return sum(gap.until_s - gap.from_s for gap in self.gaps)

    @property
    def shown_throughout(self) -> bool:
        """Whether there is a reading, and no gap."""
        return self.readings > 0 and not self.gaps


def head_m(fluid_elevation_m: Number, piezometric_elevation_m: Number) -> Number:
    """Head [m]: fluid elevation minus piezometric elevation; negative when the fluid stands lower.

    Elevations -12 000 to 9 000 m on one datum, else OutOfRange.  Arithmetic; mathematics.
    """
    _ELEVATION.check(fluid_elevation_m, piezometric_elevation_m)
    return fluid_elevation_m - piezometric_elevation_m


def head_over_highest_m(
    fluid_elevation_m: Number, piezometric_elevations_m: Sequence[Number | None]
) -> Number | None:
    """Head [m] over the highest piezometric level of all strata; None while one of them is unknown.

    Elevations -12 000 to 9 000 m; at least one stratum, else OutOfRange.  Holding the head against
    the highest level: standards survey, head rules (H2 memory: fair).
    """
    if not piezometric_elevations_m:
        raise OutOfRange("number of piezometric levels", "0", "at least 1")
    known = [level for level in piezometric_elevations_m if level is not None]
    if len(known) < len(piezometric_elevations_m):
        _ELEVATION.check(fluid_elevation_m, *known)
        return None
    return min(head_m(fluid_elevation_m, level) for level in known)


def heads_over(
    levels: Sequence[tuple[float, Number]], piezometric_elevations_m: Sequence[Number | None]
) -> tuple[HeadReading, ...]:
    """Head readings from (time [s], fluid elevation [m]) pairs over the same strata.  Raises OutOfRange."""
    return tuple(HeadReading(t, head_over_highest_m(z, piezometric_elevations_m)) for t, z in levels)


def lowest_head(readings: Sequence[HeadReading]) -> HeadReading | None:
    """The reading with the lowest known head, the first of equals; None when no head is known."""
    best: HeadReading | None = None
    lowest: Number | None = None
    for reading in readings:
        if reading.head_m is not None and (lowest is None or reading.head_m < lowest):
            best, lowest = reading, reading.head_m
    return best


def head_record(
    readings: Sequence[HeadReading], longest_interval_s: float, from_s: float, until_s: float
) -> HeadRecord:
    """What readings show of the head from ``from_s`` to ``until_s``.

    A gap is a stretch longer than ``longest_interval_s`` between one known reading and the next, or
    between an end of the period and the nearest reading; the whole stretch counts as not shown, and
    without any reading the whole period does.
    Readings with an unknown head, or outside the period, are left aside.  The lowest head is the
    lowest that was seen; between readings it may have been lower.

    Raises OutOfRange when readings are out of order, the period ends before it starts, or the
    interval is not more than 0 s and at most a year.  Counting unread time as not shown: judgment.
    """
    _INTERVAL.check(longest_interval_s)
    if not from_s <= until_s:
        raise OutOfRange("end of the period", f"{until_s:g} s", f"at or after its start at {from_s:g} s")
    for earlier, later in pairwise(readings):
        if not earlier.at_s <= later.at_s:
            raise OutOfRange("time of a reading", f"{later.at_s:g} s", f"at or after {earlier.at_s:g} s")
    seen = [r for r in readings if r.head_m is not None and from_s <= r.at_s <= until_s]
    ends = [from_s, *(r.at_s for r in seen), until_s]
    longest_s = longest_interval_s if seen else 0
    gaps = tuple(Gap(a, b) for a, b in pairwise(ends) if b - a > longest_s)
    return HeadRecord(len(seen), lowest_head(seen), gaps)


def seepage_rate_m_per_s(rise_m: Number, time_s: Number) -> Number:
    """Rate at which water rises on the base [m/s], pumps off: rise over time.

    Rise 0 to 100 m, time more than 0 and at most a day, else OutOfRange.  Exact for fractions: 1 in
    in 5 min is 12 in/h and not over it.  Arithmetic; the 5 min window is calculated from rule W1.
    """
    _RISE.check(rise_m)
    _WINDOW.check(time_s)
    return rise_m / time_s


def seepage_inflow_m3_per_s(rise_m: Number, time_s: Number, area_m2: float) -> float:
    """Inflow [m3/s] that lifts the water on a base of this area: rise x area/time.

    Area more than 0 and at most 400 m2; rise and time as seepage_rate_m_per_s; else OutOfRange.
    Geometry; mathematics.
    """
    _AREA.check(area_m2)
    return float(seepage_rate_m_per_s(rise_m, time_s)) * area_m2
