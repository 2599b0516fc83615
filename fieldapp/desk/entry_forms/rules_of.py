"""The rules that speak of one field of an entry, and an entry that makes them say their limit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from fieldapp.criteria.concrete_rules import released_before_concrete, slump, toe_as_built
from fieldapp.criteria.finding import Finding
from fieldapp.criteria.geometry_rules import (
    least_diameter,
    plan_offset,
    plumbness,
    socket_length,
    tip_elevation,
)
from fieldapp.criteria.ground_rules import open_joint, void_under_base
from fieldapp.criteria.head_rules import head_findings
from fieldapp.criteria.look import Look
from fieldapp.criteria.time_rules import overream_cut
from fieldapp.criteria.water_rules import seepage, standing_water
from fieldapp.record.column import HeadReading
from fieldapp.record.concrete import AsBuilt, ConcreteStarted
from fieldapp.record.hole import (
    BaseSighting,
    DiameterAt,
    Event,
    ExcavationStage,
    GeometrySurvey,
    StandingWater,
)
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Reading
from fieldapp.record.words import Happening, InstrumentType

RELEASE: Final = "release"


@dataclass(frozen=True, slots=True)
class FieldRule:
    """A rule that answers for a field once all of ``typed`` are there (the field itself when empty)."""

    field: str
    rule: Callable[[Look], Finding]
    typed: tuple[str, ...] = ()

    @property
    def asks(self) -> tuple[str, ...]:
        """Fields that have to be typed."""
        return self.typed or (self.field,)


def head_now(look: Look) -> Finding:
    """Whether the last head reading keeps the head."""
    return head_findings(look)[0]


RULES: Final[dict[str, tuple[FieldRule, ...]]] = {
    HeadReading.KIND: (FieldRule("fluid_level", head_now),),
    StandingWater.KIND: (
        FieldRule("depth", standing_water),
        FieldRule("rise", seepage, ("rise", "window", "pumps_off")),
    ),
    ExcavationStage.KIND: (
        FieldRule("drilled_depth", tip_elevation),
        FieldRule("drilled_depth", socket_length),
    ),
    Event.KIND: (FieldRule("amount", overream_cut, ("amount", "what")),),
    GeometrySurvey.KIND: (
        FieldRule("diameter 1", least_diameter, ("diameter 1", "depth 1")),
        FieldRule("plumbness", plumbness),
        FieldRule("plan_offset", plan_offset),
        FieldRule("tip_elevation", tip_elevation),
    ),
    BaseSighting.KIND: (FieldRule("seen", void_under_base), FieldRule("seen", open_joint)),
    ConcreteStarted.KIND: (
        FieldRule("slump", slump),
        FieldRule(RELEASE, released_before_concrete, ("first_charge",)),
    ),
    AsBuilt.KIND: (FieldRule("toe_doubtful", toe_as_built, ("toe_finding",)),),
}


def probe_of(look: Look, kind: str) -> Values | None:
    """An entry on this shaft with a number in every field that has a rule; for asking, never recorded."""
    nothing, plan = Reading("0", "m"), look.scheduled
    made: dict[str, Callable[[], Values]] = {
        HeadReading.KIND: lambda: HeadReading(nothing),
        StandingWater.KIND: lambda: StandingWater(
            pumps_off=True, depth=nothing, rise=nothing, window=Reading("7200", "s")
        ),
        Event.KIND: lambda: Event(Happening.OVERREAMING, kind, amount=nothing),
        GeometrySurvey.KIND: lambda: GeometrySurvey(
            InstrumentType.TAPE,
            (DiameterAt(nothing, plan.diameter),),
            plumbness=Reading("0", "%"),
            plan_offset=nothing,
            tip_elevation=plan.tip_elevation,
        ),
        ConcreteStarted.KIND: lambda: ConcreteStarted(kind, slump=nothing),
    }
    return made[kind]() if kind in made else None
