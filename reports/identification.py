"""Who, where, what: the block that says which shaft of which project the paper is about."""

from __future__ import annotations

from collections.abc import Iterator

from reportlab.platypus import Flowable, Paragraph, Spacer, Table

from fieldapp.record.acceptance import AcceptanceSet
from fieldapp.record.concrete import ConcreteFinished, ConcreteStarted
from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.setup import ShaftScheduled
from fieldapp.record.words import DesignBasis
from fieldapp.units import FOOT_M, show_feet_inch
from reports.facts import ShaftFacts
from reports.quantities import Shown
from reports.sections import bookmark
from reports.style import BODY, CAPTION, FACT_GRID, TITLE, text_width, words

UNKNOWN = "not shown"
_COLUMNS = 3
Pair = tuple[str, str]


def identification(facts: ShaftFacts, shown: Shown, title: str) -> list[Flowable]:
    """Title and a grid of captions and values; what the record does not say reads "not shown"."""
    plan = facts.record.scheduled
    pairs = [*_place(facts), *(_planned(plan, shown) if plan else ()), *_dates(facts, shown)]
    width = text_width(facts.setup.units)
    parts: list[Flowable] = [bookmark("Identification"), words(title, TITLE), Spacer(1, 5)]
    parts.append(_grid(pairs, width))
    parts.extend(_rows(list(_wide(facts, plan, shown)), width))
    return parts


def _place(facts: ShaftFacts) -> Iterator[Pair]:
    yield "project", f"{facts.setup.name} ({facts.project_id})"
    plan = facts.record.scheduled
    yield "shaft", facts.record.id if plan is None else f"{facts.record.id}, {plan.purpose}"
    yield "location", plan.location if plan else UNKNOWN


def _planned(plan: ShaftScheduled, shown: Shown) -> Iterator[Pair]:
    yield "planned diameter", shown.both(plan.diameter)
    yield "reference elevation", shown.both(plan.reference_elevation)
    yield "planned tip elevation", shown.both(plan.tip_elevation)
    depth_m = plan.plan_depth_m
    si, us = f"{float(depth_m):.2f} m", show_feet_inch(depth_m)
    in_us = shown.unit_of("length")[0] == "ft"
    yield "planned depth", f"{us} ({si})" if in_us else f"{si} ({float(depth_m / FOOT_M):.2f} ft)"
    top = plan.socket_top_elevation
    yield "socket top elevation", shown.both(top) if top else "not given"
    yield "method and fluid", f"{plan.method}, {plan.fluid if plan.fluid != 'none' else 'no fluid'}"
    both = plan.design_basis is DesignBasis.BOTH
    yield "design counts on", "side and base" if both else str(plan.design_basis)
    yield "ground cautions", ", ".join(plan.cautions) or "none recorded"
    levels = [f"{each.stratum} {shown.reading(each.elevation)}" for each in plan.piezometric_levels]
    yield "piezometric levels", ", ".join(levels) or UNKNOWN


def _dates(facts: ShaftFacts, shown: Shown) -> Iterator[Pair]:
    reached = facts.record.base_reached
    if reached is None or reached.values.drilled_depth is None:
        yield "base reached", UNKNOWN
    else:
        at = reached.values.ended_at or reached.observed_at
        yield "base reached", f"{shown.moment(at)} at {shown.both(reached.values.drilled_depth)}"
    yield "concrete started", _first(facts.record.of(ConcreteStarted), shown, "not started in the record")
    yield "concrete finished", _first(facts.record.of(ConcreteFinished), shown, "not finished in the record")
    yield "as of", shown.zoned(facts.at)


def _first(lines: tuple[Line[Values], ...], shown: Shown, otherwise: str) -> str:
    return shown.moment(lines[0].observed_at) if lines else otherwise


def _wide(facts: ShaftFacts, plan: ShaftScheduled | None, shown: Shown) -> Iterator[Pair]:
    if plan is None:
        yield (
            "shaft",
            "This shaft is not scheduled in the record: its diameter, depth and fluid are not shown.",
        )
    yield "acceptance set", _set_text(facts.setup.acceptance)
    people = [f"{each.name} ({', '.join(each.roles)})" for each in facts.setup.people]
    yield "people", ", ".join(people) or "nobody on the roster"
    yield "times", shown.zone_note or f"local time of {shown.zone_name}, from device clocks"


def _set_text(accepted: AcceptanceSet) -> str:
    text = f"{accepted.title} ({accepted.standard}; {accepted.id}, {len(accepted.parameters)} limits)"
    return f"{text}. {accepted.note}" if accepted.note else text


def _grid(pairs: list[Pair], width: float) -> Table:
    cells: list[list[Paragraph]] = [[words(name, CAPTION), words(value, BODY)] for name, value in pairs]
    cells += [[]] * (-len(cells) % _COLUMNS)
    rows = [cells[i : i + _COLUMNS] for i in range(0, len(cells), _COLUMNS)]
    return Table(rows, colWidths=[width / _COLUMNS] * _COLUMNS, style=FACT_GRID, splitInRow=1)


def _rows(pairs: list[Pair], width: float) -> list[Flowable]:
    rows = [[words(name, CAPTION), words(value, BODY)] for name, value in pairs]
    return [Table(rows, colWidths=[74, width - 74], style=FACT_GRID[1:], splitInRow=1)]
