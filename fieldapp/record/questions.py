"""What is unlikely about a draft, seen from the record: asked about, never refused.

Once confirmed, the draft is recorded with the code of the question among its ``confirmed``.  The
thresholds are judgment: they catch a slip or a wrong unit, and they never stand for a limit.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, TypeVar

from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.decisions import Amend
from fieldapp.record.entry import Draft
from fieldapp.record.fold import Line
from fieldapp.record.hole import ExcavationStage
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Reading
from fieldapp.record.said import said
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.units import read_si

K = TypeVar("K", bound=Values)

CLOCK_BACK: Final = "clock-back"
"""The code of an entry whose device had recorded something later, and whose author said that it is meant."""

DENSITY_JUMP: Final = Reading("6", "pcf")
FUNNEL_JUMP: Final = Reading("20", "s")
LEVEL_JUMP: Final = Reading("10", "ft")
DEPTH_OFF: Final = Reading("1.5", "ft")
THICK_LAYER: Final = Reading("12", "in")
MUCH_SAND: Final = Reading("15", "%")


@dataclass(frozen=True, slots=True)
class Objection:
    """One thing against a draft.

    ``code`` is stable; ``field``, ``read`` and ``expected`` say where and what; ``says`` is one sentence for
    the screen.  An ``impossible`` one rules the draft out, any other is a question.
    """

    code: str
    field: str
    says: str
    read: str = ""
    expected: str = ""
    impossible: bool = False


def questions(project: ProjectRecord, draft: Draft) -> tuple[Objection, ...]:
    """Everything unlikely about a draft, also about what an amendment says."""
    return tuple(_unlikely(project, draft))


def _unlikely(project: ProjectRecord, draft: Draft) -> Iterator[Objection]:
    shaft = project.shaft(draft.shaft) if draft.shaft else None
    if shaft is None or shaft.scheduled is None:
        return
    values = draft.values.says if isinstance(draft.values, Amend) else draft.values
    if isinstance(values, FluidTest):
        yield from _unlikely_fluid(shaft, draft, values)
    if isinstance(values, HeadReading):
        yield from _unlikely_level(shaft, draft, values)
    if isinstance(values, SoundingRound):
        yield from _unlikely_round(shaft, draft, values)
    if isinstance(values, ExcavationStage) and values.drilled_depth is not None:
        off = abs(values.drilled_depth.si - shaft.scheduled.plan_depth_m)
        if off >= read_si("2", "ft"):
            says = said("The drilled depth is 2 ft or more off the planned depth.")
            yield _odd("depth-off", "drilled_depth", says, values.drilled_depth)


def _unlikely_fluid(shaft: ShaftRecord, draft: Draft, values: FluidTest) -> Iterator[Objection]:
    before = _earlier(shaft, draft, FluidTest)
    last = _last_with(before, "density")
    if values.density and last and abs(values.density.si - last.si) >= DENSITY_JUMP.si:
        says = said("Density {density} is far off the last one, {last}.", density=values.density, last=last)
        yield _odd("density-jump", "density", says, values.density)
    last = _last_with(before, "funnel_time")
    if values.funnel_time and last and abs(values.funnel_time.si - last.si) >= FUNNEL_JUMP.si:
        says = said(
            "Funnel {funnel_time} is far off the last one, {last}.", funnel_time=values.funnel_time, last=last
        )
        yield _odd("funnel-jump", "funnel_time", says, values.funnel_time)
    if values.sand and values.sand.si >= MUCH_SAND.si:
        yield _odd("much-sand", "sand", said("Sand {sand} is a great deal.", sand=values.sand), values.sand)
    if values.ph and not 5 <= values.ph.si <= Fraction(25, 2):
        yield _odd("odd-ph", "ph", said("pH {ph} is unusual for a drilling fluid.", ph=values.ph), values.ph)
    bottom = _bottom_m(shaft)
    if values.sample_depth.si > bottom + DEPTH_OFF.si:
        says = said("The sample depth {sample_depth} is below the base.", sample_depth=values.sample_depth)
        yield _odd("depth-off", "sample_depth", says, values.sample_depth)


def _last_with(lines: list[Line[FluidTest]], name: str) -> Reading | None:
    readings = [getattr(each.values, name) for each in lines]
    return next((each for each in reversed(readings) if each is not None), None)


def _unlikely_level(shaft: ShaftRecord, draft: Draft, values: HeadReading) -> Iterator[Objection]:
    before = _earlier(shaft, draft, HeadReading)
    if before and abs(values.fluid_level.si - before[-1].values.fluid_level.si) >= LEVEL_JUMP.si:
        last = before[-1].values.fluid_level
        says = said(
            "Level {fluid_level} is far off the last one, {last}.", fluid_level=values.fluid_level, last=last
        )
        yield _odd("level-jump", "fluid_level", says, values.fluid_level)


def _unlikely_round(shaft: ShaftRecord, draft: Draft, values: SoundingRound) -> Iterator[Objection]:
    bottom = _bottom_m(shaft)
    for point in values.points:
        depth, name = point.firm or point.first_contact, f"point {point.label}"
        if depth is not None and abs(depth.si - bottom) >= DEPTH_OFF.si:
            says = said(
                "Point {label} at {depth} is 1.5 ft or more off the base.", label=point.label, depth=depth
            )
            yield _odd("depth-off", name, says, depth)
        if point.thickness_m is not None and point.thickness_m >= THICK_LAYER.si:
            says = said("Point {label} shows a layer over 12 in.", label=point.label)
            yield _odd("thick-layer", name, says, depth or point.thickness)
    rounds = [each.values.number for each in shaft.of(SoundingRound)]
    if isinstance(draft.values, SoundingRound) and values.number in rounds:
        says = said(
            "Round {number} of shaft {shaft} is in the record already.", number=values.number, shaft=shaft.id
        )
        yield _odd("round-twice", "number", says, values.number)


def _earlier(shaft: ShaftRecord, draft: Draft, kind: type[K]) -> list[Line[K]]:
    """Lines of a kind up to the draft, without the one that the draft amends."""
    target = draft.values.target if isinstance(draft.values, Amend) else ""
    return [each for each in shaft.of(kind) if each.observed_at <= draft.observed_at and each.id != target]


def _bottom_m(shaft: ShaftRecord) -> Fraction:
    """Depth of the base: as drilled, else as planned."""
    reached = shaft.base_reached
    if reached is not None and reached.values.drilled_depth is not None:
        return reached.values.drilled_depth.si
    assert shaft.scheduled is not None
    return shaft.scheduled.plan_depth_m


def _odd(code: str, field: str, says: str, read: object) -> Objection:
    return Objection(code, field, says, str(read), said("something likelier, or your word that it is right"))
