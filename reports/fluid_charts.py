"""Density, funnel time, sand content and pH through time, near the base and higher up, with their limits."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from reportlab.platypus import Flowable, Table

from fieldapp.criteria.limits import Case, case_of, limit_for
from fieldapp.record.acceptance import Parameter
from fieldapp.record.column import FluidTest
from fieldapp.record.fold import Line
from fieldapp.record.reading import Reading
from fieldapp.record.setup import ProjectSetup, ShaftScheduled
from fieldapp.record.shaft import ShaftRecord
from fieldapp.record.words import Fluid, FluidStage, Salinity
from fieldapp.units import from_si, show
from reports.axis import LimitLine
from reports.facts import ShaftFacts
from reports.quantities import Shown
from reports.style import BODY, CAPTION, SOFT, text_width, words
from reports.time_chart import Point, Series, TimeChart, time_chart

_HEIGHT_PT: Final = 152.0
_GAP_PT: Final = 14.0


@dataclass(frozen=True, slots=True)
class _Property:
    """One tested property: field of the test, words, unit, limits in the acceptance set."""

    name: str
    title: str
    unit: str
    least: str
    most: str


def fluid_section(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    """Four small charts, or the sentence that says that no fluid was tested."""
    plan, tests = facts.record.scheduled, facts.record.of(FluidTest)
    if plan is not None and plan.fluid is Fluid.NONE and not tests:
        return [words("The shaft is dry: there is no fluid to test.", BODY)]
    if plan is None or not tests:
        return [words("No fluid test is in the record: the fluid is not shown.", BODY)]
    near = near_base(facts, plan)
    width = (text_width(facts.setup.units) - _GAP_PT) / 2
    cells = [_cell(each, facts, near, shown, width) for each in _properties(tests, shown)]
    style = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), _GAP_PT / 2),
    ]
    rows = [cells[i : i + 2] for i in range(0, len(cells), 2)]
    table = Table(rows, colWidths=[width + _GAP_PT / 2] * 2, style=style, hAlign="LEFT")
    return [table, words(_note(facts, plan), CAPTION)]


def near_base(facts: ShaftFacts, plan: ShaftScheduled) -> frozenset[str]:
    """Identifiers of the samples near the base.

    Near is within the distance that the acceptance set gives; without one, the deepest sample of its set.
    """
    tests = facts.record.of(FluidTest)
    within = limit_for(facts.setup.acceptance, "sample_bottom_within", case_of(facts.setup, plan))
    if within is not None and within.reading is not None:
        bottom_m, reach_m = _bottom_m(facts.record, plan), within.reading.si
        return frozenset(each.id for each in tests if bottom_m - each.values.sample_depth.si <= reach_m)
    sets: dict[int, list[Line[FluidTest]]] = defaultdict(list)
    for each in tests:
        sets[each.values.set].append(each)
    return frozenset(max(s, key=lambda each: each.values.sample_depth.si).id for s in sets.values())


def _bottom_m(record: ShaftRecord, plan: ShaftScheduled) -> Fraction:
    reached = record.base_reached
    if reached is not None and reached.values.drilled_depth is not None:
        return reached.values.drilled_depth.si
    return plan.plan_depth_m


def _properties(tests: tuple[Line[FluidTest], ...], shown: Shown) -> tuple[_Property, ...]:
    density = shown.unit_of("density")[0]
    cups = sorted({str(each.values.cup_volume) for each in tests if each.values.cup_volume is not None})
    cup = f" ({' and '.join(cups)} cup)" if cups else ""
    return (
        _Property("density", f"Density, {density}", density, "density_min", "density_max"),
        _Property("funnel_time", f"Funnel time, s{cup}", "s", "viscosity_min", "viscosity_max"),
        _Property("sand", "Sand content, %", "%", "", "sand_max"),
        _Property("ph", "pH", "pH", "ph_min", "ph_max"),
    )


def _cell(each: _Property, facts: ShaftFacts, near: frozenset[str], shown: Shown, width: float) -> Flowable:
    low: list[Point] = []
    high: list[Point] = []
    for line in facts.record.of(FluidTest):
        reading = getattr(line.values, each.name)
        if reading is not None:
            point = (line.observed_at, from_si(reading.si, each.unit))
            (low if line.id in near else high).append(point)
    if not low and not high:
        return words(f"{each.title}: not tested, not shown.", BODY)
    single = tuple((point,) for point in high)
    series = [Series("higher up", "Square", single, ink=SOFT)] if high else []
    series += [Series("near the base", "FilledCircle", (tuple(low),))] if low else []
    chart = TimeChart(each.title, tuple(series), _limits(each, facts))
    return time_chart(chart, shown, width, _HEIGHT_PT)


def _limits(each: _Property, facts: ShaftFacts) -> tuple[LimitLine, ...]:
    plan = facts.record.scheduled
    if plan is None:
        return ()
    case = case_of(facts.setup, plan).at(FluidStage.BEFORE_CONCRETE)
    found = []
    for name, bound, strict_bound in ((each.least, "at least", "over"), (each.most, "at most", "under")):
        limit = limit_for(facts.setup.acceptance, name, case) if name else None
        if limit is not None and limit.reading is not None:
            add = _salt_add(facts.setup, limit, case) if each.name == "density" else None
            value_si = limit.reading.si + (add.si if add else 0)
            text = show(value_si, limit.unit, 2) if add else str(limit.reading)
            label = f"{strict_bound if limit.strict else bound} {text}"
            found.append(LimitLine(from_si(value_si, each.unit), label, lower=name == each.least))
    return tuple(found)


def _salt_add(setup: ProjectSetup, limit: Parameter, case: Case) -> Reading | None:
    """What salt water adds to a density limit that was not itself written for salt water."""
    if setup.salinity is not Salinity.SALT or limit.applies.salinity:
        return None
    found = limit_for(setup.acceptance, "salt_density_add", case)
    return found.reading if found is not None else None


def _note(facts: ShaftFacts, plan: ShaftScheduled) -> str:
    within = limit_for(facts.setup.acceptance, "sample_bottom_within", case_of(facts.setup, plan))
    near = f"within {within.reading} of it" if within and within.reading else "the deepest sample of each set"
    add = limit_for(facts.setup.acceptance, "salt_density_add", case_of(facts.setup, plan))
    salty = facts.setup.salinity is Salinity.SALT and add is not None and add.reading is not None
    salt = f" Density limits hold {add.reading} more in salt water." if salty and add else ""
    return f"Limits are those before concrete.{salt} Near the base: {near}. What was not tested is not drawn."
