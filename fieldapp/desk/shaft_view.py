"""One shaft as the screens show it: stages, strip, findings, rounds on the base.

Text is in the project's units; nothing here knows a widget.  States are the outcome words of findings,
with ``due`` for what comes next.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from typing import Final

from fieldapp.criteria.finding import Finding, Group, Outcome, Standing
from fieldapp.criteria.phrasing import Phrases, Quantity, clock
from fieldapp.criteria.spread import place_m
from fieldapp.desk.office import ShaftNow, shaft_now
from fieldapp.desk.workplace import Workplace
from fieldapp.record.cleaning import CleanoutPass, SoundingPoint, SoundingRound
from fieldapp.record.fold import Line
from fieldapp.record.hole import Note, Photo
from fieldapp.record.setup import ProjectSetup, ShaftScheduled
from fieldapp.record.words import Fluid
from fieldapp.units import OutOfRange
from reports.base_round import class_edges_m, on_base, plan_limit, share_asked

DUE: Final = "due"
STANDING_SHAPES: Final = {
    Standing.CLEAN: "met",
    Standing.REDUCED: "not met",
    Standing.REWORK: "not met",
    Standing.NOT_CREDITABLE: "not met",
    Standing.NOT_SHOWN: "not shown",
}
STAGES: Final[dict[str, tuple[Group, ...]]] = {
    "Hole": (Group.GROUND, Group.GEOMETRY, Group.TIME),
    "Fluid": (Group.FLUID,),
    "Head": (Group.HEAD,),
    "Base": (Group.BASE, Group.WATER),
    "Evidence": (Group.EVIDENCE,),
    "Concrete": (Group.CONCRETE,),
}


@dataclass(frozen=True, slots=True)
class StageView:
    """One stage of the walk: its name, its state, and what the findings of it say."""

    name: str
    state: str
    findings: tuple[Finding, ...]


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
    """Everything that the screen of one shaft shows."""

    shaft: str
    subtitle: str
    standing: str
    standing_shape: str
    reasons: tuple[Finding, ...]
    next_step: str
    next_work: str
    next_serves: str
    release: str
    as_of: str
    stages: tuple[StageView, ...]
    rounds: tuple[RoundView, ...]
    last_pass: str
    notes: int
    concrete_in: bool


def shaft_view(place: Workplace, shaft_id: str, at: datetime | None) -> ShaftView:
    """One shaft at a moment, or as of its latest entry when none is given.  Raises UnknownShaft."""
    now = shaft_now(place, shaft_id, at)
    setup, plan = place.setup(), now.shaft.scheduled
    holds = now.release.status == "released" and now.release.until is not None
    until = f" until {clock(now.release.until)}" if holds and now.release.until else ""
    return ShaftView(
        shaft=shaft_id,
        subtitle=_subtitle(setup, plan),
        standing=str(now.standing.standing),
        standing_shape=STANDING_SHAPES[now.standing.standing],
        reasons=now.standing.reasons,
        next_step=now.standing.next_step.says,
        next_work=str(now.standing.next_step.work or ""),
        next_serves=now.standing.next_step.requirement,
        release="" if now.release.status == "none" else f"{now.release.status}{until}",
        as_of=clock(now.at),
        stages=tuple(_stage(now, name, groups) for name, groups in STAGES.items()),
        rounds=rounds_of(setup, plan, now.shaft.of(SoundingRound)) if plan else (),
        last_pass=_last_pass(now),
        notes=len(now.shaft.of(Note)) + len(now.shaft.of(Photo)),
        concrete_in=now.shaft.concrete_started_at is not None,
    )


def _subtitle(setup: ProjectSetup, plan: ShaftScheduled | None) -> str:
    if plan is None:
        return "not scheduled"
    size = Phrases(setup.units).say(Quantity.HEAD, plan.diameter.si)
    fluid = "dry" if plan.fluid is Fluid.NONE else f"{plan.fluid} fluid"
    return f"{size} base, {fluid}, {plan.location}"


def _stage(now: ShaftNow, name: str, groups: tuple[Group, ...]) -> StageView:
    found = tuple(each for each in now.findings if each.group in groups)
    outcomes = {each.outcome for each in found}
    for outcome in (Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.MET):
        if outcome in outcomes:
            return StageView(name, str(outcome), found)
    return StageView(name, str(Outcome.NOT_ASKED), found)


def _last_pass(now: ShaftNow) -> str:
    last = now.shaft.last(CleanoutPass)
    if last is None:
        return ""
    return f"pass {last.values.number}, {last.values.method}, {clock(last.observed_at)}"


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
        title = f"Round {line.values.number}"
        return RoundView(title, (), share_asked="", largest_at="", problem=str(problem), **unknown)
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
            why_unread=point.no_reading or ("" if thickness is not None else "one depth is missing"),
        )
        for point, outline, thickness in zip(
            line.values.points, drawn.cells_m, drawn.thickness_m, strict=True
        )
    )
    clean = drawn.cleanliness(limit)

    def shown(quantity: Quantity, value: Fraction | None) -> str:
        return "not shown" if value is None else say(quantity, value)

    return RoundView(
        title=f"{drawn.title}, {clock(line.observed_at)}",
        cells=cells,
        share=shown(Quantity.SHARE, clean.share) if limit else "not asked",
        share_asked=f"{limit}, asked {asked.value} {asked.unit}" if limit and asked else "",
        largest=shown(Quantity.THICKNESS, clean.largest_m),
        largest_at=drawn.largest_at,
        mean=shown(Quantity.THICKNESS, clean.mean_m),
    )


def _on_unit_base(point: SoundingPoint, radius_m: float) -> tuple[float, float]:
    x_m, y_m = place_m(point)
    return x_m / radius_m, y_m / radius_m
