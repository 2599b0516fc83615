"""How long the base stays as it was sounded: thickness against time, low, best and high.

Once concrete is in, the chart ends there: what would have settled later is nobody's question any more.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

from reportlab.platypus import CondPageBreak, Flowable, Spacer, Table

from fieldapp.base.pass_worth import NextPass
from fieldapp.fluid.forecast import BoundOnly, Forecast, NotForecast, RiseOnly
from fieldapp.fluid.settling_set import Assumption
from fieldapp.fluid.suspended import Course
from fieldapp.record.words import Fluid
from reports.axis import clock_ticks, hours_of
from reports.curve_chart import BOUND, LONG, MIXED, SHORT, Curve, CurveChart, Upright, curve_chart
from reports.facts import ShaftFacts
from reports.quantities import Shown, span_text
from reports.style import BODY, CAPTION, CELL, CELL_STRONG, SUBHEADING, ruled_table, text_width, words
from reports.worth_facts import ForecastHeld, OutlookFacts
from reports.worth_words import NO_BREAK, WorthWords, listed

_CHART_PT: Final = 300.0
_HEIGHT_PT: Final = 140.0
_ROOM_PT: Final = 182.0
_GAP_PT: Final = 14.0
_SAMPLES: Final = 72
_AFTER_CONCRETE: Final = 1.25
_ROOM_OVER: Final = 1.8
_LEAST_TOP_M: Final = 0.005
_AFTER_SETTLING: Final = 1.3
_HOUR_S: Final = 3600.0
_DASH: Final = {Assumption.LOW: SHORT, Assumption.BEST: LONG, Assumption.HIGH: MIXED}


@dataclass(frozen=True, slots=True)
class _Told:
    """Courses over a thickness at their beginning [m], 0 where only the rise is told; the span shown [s]."""

    outlook: OutlookFacts
    answer: Forecast | RiseOnly
    begin_m: float
    courses: tuple[Course, ...]
    concrete_s: float | None
    span_s: float

    @property
    def only_rise(self) -> bool:
        return isinstance(self.answer, RiseOnly)

    @property
    def last_s(self) -> float:
        """The last moment that matters: the end of the chart with concrete in, else the horizon."""
        return self.answer.outlook.times_s[-1] if self.concrete_s is None else self.span_s

    def at(self, course: Course, seconds: float) -> float:
        return self.begin_m + course.rise.at(seconds)


def forecast_part(outlook: OutlookFacts, facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    """Chart and words of the forecast, or why there is none; then the next pass while the hole is open."""
    say, answer = WorthWords(facts.setup.units), outlook.answer
    plan = facts.record.scheduled
    title = words(f"Sediment after round {outlook.from_round}, as time goes by", SUBHEADING)
    more = _next_pass(outlook, facts, say)
    if not isinstance(answer, Forecast | RiseOnly):
        dry = plan is not None and plan.fluid is Fluid.NONE
        said = [words("The shaft is dry: nothing settles.", BODY)] if dry else _without(outlook, say)
        return [CondPageBreak(50), title, *said, *more] if said or more else []
    told = _told(outlook, answer, facts)
    width = text_width(facts.setup.units)
    chart = curve_chart(_chart(told, shown, say), _CHART_PT, _HEIGHT_PT)
    beside = _beside(told, shown, say, width - _CHART_PT - _GAP_PT)
    style = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)]
    style += [("RIGHTPADDING", (0, 0), (-1, -1), 0), ("TOPPADDING", (0, 0), (-1, -1), 0)]
    both = Table([[chart, beside]], colWidths=[_CHART_PT + _GAP_PT, None], style=style, hAlign="LEFT")
    return [CondPageBreak(_ROOM_PT), title, Spacer(1, 2), both, words(_assumed(told), CAPTION), *more]


def _without(outlook: OutlookFacts, say: WorthWords) -> list[Flowable]:
    """Words in place of a chart."""
    answer = outlook.answer
    if isinstance(answer, BoundOnly):
        text = f"If all the sand in suspension settled, {say.short(answer.most_rise_m)} would be added"
        text += f", to {say.short(answer.most_m)} in the mean" if answer.most_m is not None else ""
        text += "; the limit is kept even then" if answer.bound_keeps_limit else ""
        return [words(f"{text}. How fast is not shown, for want of {listed(answer.missing)}.", BODY)]
    missing = answer.missing if isinstance(answer, NotForecast) else outlook.missing
    return [words(f"Not forecast, for want of {listed(missing)}.", BODY)] if missing else []


def _told(outlook: OutlookFacts, answer: Forecast | RiseOnly, facts: ShaftFacts) -> _Told:
    started = facts.record.concrete_started_at
    concrete_s = None if started is None else (started - outlook.from_moment).total_seconds()
    if concrete_s is not None and concrete_s <= 0:
        concrete_s = None
    if isinstance(answer, Forecast):
        begin_m, courses = answer.thickness_now_m, tuple(each.course for each in answer.courses)
    else:
        begin_m, courses = 0.0, answer.courses
    span_s = _span_s(courses, answer.outlook.times_s[-1], concrete_s)
    return _Told(outlook, answer, begin_m, courses, concrete_s, span_s)


def _span_s(courses: tuple[Course, ...], horizon_s: float, concrete_s: float | None) -> float:
    """The span to draw, in whole hours: a little past concrete, else until all has settled at best."""
    if concrete_s is not None:
        return max(concrete_s * _AFTER_CONCRETE, _HOUR_S)
    ends = [each.rise.end_s for each in courses if each.assumption is not Assumption.HIGH]
    settled_s = _AFTER_SETTLING * max(ends, default=horizon_s)
    return min(horizon_s, max(1, math.ceil(settled_s / _HOUR_S)) * _HOUR_S)


def _chart(told: _Told, shown: Shown, say: WorthWords) -> CurveChart:
    start = shown.local(told.outlook.from_moment).replace(hour=0, minute=0, second=0, microsecond=0)
    begin_h = hours_of(told.outlook.from_moment - start)
    seconds = [told.span_s * k / _SAMPLES for k in range(_SAMPLES + 1)]
    hours = [begin_h + each / 3600 for each in seconds]
    limit_m = _limit_m(told)
    top_m = _top_m(told, limit_m)
    curves = []
    for each in told.courses:
        values = [say.in_short(told.at(each, at)) for at in seconds]
        beyond = values[-1] > say.in_short(top_m)
        name = f"{each.assumption}, to {say.short(told.at(each, told.last_s))}" if beyond else each.assumption
        curves.append(Curve(str(name), tuple(zip(hours, values, strict=True)), _DASH[each.assumption]))
    if limit_m is not None:
        level = say.in_short(limit_m)
        curves.append(Curve("limit", ((hours[0], level), (hours[-1], level)), BOUND, 0.9))
    ticks, labels = clock_ticks((hours[0], hours[-1]), _CHART_PT * 0.62, shown, start)
    uprights: tuple[Upright, ...] = ()
    if told.concrete_s is not None:
        uprights = (Upright(begin_h + told.concrete_s / 3600, "concrete started"),)
    what = "Rise of the sediment" if told.only_rise else "Mean thickness"
    return CurveChart(
        title=f"{what}, {say.short_unit}",
        x_title="",
        curves=tuple(curves),
        dots=((hours[0], say.in_short(told.begin_m)),),
        uprights=uprights,
        top=say.in_short(top_m),
        ticks=(tuple(ticks), tuple(labels)),
    )


def _limit_m(told: _Told) -> float | None:
    """The mean that breaks the requirement; None where it is not told or leaves no room."""
    limit = told.answer.outlook.limit
    return None if limit is None or told.only_rise or _no_room(told) else float(limit.thickness_m)


def _no_room(told: _Told) -> bool:
    """Whether any rise breaks the requirement, if it is met at all."""
    limit = told.answer.outlook.limit
    return limit is not None and not told.only_rise and float(limit.thickness_m) <= told.begin_m


def _top_m(told: _Told, limit_m: float | None) -> float:
    """Room for the best course and the limit; the high one may leave the chart and then says where to."""
    best = max(told.at(each, told.span_s) for each in told.courses if each.assumption is not Assumption.HIGH)
    high = max(told.at(each, told.span_s) for each in told.courses)
    wanted = _ROOM_OVER * max(best, limit_m or 0.0, told.begin_m, _LEAST_TOP_M)
    return min(wanted, max(high * 1.1, limit_m or 0.0, _LEAST_TOP_M) * 1.05)


def _beside(told: _Told, shown: Shown, say: WorthWords, width: float) -> list[Flowable]:
    parts: list[Flowable] = [_table(told, shown, say, width), Spacer(1, 4)]
    said = [*_says(told, shown), *(_held(each, say) for each in told.outlook.held)]
    for each in said:
        parts += [words(each, BODY), Spacer(1, 2)]
    return parts


def _table(told: _Told, shown: Shown, say: WorthWords, width: float) -> Table:
    names = [str(each.assumption) for each in told.courses]
    rows: list[list[Any]] = [
        [words(each, CAPTION) for each in ("rise" if told.only_rise else "mean", *names)]
    ]
    for label, seconds in _moments(told, shown):
        values = [words(say.short(told.at(each, seconds)), CELL) for each in told.courses]
        rows.append([words(label, CELL_STRONG), *values])
    shares = (0.37, *(0.63 / len(names) for _ in names))
    return ruled_table(rows, [width * share for share in shares])


def _moments(told: _Told, shown: Shown) -> Iterator[tuple[str, float]]:
    begin = told.outlook.from_moment
    yield f"round {told.outlook.from_round}, {shown.clock(begin)}", 0.0
    if told.concrete_s is not None:
        yield f"concrete, {shown.clock(begin + timedelta(seconds=told.concrete_s))}", told.concrete_s
        return
    for seconds in (told.span_s / 4, told.span_s / 2, told.last_s):
        yield f"after {span_text(timedelta(seconds=seconds))}", seconds


def _says(told: _Told, shown: Shown) -> Iterator[str]:
    outlook, answer = told.outlook, told.answer
    if isinstance(answer, RiseOnly):
        yield f"Only the rise is forecast; not shown: {listed(answer.missing)}."
        return
    if _no_room(told):
        yield f"The requirement leaves no room for any rise after round{NO_BREAK}{outlook.from_round}."
    if told.concrete_s is not None:
        gap = span_text(timedelta(seconds=told.concrete_s))
        yield f"Concrete started {gap} after the round. Only a sounding shows the thickness."
    elif answer.sound_again is None or outlook.sound_again_by is None:
        yield "Only a sounding shows the thickness."
    elif not _no_room(told):
        by_best = answer.sound_again.by_best
        yield _again(outlook.sound_again_by, outlook.may_break_from, by_best, shown)


def _again(by: datetime, from_: datetime | None, by_best: bool, shown: Shown) -> str:
    why = "when the best course breaks the requirement" if by_best else "the end of the forecast"
    text = f"Sound again by {shown.moment(by)}, {why}."
    return text if from_ is None else f"{text} At worst it may break from {shown.moment(from_)}."


def _held(each: ForecastHeld, say: WorthWords) -> str:
    found = each.comparison
    forecasts = ", ".join(f"{held.assumption} {say.short(held.forecast_m)}" for held in found.held)
    verdict = "within" if found.within else "outside"
    pair = f"Round {each.from_round} to {each.to_round}"
    return f"{pair}: measured {say.short(found.measured_m)}, {verdict} the forecast ({forecasts})."


def _assumed(told: _Told) -> str:
    said = [f"{str(each.assumption).capitalize()}: {each.assumed}." for each in told.courses]
    if _limit_m(told) is not None:
        said.append("Limit: the mean at which an even rise breaks the requirement.")
    return " ".join([*said, *told.answer.basis.notes])


def _next_pass(outlook: OutlookFacts, facts: ShaftFacts, say: WorthWords) -> list[Flowable]:
    worth = outlook.next_pass
    if facts.record.concrete_started_at is not None or worth is None:
        return []
    if not isinstance(worth, NextPass):
        text = f"What one more cleanout pass would take off is not told. {worth.reason}"
        return [Spacer(1, 2), words(text, BODY)]
    gain = worth.gain_m
    text = f"One more cleanout pass is likely to take off {say.short(max(gain.best, 0.0))} of the mean"
    text += f" ({say.short(gain.low)} to {say.short(gain.high)}); {worth.trend}."
    return [Spacer(1, 2), words(text, BODY)]
