"""Values of many shafts over the days of a project, with limits, and a lane for what is not shown.

A value within its limit is a filled circle, one that is not an open diamond, one without a limit or an
answer an open square.  What is not shown has no value: it stands as an upright in a lane of its own below
the plot, at its day, and is never drawn at 0.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from reportlab.graphics.shapes import Circle, Drawing, Group, Line, Polygon, Rect, String

from fieldapp.criteria.finding import Outcome
from reports.axis import SIZE_PT, LimitLine, format_of, round_range
from reports.fonts import BOLD, REGULAR, fitted, text_width_pt
from reports.quantities import Shown
from reports.style import GROUND, HAIR, INK, SOFT, WELL

Value = tuple[datetime, float, Outcome]
_LEFT: Final = 34.0
_TOP: Final = 16.0
_BOTTOM: Final = 30.0
_LANE: Final = 11.0
_OVER_LANE: Final = 6.0
_LABEL: Final = 6.5
_MARK: Final = 2.4
_TICK_ROOM: Final = 46.0
_FEW_DAYS: Final = 3
_DAYS: Final = (1, 2, 7, 14, 28, 56, 91, 182, 364)


@dataclass(frozen=True, slots=True)
class DayChart:
    """What a chart shows; ``absent`` are the moments of what is not shown, ``most`` what no value passes."""

    title: str
    values: tuple[Value, ...]
    limits: tuple[LimitLine, ...]
    absent: tuple[datetime, ...]
    most: float | None = None


@dataclass(frozen=True, slots=True)
class _Place:
    """Where the plot stands on paper [pt] and the ranges of its axes (days from ``start``)."""

    width: float
    height: float
    right: float
    start: datetime
    days: tuple[float, float]
    low: float
    step: float
    high: float

    def x(self, moment: datetime) -> float:
        return self.x_of((moment - self.start) / timedelta(days=1))

    def x_of(self, day: float) -> float:
        share = (day - self.days[0]) / (self.days[1] - self.days[0])
        return _LEFT + share * (self.width - _LEFT - self.right)

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        bottom = _BOTTOM + _LANE + _OVER_LANE
        return bottom + share * (self.height - bottom - _TOP)


def day_chart(chart: DayChart, shown: Shown, width_pt: float, height_pt: float) -> Drawing:
    """The chart as a drawing; it needs a value or a moment that is not shown, else the caller says so."""
    place = _place(chart, shown, width_pt, height_pt)
    drawing = Drawing(width_pt, height_pt)
    title = fitted(chart.title, BOLD, 8.5, width_pt)
    drawing.add(String(0, height_pt - 8, title, fontName=BOLD, fontSize=8.5, fillColor=INK))
    for each in (*_axes(place, shown, bool(chart.values)), *_lane(chart, place)):
        drawing.add(each)
    for each in _limits(chart, place):
        drawing.add(each)
    for at, value, outcome in chart.values:
        drawing.add(day_mark(outcome, place.x(at), place.y(value)))
    return drawing


def day_mark(outcome: Outcome, x: float, y: float) -> Circle | Polygon | Rect:
    """The mark of a value: filled circle within, open diamond over, open square without an answer."""
    if outcome is Outcome.MET:
        return Circle(x, y, _MARK, fillColor=INK, strokeColor=INK, strokeWidth=0.5)
    if outcome is Outcome.NOT_MET:
        r = _MARK * 1.5
        corners = [x, y - r, x + r, y, x, y + r, x - r, y]
        return Polygon(corners, fillColor=GROUND, strokeColor=INK, strokeWidth=1.1)
    r = _MARK
    return Rect(x - r, y - r, 2 * r, 2 * r, fillColor=GROUND, strokeColor=SOFT, strokeWidth=0.9)


def absent_mark(x: float, y: float) -> Line:
    """The upright of what is not shown."""
    return Line(x, y, x, y + _LANE - 4, strokeColor=INK, strokeWidth=0.9)


def _place(chart: DayChart, shown: Shown, width: float, height: float) -> _Place:
    moments = [at for at, _, _ in chart.values] + list(chart.absent)
    first, last = min(moments), max(moments)
    start = shown.local(first).replace(hour=0, minute=0, second=0, microsecond=0)
    ends = [(each - start) / timedelta(days=1) for each in (first, last)]
    pad = max((ends[1] - ends[0]) * 0.03, 0.25)
    days = (ends[0] - pad, ends[1] + pad)
    if ends[1] - ends[0] < _FEW_DAYS:  # from midnight to midnight, so that each day has its tick
        days = (float(math.floor(days[0])), float(math.ceil(days[1])))
    values = [value for _, value, _ in chart.values] + [each.value for each in chart.limits]
    low, step, high = round_range(values or [0.0, 1.0], height)
    high = min(high, chart.most) if chart.most is not None else high
    labels = [text_width_pt(each.label, REGULAR, _LABEL) for each in chart.limits]
    right = 8.0 + max(labels, default=0.0)
    return _Place(width, height, right, start, days, low, step, high)


def _axes(place: _Place, shown: Shown, with_values: bool) -> Iterator[Line | String]:
    left, right, bottom = _LEFT, place.width - place.right, _BOTTOM + _LANE + _OVER_LANE
    if with_values:
        for number in range(round((place.high - place.low) / place.step) + 1):
            value = place.low + number * place.step
            y = place.y(value)
            yield Line(left, y, right, y, strokeColor=HAIR, strokeWidth=0.4)
            text = format_of(place.step) % value
            yield String(
                left - 4, y - 2.4, text, fontName=REGULAR, fontSize=SIZE_PT, fillColor=SOFT, textAnchor="end"
            )
    yield Line(left, bottom, right, bottom, strokeColor=INK, strokeWidth=0.8)
    yield Line(left, bottom, left, place.height - _TOP, strokeColor=INK, strokeWidth=0.8)
    for day in _ticks(place):
        x = place.x_of(day)
        yield Line(x, _BOTTOM, x, _BOTTOM - 3, strokeColor=INK, strokeWidth=0.8)
        text = shown.day(place.start + timedelta(days=day, hours=1))
        yield String(
            x, _BOTTOM - 11, text, fontName=REGULAR, fontSize=SIZE_PT, fillColor=SOFT, textAnchor="middle"
        )


def _ticks(place: _Place) -> list[int]:
    first, last = math.ceil(place.days[0]), math.floor(place.days[1])
    room = max(1, int((place.width - _LEFT - place.right) / _TICK_ROOM))
    step = next((each for each in _DAYS if (last - first) / each < room), 0) or math.ceil(
        (last - first + 1) / room
    )
    return list(range(first, last + 1, step)) or [first]


def _lane(chart: DayChart, place: _Place) -> Iterator[Line | Rect | String]:
    right = place.width - place.right
    yield Rect(_LEFT, _BOTTOM, right - _LEFT, _LANE, fillColor=WELL, strokeColor=HAIR, strokeWidth=0.5)
    label = f"not shown: {len(chart.absent)}"
    yield String(0, _BOTTOM - 21, label, fontName=REGULAR, fontSize=SIZE_PT, fillColor=INK)
    for each in chart.absent:
        yield absent_mark(place.x(each), _BOTTOM + 2)


def _limits(chart: DayChart, place: _Place) -> Iterator[Group]:
    right = place.width - place.right
    for each in chart.limits:
        y = place.y(each.value)
        dash = (1, 2) if each.lower else (6, 2)
        line = Line(_LEFT, y, right, y, strokeColor=INK, strokeWidth=1.1, strokeDashArray=dash)
        base = y - 2.2
        yield Group(
            line, String(right + 3, base, each.label, fontName=REGULAR, fontSize=_LABEL, fillColor=INK)
        )
