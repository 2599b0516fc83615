"""One round of soundings made ready to be drawn: cells, thicknesses, share within the limit.

A point without a reading stays unknown, and with it the share, the largest and the mean.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from typing import Final

import numpy as np

from fieldapp.base.areas import nearest_point_areas, nearest_point_cells
from fieldapp.base.cleanliness import Cleanliness, share_within
from fieldapp.base.disk import FloatArray
from fieldapp.criteria.limits import case_of, limit_for
from fieldapp.criteria.spread import place_m
from fieldapp.record.acceptance import Parameter
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.fold import Line
from fieldapp.record.reading import Reading
from fieldapp.record.said import Said
from fieldapp.record.setup import ProjectSetup, ShaftScheduled
from fieldapp.record.shaft import ShaftRecord
from fieldapp.record.words import UnitSystem
from fieldapp.units import Number, OutOfRange

_PER_POINT_LIMITS: Final = ("area_fraction_limit", "max_thickness_anywhere")
_CLASS_FACTORS: Final = (Fraction(1, 2), Fraction(1), Fraction(2), Fraction(3))
# Only the shading uses these, when the acceptance set gives no limit for a point (judgment).
_CLASS_BASE: Final = {UnitSystem.US: Reading("1/2", "in"), UnitSystem.SI: Reading("12.5", "mm")}


@dataclass(frozen=True, slots=True)
class PlanLimit:
    """The limit that one point is held against in the drawing, and whether a tie is over it."""

    name: str
    reading: Reading
    strict: bool

    def passed_by(self, thickness_m: Fraction) -> bool:
        """Whether this thickness is over the limit."""
        return thickness_m > self.reading.si or (self.strict and thickness_m == self.reading.si)

    @property
    def over(self) -> str:
        """Words for a thickness that is over the limit."""
        return f"{self.reading} or more" if self.strict else f"over {self.reading}"

    def __str__(self) -> str:
        return f"{'under' if self.strict else 'at most'} {self.reading}"


@dataclass(frozen=True, slots=True)
class RoundOnBase:
    """A round on the base: one cell [m], label and thickness [m] or None a point."""

    number: int
    title: str
    at: datetime
    labels: tuple[str, ...]
    cells_m: tuple[FloatArray, ...]
    thickness_m: tuple[Fraction | None, ...]
    weights: tuple[Number, ...]
    equal_weights: bool

    def cleanliness(self, limit: PlanLimit | None) -> Cleanliness:
        """Share within the limit, largest and mean.  Without a limit only largest and mean are meant."""
        limit_m, strict = (limit.reading.si, limit.strict) if limit else (Fraction(0), False)
        return share_within(self.thickness_m, self.weights, limit_m, strict)

    @property
    def largest_at(self) -> str:
        """Label of the point with the largest thickness read, or nothing when none was read."""
        read = [(t, name) for t, name in zip(self.thickness_m, self.labels, strict=True) if t is not None]
        return max(read, key=lambda each: each[0])[1] if read else ""


def on_base(line: Line[SoundingRound], setup: ProjectSetup, plan: ShaftScheduled) -> RoundOnBase:
    """The round on a base of the planned diameter.

    Raises OutOfRange when a point lies off the base, so that the caller can say so.
    """
    values = line.values
    places = [place_m(each) for each in values.points]
    xy, radius_m = np.array(places), float(plan.diameter.si) / 2
    weighting = limit_for(setup.acceptance, "weighting", case_of(setup, plan))
    equal = weighting is not None and weighting.value == "equal"
    areas: tuple[Number, ...] = tuple(float(each) for each in nearest_point_areas(xy, radius_m))
    return RoundOnBase(
        number=values.number,
        title=title_of(values),
        at=line.observed_at,
        labels=tuple(each.label for each in values.points),
        cells_m=tuple(nearest_point_cells(xy, radius_m)),
        thickness_m=tuple(each.thickness_m for each in values.points),
        weights=tuple(1 for _ in areas) if equal else areas,
        equal_weights=equal,
    )


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A round that cannot be drawn, and why, as part of a sentence."""

    title: str
    why: str


def rounds_on_base(
    record: ShaftRecord, setup: ProjectSetup, plan: ShaftScheduled
) -> tuple[tuple[RoundOnBase, ...], tuple[LeftOut, ...]]:
    """All rounds up to the start of concrete, by the time they were made, and those that cannot be drawn."""
    drawn, left_out = [], []
    started = record.concrete_started_at
    for line in record.of(SoundingRound):
        title = f"Round {line.values.number}"
        if started is not None and line.observed_at > started:
            left_out.append(LeftOut(title, "it was observed after concrete started"))
            continue
        try:
            drawn.append(on_base(line, setup, plan))
        except OutOfRange as problem:
            left_out.append(LeftOut(title, str(problem)))
    return tuple(drawn), tuple(left_out)


def title_of(values: SoundingRound) -> str:
    """``Round 2, after pass 4``: said as the form of a round says it."""
    about = {"number": values.number, "why": values.why, "after_pass": values.after_pass}
    if values.after_pass is None:
        return Said("Round {number}, {why}", about)
    return Said("Round {number}, {why} {after_pass}", about)


def plan_limit(setup: ProjectSetup, plan: ShaftScheduled) -> PlanLimit | None:
    """The limit for a point: that of the area share, else that anywhere; None when neither is entered."""
    for name in _PER_POINT_LIMITS:
        found = limit_for(setup.acceptance, name, case_of(setup, plan))
        if found is not None and found.reading is not None:
            return PlanLimit(name, found.reading, found.strict)
    return None


def share_asked(setup: ProjectSetup, plan: ShaftScheduled) -> Parameter | None:
    """The least share of the base that the acceptance set asks for, or None."""
    return limit_for(setup.acceptance, "area_fraction_min", case_of(setup, plan))


def class_edges_m(limit: PlanLimit | None, units: UnitSystem) -> tuple[Fraction, ...]:
    """Upper ends of the first four classes [m]: half, once, twice and three times the limit."""
    base = limit.reading if limit and limit.reading.si > 0 else _CLASS_BASE[units]
    return tuple(base.si * factor for factor in _CLASS_FACTORS)
