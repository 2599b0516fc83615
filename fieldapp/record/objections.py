"""What the record says against a draft before it is appended.

An *impossible* draft is refused.  An *unlikely* one is asked about; once confirmed it is recorded with
the code of the question among its ``confirmed``.  Thresholds of the unlikely are judgment: they catch
a slip or a wrong unit, and they never stand for a limit.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Final

from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.decisions import Amend, Release, Strike
from fieldapp.record.entry import Draft
from fieldapp.record.fold import Line
from fieldapp.record.hole import BaseSighting, ExcavationStage, StandingWater
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Reading
from fieldapp.record.setup import ProjectSetup, ShaftScheduled
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.units import read_si

DENSITY_JUMP: Final = Reading("6", "pcf")
FUNNEL_JUMP: Final = Reading("20", "s")
LEVEL_JUMP: Final = Reading("10", "ft")
DEPTH_OFF: Final = Reading("1.5", "ft")
THICK_LAYER: Final = Reading("12", "in")
MUCH_SAND: Final = Reading("15", "%")
CLOCK_SLACK: Final = timedelta(minutes=10)
_OF_THE_OPEN_HOLE: Final = (CleanoutPass, SoundingRound, BaseSighting, StandingWater)


@dataclass(frozen=True, slots=True)
class Objection:
    """One thing against a draft: a stable code, the field, a sentence, and whether it rules the draft out."""

    code: str
    field: str
    says: str
    impossible: bool


def objections(project: ProjectRecord, draft: Draft) -> tuple[Objection, ...]:
    """Everything the record says against a draft, impossible things first."""
    found = [*_impossible(project, draft), *_unlikely(project, draft)]
    return tuple(sorted(found, key=lambda each: not each.impossible))


def _impossible(project: ProjectRecord, draft: Draft) -> Iterator[Objection]:
    yield from _who_and_when(project, draft)
    shaft = project.shaft(draft.shaft) if draft.shaft else None
    values = draft.values
    if isinstance(values, Amend | Strike):
        yield from _about_target(project, shaft, draft, values)
        values = values.says if isinstance(values, Amend) else values
    if draft.shaft is None or isinstance(values, ShaftScheduled):
        return
    if shaft is None or shaft.scheduled is None:
        known = ", ".join(project.shafts) or "none yet"
        yield _no("unknown-shaft", "shaft", f"Shaft {draft.shaft} is not scheduled; known are: {known}.")
        return
    yield from _before_it_was_open(shaft, draft, values)
    if isinstance(values, SoundingRound):
        yield from _points_outside(shaft.scheduled, values)


def _who_and_when(project: ProjectRecord, draft: Draft) -> Iterator[Objection]:
    setup = draft.values if isinstance(draft.values, ProjectSetup) else None
    people = setup or (project.setup.values if project.setup else None)
    if people is None:
        yield _no("no-setup", "project", "The project has no set-up yet; set it up first.")
    elif people.person(draft.author) is None:
        names = ", ".join(each.name for each in people.people)
        yield _no("unknown-person", "author", f"{draft.author} is not on the project's roster ({names}).")
    if draft.observed_at > draft.recorded_at + CLOCK_SLACK:
        yield _no(
            "seen-later",
            "observed_at",
            "It was observed later than it was recorded; check the day and the time.",
        )
    if isinstance(draft.values, Release) and draft.values.until <= draft.observed_at:
        yield _no("until-past", "until", "The release would end before it begins.")


def _about_target(
    project: ProjectRecord, shaft: ShaftRecord | None, draft: Draft, values: Amend | Strike
) -> Iterator[Objection]:
    lines = shaft.lines if shaft else project.lines
    target = next((each for each in lines if each.id == values.target), None)
    if target is None:
        yield _no("unknown-entry", "target", "The entry to be changed is not in the record of this shaft.")
        return
    if target.struck:
        yield _no("struck-entry", "target", "The entry was struck and stays struck. Enter it anew.")
    if isinstance(values, Amend) and target.original.kind != values.says.KIND:
        yield _no("other-kind", "says", f"The entry is a {target.original.kind}, not a {values.says.KIND}.")
    unknown = set(draft.parents) - set(target.entries)
    if unknown or not draft.parents:
        yield _no("no-parent", "parents", "A change names the version of the entry that it follows.")


def _before_it_was_open(shaft: ShaftRecord, draft: Draft, values: Values) -> Iterator[Objection]:
    seen_at = draft.observed_at
    if isinstance(draft.values, Amend):
        target = next((each for each in shaft.lines if each.id == draft.values.target), None)
        seen_at = draft.values.observed_at or (target.observed_at if target else seen_at)
    planned = [each.observed_at for each in shaft.of(ShaftScheduled)]
    if planned and seen_at < min(planned):
        yield _no("before-plan", "observed_at", f"It is before shaft {shaft.id} was scheduled.")
    opened = opened_at(shaft)
    if isinstance(values, _OF_THE_OPEN_HOLE) and opened is not None and seen_at < opened:
        yield _no(
            "before-open",
            "observed_at",
            f"It is before shaft {shaft.id} was opened at {opened:%Y-%m-%d %H:%M}. Check day and time.",
        )


def opened_at(shaft: ShaftRecord) -> datetime | None:
    """When drilling began, as far as the record shows."""
    begun = [each.values.started_at or each.observed_at for each in shaft.of(ExcavationStage)]
    return min(begun, default=None)


def _points_outside(plan: ShaftScheduled, values: SoundingRound) -> Iterator[Objection]:
    for point in values.points:
        if point.r is not None and point.r.si > plan.diameter.si / 2:
            yield _no(
                "outside-base",
                f"point {point.label}",
                f"Point {point.label} at r {point.r} lies outside the base of {plan.diameter} diameter.",
            )


def _unlikely(project: ProjectRecord, draft: Draft) -> Iterator[Objection]:
    shaft = project.shaft(draft.shaft) if draft.shaft else None
    if shaft is None or shaft.scheduled is None:
        return
    values = draft.values
    if isinstance(values, FluidTest):
        yield from _unlikely_fluid(shaft, draft, values)
    if isinstance(values, HeadReading):
        yield from _unlikely_level(shaft, draft, values)
    if isinstance(values, SoundingRound):
        yield from _unlikely_round(shaft, values)
    if isinstance(values, ExcavationStage) and values.drilled_depth is not None:
        off = abs(values.drilled_depth.si - shaft.scheduled.plan_depth_m)
        if off >= read_si("2", "ft"):
            yield _odd(
                "depth-off", "drilled_depth", "The drilled depth is 2 ft or more off the planned depth."
            )


def _unlikely_fluid(shaft: ShaftRecord, draft: Draft, values: FluidTest) -> Iterator[Objection]:
    before = [each for each in shaft.of(FluidTest) if each.observed_at <= draft.observed_at]
    last = _last_with(before, "density")
    if values.density and last and abs(values.density.si - last.si) >= DENSITY_JUMP.si:
        yield _odd("density-jump", "density", f"Density {values.density} is far off the last one, {last}.")
    last = _last_with(before, "funnel_time")
    if values.funnel_time and last and abs(values.funnel_time.si - last.si) >= FUNNEL_JUMP.si:
        yield _odd(
            "funnel-jump", "funnel_time", f"Funnel {values.funnel_time} is far off the last one, {last}."
        )
    if values.sand and values.sand.si >= MUCH_SAND.si:
        yield _odd("much-sand", "sand", f"Sand {values.sand} is a great deal.")
    if values.ph and not 5 <= values.ph.si <= Fraction(25, 2):
        yield _odd("odd-ph", "ph", f"pH {values.ph} is unusual for a drilling fluid.")
    bottom = _bottom_m(shaft)
    if values.sample_depth.si > bottom + DEPTH_OFF.si:
        yield _odd("depth-off", "sample_depth", f"The sample depth {values.sample_depth} is below the base.")


def _last_with(lines: list[Line[FluidTest]], name: str) -> Reading | None:
    readings = [getattr(each.values, name) for each in lines]
    return next((each for each in reversed(readings) if each is not None), None)


def _unlikely_level(shaft: ShaftRecord, draft: Draft, values: HeadReading) -> Iterator[Objection]:
    before = [each for each in shaft.of(HeadReading) if each.observed_at <= draft.observed_at]
    if before and abs(values.fluid_level.si - before[-1].values.fluid_level.si) >= LEVEL_JUMP.si:
        last = before[-1].values.fluid_level
        yield _odd(
            "level-jump", "fluid_level", f"Level {values.fluid_level} is far off the last one, {last}."
        )


def _unlikely_round(shaft: ShaftRecord, values: SoundingRound) -> Iterator[Objection]:
    bottom = _bottom_m(shaft)
    for point in values.points:
        depth = point.firm or point.first_contact
        if depth is not None and abs(depth.si - bottom) >= DEPTH_OFF.si:
            yield _odd(
                "depth-off",
                f"point {point.label}",
                f"Point {point.label} at {depth} is 1.5 ft or more off the base.",
            )
        if point.thickness_m is not None and point.thickness_m >= THICK_LAYER.si:
            yield _odd(
                "thick-layer", f"point {point.label}", f"Point {point.label} shows a layer over 12 in."
            )
    if any(each.values.number == values.number for each in shaft.of(SoundingRound)):
        yield _odd(
            "round-twice", "number", f"Round {values.number} of shaft {shaft.id} is in the record already."
        )


def _bottom_m(shaft: ShaftRecord) -> Fraction:
    """Depth of the base: as drilled, else as planned."""
    reached = shaft.base_reached
    if reached is not None and reached.values.drilled_depth is not None:
        return reached.values.drilled_depth.si
    assert shaft.scheduled is not None
    return shaft.scheduled.plan_depth_m


def _no(code: str, field: str, says: str) -> Objection:
    return Objection(code, field, says, impossible=True)


def _odd(code: str, field: str, says: str) -> Objection:
    return Objection(code, field, says, impossible=False)
