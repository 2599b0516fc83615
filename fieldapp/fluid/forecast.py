"""How long a clean base stays clean: settling of the sand that is still in the column, against time.

From samples at their depths to low, best and high courses of the thickness.  What was not measured is
named and gives a lesser answer, down to none; no number is made up for it.  An estimate to plan the
next sounding by: only a sounding shows the thickness.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, TypeAlias

from fieldapp.fluid.deposit import TIME
from fieldapp.fluid.settling_set import DEFAULT_SETS, Assumption, SettlingSet
from fieldapp.fluid.suspended import Basis, Course, FluidColumn, course_of, sampled
from fieldapp.units import Number, OutOfRange, Range

_THICKNESS: Final = Range("sediment thickness", "m", 0.0, 100.0)


@dataclass(frozen=True, slots=True)
class ThicknessLimit:
    """A limit on the thickness [m] (0 to 100 m); ``strict`` asks for less than it."""

    thickness_m: Number
    strict: bool = False

    def __post_init__(self) -> None:
        _THICKNESS.check(self.thickness_m)

    def broken_by(self, thickness_m: float) -> bool:
        """Whether a thickness [m] does not keep the limit."""
        return thickness_m > self.thickness_m or (self.strict and thickness_m == self.thickness_m)


@dataclass(frozen=True, slots=True)
class Outlook:
    """What is asked: thickness now (None: not shown), times [s] after now in order, and a limit.

    The last time is the horizon.  Thickness 0 to 100 m, times 0 to 1e9 s, else OutOfRange.
    """

    thickness_now_m: Number | None
    times_s: tuple[float, ...]
    limit: ThicknessLimit | None = None

    def __post_init__(self) -> None:
        if self.thickness_now_m is not None:
            _THICKNESS.check(self.thickness_now_m)
        if not self.times_s or any(b < a for a, b in pairwise(self.times_s)):
            raise OutOfRange("forecast times", f"{len(self.times_s)} of them", "at least one, in order")
        TIME.check(*self.times_s)


@dataclass(frozen=True, slots=True)
class ThicknessCourse:
    """Thickness [m] at the asked times under one assumption, and when the limit is likely to be broken.

    ``broken_at_s`` None: not within the horizon, or no limit was asked for.
    """

    course: Course
    thickness_m: tuple[float, ...]
    broken_at_s: float | None


@dataclass(frozen=True, slots=True)
class SoundAgain:
    """By when to sound again [s after now]: when the best assumption breaks the limit, else the horizon.

    ``by_best`` tells which of the two it is.  ``earliest_s`` is when the limit may be broken at the
    earliest, and ``earliest`` under which assumption; None: under none within the horizon.
    """

    by_s: float
    by_best: bool
    earliest_s: float | None
    earliest: Assumption | None


@dataclass(frozen=True, slots=True)
class Forecast:
    """Courses low, best, high; ``most_m`` if all the sand settled; what it rests on."""

    outlook: Outlook
    thickness_now_m: float
    courses: tuple[ThicknessCourse, ...]
    most_m: float
    basis: Basis
    sound_again: SoundAgain | None

    def of(self, assumption: Assumption) -> ThicknessCourse:
        """The course under one assumption."""
        return next(each for each in self.courses if each.course.assumption is assumption)


@dataclass(frozen=True, slots=True)
class RiseOnly:
    """The thickness now is not shown: only the rise on top of it is forecast, and no break of a limit."""

    outlook: Outlook
    courses: tuple[Course, ...]
    most_rise_m: float
    basis: Basis
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BoundOnly:
    """How fast the sand falls is not shown: only the most rise [m], if all of it settled.

    ``bound_keeps_limit``: the limit is kept even then; None when that is not known or not asked.
    """

    most_rise_m: float
    most_m: float | None
    bound_keeps_limit: bool | None
    basis: Basis
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NotForecast:
    """Nothing can be said, for want of what is missing."""

    missing: tuple[str, ...]


Answer: TypeAlias = Forecast | RiseOnly | BoundOnly | NotForecast


@dataclass(frozen=True, slots=True)
class Held:
    """A thickness measured later, held against the forecast under one assumption.

    ``thickness_ratio`` and ``rise_ratio`` are measured over forecast; None where the forecast is 0.
    """

    assumption: Assumption
    forecast_m: float
    thickness_ratio: float | None
    rise_ratio: float | None


@dataclass(frozen=True, slots=True)
class Comparison:
    """A measured thickness against every course; ``within``: not outside lowest and highest forecast."""

    measured_m: float
    after_s: float
    held: tuple[Held, ...]
    within: bool


def forecast(column: FluidColumn, outlook: Outlook, sets: Sequence[SettlingSet] = DEFAULT_SETS) -> Answer:
    """Thickness against time from the sand that was in the column when it was sampled.

    Each sample stands for the fluid half-way to its neighbours, the outer ones for all the rest.  All
    its sand is taken to be in suspension still, which is cautious.  Every grain size falls on its own
    with Ferguson and Church, slowed by the grains around it, at the funnel viscosity of its layer
    times the factor of the assumption.  Mineral slurry holds small sizes up; polymer and water hold none.
    More sand never gives less in the end; on the way its front may come later, slowed by itself.

    Returns
    -------
    Forecast; RiseOnly without a thickness now; BoundOnly when no sample gives a viscosity, or with sand
    content over 20 %, for which the laws are not stated (judgment); NotForecast without sand content.

    Raises
    ------
    OutOfRange
        A quantity outside its range, samples out of order or below the base, no assumption.

    Notes
    -----
    Laws and sources: fieldapp.fluid.settling and .deposit.  The assumptions are judgment, not calibrated.
    """
    if not sets:
        raise OutOfRange("number of assumptions", "0", "at least 1")
    found = sampled(column)
    now_m = None if outlook.thickness_now_m is None else float(outlook.thickness_now_m)
    missing = (*found.missing, *(() if now_m is not None else ("thickness now",)))
    if found.basis is None:
        return NotForecast(missing)
    if found.missing:
        return _bound(found.most_rise_m, now_m, outlook.limit, found.basis, missing)
    courses = tuple(course_of(column, found.layers, each) for each in sets)
    if now_m is None:
        return RiseOnly(outlook, courses, found.most_rise_m, found.basis, missing)
    thick = tuple(_thickness(each, now_m, outlook) for each in courses)
    again = None if outlook.limit is None else _sound_again(thick, outlook.times_s[-1])
    return Forecast(outlook, now_m, thick, now_m + found.most_rise_m, found.basis, again)


def compare(made: Forecast, after_s: float, measured_m: Number) -> Comparison:
    """Hold a thickness [m] measured ``after_s`` seconds later against the forecast.

    Time 0 to 1e9 s, thickness 0 to 100 m, else OutOfRange.  A ratio under 1: the forecast was cautious.
    """
    _THICKNESS.check(measured_m)
    measured, now = float(measured_m), made.thickness_now_m
    held = []
    for each in made.courses:
        rise = each.course.rise.at(after_s)
        thickness_ratio = measured / (now + rise) if now + rise > 0 else None
        rise_ratio = (measured - now) / rise if rise > 0 else None
        held.append(Held(each.course.assumption, now + rise, thickness_ratio, rise_ratio))
    forecasts = [each.forecast_m for each in held]
    return Comparison(measured, after_s, tuple(held), min(forecasts) <= measured <= max(forecasts))


def _bound(
    rise_m: float, now_m: float | None, limit: ThicknessLimit | None, basis: Basis, missing: tuple[str, ...]
) -> BoundOnly:
    most_m = None if now_m is None else now_m + rise_m
    keeps = None if most_m is None or limit is None else not limit.broken_by(most_m)
    return BoundOnly(rise_m, most_m, keeps, basis, missing)


def _thickness(course: Course, now_m: float, outlook: Outlook) -> ThicknessCourse:
    broken: float | None = None
    limit = outlook.limit
    if limit is not None and limit.broken_by(now_m):
        broken = 0.0
    elif limit is not None:
        broken = course.rise.first_over(float(limit.thickness_m) - now_m, limit.strict)
    if broken is not None and broken > outlook.times_s[-1]:
        broken = None
    return ThicknessCourse(course, tuple(now_m + course.rise.at(time) for time in outlook.times_s), broken)


def _sound_again(courses: Sequence[ThicknessCourse], horizon_s: float) -> SoundAgain:
    broken = [(each.broken_at_s, each.course.assumption) for each in courses if each.broken_at_s is not None]
    best = next((at for at, name in broken if name is Assumption.BEST), None)
    earliest, under = min(broken, key=lambda at: at[0], default=(None, None))
    return SoundAgain(horizon_s if best is None else best, best is not None, earliest, under)
