"""Head over the highest piezometric level, through time, with the least head asked and the time not shown."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

from reportlab.platypus import Flowable

from fieldapp.criteria.limits import case_of, limit_for
from fieldapp.fluid.head import HeadReading as KnownHead
from fieldapp.fluid.head import head_record
from fieldapp.record.column import HeadReading
from fieldapp.record.reading import Reading
from fieldapp.record.setup import ProjectSetup, ShaftScheduled
from fieldapp.record.shaft import ShaftRecord
from fieldapp.record.words import Caution, Fluid
from fieldapp.units import from_si, show
from reports.axis import LimitLine
from reports.facts import ShaftFacts
from reports.quantities import Shown, span_text
from reports.style import BODY, CAPTION, text_width, words
from reports.time_chart import Point, Series, TimeChart, time_chart

_HEIGHT_PT = 178.0


@dataclass(frozen=True, slots=True)
class HeadAt:
    """Head over the highest piezometric level [m] at a moment."""

    at: datetime
    head_m: Fraction


def head_section(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    """The chart of the head, or the sentence that says why it is not shown."""
    plan = facts.record.scheduled
    if plan is not None and plan.fluid is Fluid.NONE and not facts.record.of(HeadReading):
        return [words("The shaft is dry: there is no head to read.", BODY)]
    if plan is None or not facts.record.of(HeadReading):
        return [words("No head reading is in the record: the head is not shown.", BODY)]
    heads = heads_of(facts.record, plan)
    if not heads:
        return [words("No piezometric level is in the record: the head over it is not shown.", BODY)]
    longest = _longest_gap(facts.setup, plan)
    gaps = _gaps(heads, facts.record, longest)
    unit = shown.unit_of("length")[0]
    points = [(each.at, from_si(each.head_m, unit)) for each in heads]
    series = Series("head, as read", "FilledCircle", _runs(points, gaps))
    least_m = least_head_m(facts.setup, plan)
    limits = (
        ()
        if least_m is None
        else (LimitLine(from_si(least_m, unit), f"at least {show(least_m, unit, 2)} asked", lower=True),)
    )
    chart = TimeChart(f"Head over the highest piezometric level, {unit}", (series,), limits, gaps)
    drawing = time_chart(chart, shown, text_width(facts.setup.units), _HEIGHT_PT)
    return [drawing, words(_says(heads, gaps, longest, shown), CAPTION)]


def heads_of(record: ShaftRecord, plan: ShaftScheduled) -> tuple[HeadAt, ...]:
    """Head at every reading over the highest level known at that time; empty when none is known.

    The level of a stratum is that of the plan until a reading gives another; of a stratum that the plan
    does not name, the first one read.
    """
    levels = {each.stratum: each.elevation.si for each in plan.piezometric_levels}
    lines = record.of(HeadReading)
    for line in lines:
        if line.values.piezometric_elevation is not None:
            levels.setdefault(line.values.stratum, line.values.piezometric_elevation.si)
    found: list[HeadAt] = []
    for line in lines:
        values = line.values
        if values.piezometric_elevation is not None:
            levels[values.stratum] = values.piezometric_elevation.si
        if levels:
            head_m = plan.reference_elevation.si - values.fluid_level.si - max(levels.values())
            found.append(HeadAt(line.observed_at, head_m))
    return tuple(found)


def least_head_m(setup: ProjectSetup, plan: ShaftScheduled) -> Fraction | None:
    """Least head asked [m], with what artesian ground adds; None when no number is entered."""
    case = case_of(setup, plan)
    least = limit_for(setup.acceptance, "min_head", case)
    if least is None or least.reading is None:
        return None
    extra = limit_for(setup.acceptance, "artesian_extra", case)
    adds = Caution.ARTESIAN in plan.cautions and extra is not None and extra.reading is not None
    return least.reading.si + (extra.reading.si if adds and extra and extra.reading else 0)


def _longest_gap(setup: ProjectSetup, plan: ShaftScheduled) -> Reading | None:
    found = limit_for(setup.acceptance, "max_head_gap", case_of(setup, plan))
    return found.reading if found is not None else None


def _gaps(
    heads: tuple[HeadAt, ...], record: ShaftRecord, longest: Reading | None
) -> tuple[tuple[datetime, datetime], ...]:
    if longest is None or longest.si <= 0:
        return ()
    origin = heads[0].at
    ends = [heads[0].at, heads[-1].at]
    reached, started = record.base_reached, record.concrete_started_at
    ends += [each for each in (reached.observed_at if reached else None, started) if each is not None]
    first, last = min(ends), max(ends)
    known = [KnownHead(_seconds(each.at - origin), each.head_m) for each in heads]
    seen = head_record(known, float(longest.si), _seconds(first - origin), _seconds(last - origin))
    return tuple(
        (origin + timedelta(seconds=gap.from_s), origin + timedelta(seconds=gap.until_s)) for gap in seen.gaps
    )


def _runs(points: list[Point], gaps: tuple[tuple[datetime, datetime], ...]) -> tuple[tuple[Point, ...], ...]:
    starts = {first for first, _ in gaps}
    runs: list[list[Point]] = [[]]
    for each in points:
        runs[-1].append(each)
        if each[0] in starts:
            runs.append([])
    return tuple(tuple(run) for run in runs if run)


def _says(
    heads: tuple[HeadAt, ...],
    gaps: tuple[tuple[datetime, datetime], ...],
    longest: Reading | None,
    shown: Shown,
) -> str:
    lowest = min(heads, key=lambda each: each.head_m)
    says = f"Lowest head read: {shown.quantity(lowest.head_m, 'length')} at {shown.moment(lowest.at)}. "
    says += "Lines join readings; between them the head may have been lower. "
    if longest is None:
        return says + "The acceptance set gives no longest time between readings."
    if not gaps:
        return says + f"No time between readings is over {longest}."
    together = sum((last - first for first, last in gaps), timedelta())
    return says + f"Hatched: {span_text(together)} without a reading, in stretches over {longest}; not shown."


def _seconds(span: timedelta) -> float:
    return span.total_seconds()
