"""The base as it was built beside what was planned: depth, tip, diameter, socket, what was seen of it."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import pi
from typing import Any, Final

from reportlab.platypus import Flowable

from fieldapp.record.concrete import AsBuilt
from fieldapp.record.fold import Line
from fieldapp.record.hole import BaseSighting, DiameterAt, GeometrySurvey
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Reading
from fieldapp.record.setup import ShaftScheduled
from fieldapp.units import FOOT_M, show_feet_inch
from reports.facts import ShaftFacts
from reports.quantities import Shown
from reports.sections import heading
from reports.style import BODY, CAPTION, CELL, CELL_STRONG, SMALL, ruled_table, text_width, words
from reports.told_line import place_of

UNKNOWN: Final = "not shown"
_HEAD: Final = ("", "planned", "as built", "from")
_SHARES: Final = (0.16, 0.22, 0.27, 0.35)
Row = tuple[str, str, str, str]


def as_built_part(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    """Planned and built in one table; what the record does not say reads "not shown"."""
    plan = facts.record.scheduled
    parts = heading("Base as built", 150)
    if plan is None:
        return [*parts, words("The shaft is not scheduled: its base is not shown.", BODY)]
    rows: list[list[Any]] = [[words(each, CAPTION) for each in _HEAD]]
    for name, planned, built, source in _rows(facts, plan, shown):
        cells = (
            words(name, CELL_STRONG),
            words(planned, CELL),
            words(built, CELL_STRONG),
            words(source, SMALL),
        )
        rows.append(list(cells))
    width = text_width(facts.setup.units)
    return [*parts, ruled_table(rows, [width * share for share in _SHARES])]


def _rows(facts: ShaftFacts, plan: ShaftScheduled, shown: Shown) -> Iterator[Row]:
    reached = facts.record.base_reached
    depth = reached.values.drilled_depth if reached else None
    yield (
        "drilled depth",
        _length(plan.plan_depth_m, shown),
        shown.both(depth) if depth else UNKNOWN,
        _from(reached, shown) if reached else "",
    )
    tip_m, tip, source = _tip(facts, plan, shown)
    yield "tip elevation", shown.both(plan.tip_elevation), tip, source
    yield "diameter near the base", shown.both(plan.diameter), *_diameter(facts, shown)
    yield _socket(plan, tip_m, shown)
    yield "base area", _area(plan, shown), "", "of the planned diameter: all shares and loads here rest on it"
    yield from _seen(facts, shown)
    yield from _toe(facts, shown)


def _area(plan: ShaftScheduled, shown: Shown) -> str:
    area_m2 = pi * float(plan.diameter.si) ** 2 / 4
    si, us = f"{area_m2:.2f} m2", f"{area_m2 / float(FOOT_M) ** 2:.1f} ft2"
    return f"{us} ({si})" if shown.unit_of("length")[0] == "ft" else f"{si} ({us})"


def _length(length_m: Fraction, shown: Shown) -> str:
    si, us = f"{float(length_m):.2f} m", show_feet_inch(length_m)
    if shown.unit_of("length")[0] == "ft":
        return f"{us} ({si})"
    return f"{si} ({float(length_m / FOOT_M):.2f} ft)"


def _tip(facts: ShaftFacts, plan: ShaftScheduled, shown: Shown) -> tuple[Fraction | None, str, str]:
    """Tip as built: as stated afterwards, else as surveyed, else from the drilled depth."""
    stated: list[tuple[Reading, Line[Values]]] = [
        (each.values.tip_elevation, each) for each in facts.record.of(AsBuilt) if each.values.tip_elevation
    ] or [
        (each.values.tip_elevation, each)
        for each in facts.record.of(GeometrySurvey)
        if each.values.tip_elevation
    ]
    if stated:
        tip, line = stated[-1]
        return tip.si, shown.both(tip), _from(line, shown)
    reached = facts.record.base_reached
    if reached is None or reached.values.drilled_depth is None:
        return None, UNKNOWN, ""
    tip_m = plan.reference_elevation.si - reached.values.drilled_depth.si
    return tip_m, _elevation(tip_m, shown), "reference elevation less drilled depth; not surveyed"


def _elevation(value_m: Fraction, shown: Shown) -> str:
    si, us = f"{float(value_m):,.2f} m", f"{float(value_m / FOOT_M):,.2f} ft"
    return f"{us} ({si})" if shown.unit_of("length")[0] == "ft" else f"{si} ({us})"


def _diameter(facts: ShaftFacts, shown: Shown) -> tuple[str, str]:
    """The deepest diameter of the latest survey that has any, with the depth it was measured at."""
    found = [each for each in facts.record.of(GeometrySurvey) if each.values.diameters]
    if not found:
        return UNKNOWN, "not surveyed"
    line = found[-1]
    deepest: DiameterAt = max(line.values.diameters, key=lambda each: each.depth.si)
    text = f"{shown.both(deepest.diameter)} at {shown.reading(deepest.depth)}"
    least: DiameterAt = min(line.values.diameters, key=lambda each: each.diameter.si)
    if least.diameter.si < deepest.diameter.si:
        text += f"; least {shown.reading(least.diameter)} at {shown.reading(least.depth)}"
    return text, f"{line.values.means}, {_from(line, shown)}"


def _socket(plan: ShaftScheduled, tip_m: Fraction | None, shown: Shown) -> Row:
    top = plan.socket_top_elevation
    if top is None:
        return "socket length", "no socket top given", UNKNOWN, ""
    planned = _length(top.si - plan.tip_elevation.si, shown)
    built = _length(top.si - tip_m, shown) if tip_m is not None else UNKNOWN
    return "socket length", planned, built, f"from the planned socket top {shown.reading(top)} to the tip"


def _seen(facts: ShaftFacts, shown: Shown) -> Iterator[Row]:
    if not facts.record.of(BaseSighting):
        yield "base seen", "", UNKNOWN, "no sighting of the base from the surface is in the record"
    for line in facts.record.of(BaseSighting)[-2:]:
        seen = line.values
        yield "base seen", "", f"{', '.join(seen.seen)}: {seen.text}", f"{seen.means}, {_from(line, shown)}"


def _toe(facts: ShaftFacts, shown: Shown) -> Iterator[Row]:
    if not facts.record.of(AsBuilt):
        yield "integrity test at the toe", "", UNKNOWN, "no as-built entry is in the record"
    for line in facts.record.of(AsBuilt):
        toe = line.values.toe_finding
        doubt = " (toe doubtful)" if line.values.toe_doubtful else ""
        yield "integrity test at the toe", "", f"{toe}{doubt}" if toe else UNKNOWN, _from(line, shown)


def _from(line: Line[Values] | Any, shown: Shown) -> str:
    """Which entry says so, when and by whom."""
    entry = line.original
    return f"{entry.kind} {shown.moment(line.observed_at)}, {entry.draft.author} ({place_of(entry)})"
