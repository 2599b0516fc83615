"""One shaft as the screens show it: stages, strip, findings, rounds on the base.

Text is in the project's units; nothing here knows a widget.  What belongs to a stage and its state comes
from `fieldapp.desk.shaft.stages`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Final

from fieldapp.criteria.finding import Finding, Standing
from fieldapp.criteria.phrasing import Phrases, Quantity, at_most, clock
from fieldapp.criteria.rules import look_at
from fieldapp.criteria.spread import place_m
from fieldapp.desk.office import ShaftNow, shaft_now
from fieldapp.desk.shaft.clocks import clocks_of
from fieldapp.desk.shaft.stages import KINDS, STAGES, stage_of_finding, stage_of_step, stage_states
from fieldapp.desk.workplace import Workplace
from fieldapp.record.acceptance import Parameter
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.concrete import AsBuilt, ConcreteFinished
from fieldapp.record.fold import Line
from fieldapp.record.kinds import PROJECT_KINDS
from fieldapp.record.objections import opened_at
from fieldapp.record.said import said, said_of
from fieldapp.record.setup import ProjectSetup, ShaftScheduled
from fieldapp.record.words import Fluid
from fieldapp.units import OutOfRange
from reports.base_round import PlanLimit, class_edges_m, on_base, plan_limit, share_asked

__all__ = ["STAGES", "CellView", "RoundView", "ShaftView", "StageView", "rounds_of", "shaft_view"]

JUST_NOW: Final = timedelta(minutes=1)
STANDING_SHAPES: Final = {
    Standing.CLEAN: "met",
    Standing.REDUCED: "not met",
    Standing.REWORK: "not met",
    Standing.NOT_CREDITABLE: "not met",
    Standing.NOT_SHOWN: "not shown",
}
# Made where the keys are, on the screens of the decisions.
_DECIDED: Final = ("log signed", "release", "hold", "withdrawal", "disposition")
_AFTER_CONCRETE: Final = (ConcreteFinished.KIND, AsBuilt.KIND)
_ANY_TIME: Final = ("note", "photo", "event", "delay", "geometry survey")
_BEFORE_DRILLING: Final = ("excavation stage", "fluid test", "head reading", *_ANY_TIME)


@dataclass(frozen=True, slots=True)
class StageView:
    """One stage of the walk: its name, its state, what the findings of it say, what can be recorded in it."""

    name: str
    state: str
    findings: tuple[Finding, ...]
    kinds: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CellView:
    """A point of a round on a base of radius 1 (x right, y upstation), with the area nearest to it.

    ``text`` is the thickness, empty where it was not shown; ``thickness_class`` runs from 0 to 4.
    """

    label: str
    at: tuple[float, float]
    outline: tuple[tuple[float, float], ...]
    text: str
    thickness_class: int
    over_limit: bool
    why_unread: str


@dataclass(frozen=True, slots=True)
class RoundView:
    """A round on the base with its three numbers; each says ``not shown`` when a point is unread."""

    title: str
    cells: tuple[CellView, ...]
    share: str
    share_asked: str
    largest: str
    largest_at: str
    mean: str
    problem: str = ""


@dataclass(frozen=True, slots=True)
class ShaftView:
    """Everything that the screen of one shaft shows.

    ``clocks`` are the moments that run, the soonest first, each with what it is for; ``live`` says that
    ``at`` is the present.
    """

    shaft: str
    subtitle: str
    standing: str
    standing_shape: str
    reasons: tuple[Finding, ...]
    next_step: str
    next_work: str
    next_serves: str
    next_stage: str
    release: str
    release_until: datetime | None
    as_of: str
    at: datetime
    live: bool
    clocks: tuple[tuple[str, datetime], ...]
    stages: tuple[StageView, ...]
    rounds: tuple[RoundView, ...]
    concrete_in: bool


def shaft_view(place: Workplace, shaft_id: str, at: datetime | None) -> ShaftView:
    """One shaft at a moment, or as of its latest entry when none is given.  Raises UnknownShaft."""
    now = shaft_now(place, shaft_id, at)
    setup, plan = place.setup(), now.shaft.scheduled
    until = now.release.until if now.release.status == "released" else None
    look = look_at(place.record(), now.shaft, now.at)
    step = now.standing.next_step
    return ShaftView(
        shaft=shaft_id,
        subtitle=_subtitle(setup, plan),
        standing=str(now.standing.standing),
        standing_shape=STANDING_SHAPES[now.standing.standing],
        reasons=now.standing.reasons,
        next_step=step.says,
        next_work=str(step.work or ""),
        next_serves=step.requirement,
        next_stage=stage_of_step(step, now.findings, now.shaft),
        release=_release(now, until),
        release_until=until,
        as_of=clock(now.at),
        at=now.at,
        live=at is not None and abs(place.now() - at) < JUST_NOW,
        clocks=() if look is None else tuple(clocks_of(look).items()),
        stages=_stages(place, now),
        rounds=rounds_of(setup, plan, now.shaft.of(SoundingRound)) if plan else (),
        concrete_in=now.shaft.concrete_started_at is not None,
    )


def _release(now: ShaftNow, until: datetime | None) -> str:
    if until is not None:
        return said("released until {time}", time=clock(until))
    return "" if now.release.status == "none" else str(now.release.status)


def _stages(place: Workplace, now: ShaftNow) -> tuple[StageView, ...]:
    states = stage_states((place.record(), now.shaft), now.findings, now.standing.next_step, now.release)
    able = _recordable(now)
    return tuple(
        StageView(
            name,
            states[name],
            tuple(each for each in now.findings if stage_of_finding(each) == name),
            tuple(each for each in KINDS[name] if each in able),
        )
        for name in STAGES
    )


def _recordable(now: ShaftNow) -> frozenset[str]:
    """Kinds of entries that make sense on a shaft as it stands; the desk decides when one is made."""
    if now.shaft.scheduled is None:
        return frozenset({"shaft scheduled"})
    if now.shaft.concrete_started_at is not None:
        finished = bool(now.shaft.of(ConcreteFinished))  # once: what it says is amended
        return frozenset((*((AsBuilt.KIND,) if finished else _AFTER_CONCRETE), *_ANY_TIME))
    if opened_at(now.shaft) is None:
        return frozenset(_BEFORE_DRILLING)
    never = {"shaft scheduled", *_DECIDED, *_AFTER_CONCRETE, *PROJECT_KINDS}
    return frozenset(each for kinds in KINDS.values() for each in kinds if each not in never)


def _subtitle(setup: ProjectSetup, plan: ShaftScheduled | None) -> str:
    if plan is None:
        return said("not scheduled")
    size = Phrases(setup.units).say(Quantity.HEAD, plan.diameter.si)
    fluid = said("dry") if plan.fluid is Fluid.NONE else said("{fluid} fluid", fluid=plan.fluid)
    return said("{size} base, {fluid}, {location}", size=size, fluid=fluid, location=plan.location)


def rounds_of(
    setup: ProjectSetup, plan: ShaftScheduled, lines: tuple[Line[SoundingRound], ...]
) -> tuple[RoundView, ...]:
    """Rounds on the base, the latest first."""
    return tuple(_round(setup, plan, each) for each in reversed(lines))


def _round(setup: ProjectSetup, plan: ShaftScheduled, line: Line[SoundingRound]) -> RoundView:
    say, limit, asked = Phrases(setup.units).say, plan_limit(setup, plan), share_asked(setup, plan)
    try:
        drawn = on_base(line, setup, plan)
    except OutOfRange as problem:
        unknown = dict.fromkeys(("share", "largest", "mean"), "not shown")
        title = said("Round {number}", number=line.values.number)
        return RoundView(title, (), share_asked="", largest_at="", problem=said_of(problem), **unknown)
    radius = float(plan.diameter.si) / 2
    edges = class_edges_m(limit, setup.units)
    cells = tuple(
        CellView(
            label=point.label,
            at=_on_unit_base(point, radius),
            outline=tuple((float(x) / radius, float(y) / radius) for x, y in outline),
            text="" if thickness is None else say(Quantity.THICKNESS, thickness).rsplit(" ", 1)[0],
            thickness_class=sum(thickness is not None and thickness > each for each in edges),
            over_limit=thickness is not None and limit is not None and limit.passed_by(thickness),
            why_unread=point.no_reading or ("" if thickness is not None else said("one depth is missing")),
        )
        for point, outline, thickness in zip(
            line.values.points, drawn.cells_m, drawn.thickness_m, strict=True
        )
    )
    clean = drawn.cleanliness(limit)

    def shown(quantity: Quantity, value: Fraction | None) -> str:
        return "not shown" if value is None else say(quantity, value)

    return RoundView(
        title=said("{title}, {time}", title=drawn.title, time=clock(line.observed_at)),
        cells=cells,
        share=shown(Quantity.SHARE, clean.share) if limit else "not asked",
        share_asked=_share_asked(limit, asked) if limit and asked else "",
        largest=shown(Quantity.THICKNESS, clean.largest_m),
        largest_at=drawn.largest_at,
        mean=shown(Quantity.THICKNESS, clean.mean_m),
    )


def _share_asked(limit: PlanLimit, asked: Parameter) -> str:
    under = at_most(str(limit.reading), limit.strict)
    return said("{under}, asked {share}", under=under, share=f"{asked.value} {asked.unit}")


def _on_unit_base(point: SoundingPoint, radius_m: float) -> tuple[float, float]:
    x_m, y_m = place_m(point)
    return x_m / radius_m, y_m / radius_m
