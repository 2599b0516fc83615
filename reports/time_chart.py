"""A quantity over local time: series told apart by marker, limits as lines, gaps hatched.

Nothing is drawn between two readings unless the caller puts them into one run.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from reportlab.graphics.charts.lineplots import LinePlot
from reportlab.graphics.shapes import Drawing, Group, Line, Rect, String
from reportlab.graphics.widgets.markers import makeMarker
from reportlab.lib.colors import Color

from reports.axis import SIZE_PT, LimitLine, clock_ticks, format_of, hours_of, plain_axis, round_range
from reports.fonts import BOLD, REGULAR, fitted, text_width_pt
from reports.quantities import Shown
from reports.style import GROUND, INK, NOT_MET, NOT_SHOWN, SOFT, WELL

Point = tuple[datetime, float]
_LEFT_PT: Final = 34.0
_RIGHT_PT: Final = 8.0
_BOTTOM_PT: Final = 27.0
_TOP_PT: Final = 27.0
_LABEL_PT: Final = 6.5


@dataclass(frozen=True, slots=True)
class Series:
    """Readings of one name; each run is joined by a line, and no line joins two runs."""

    name: str
    marker: str
    runs: tuple[tuple[Point, ...], ...]
    ink: Color = INK


@dataclass(frozen=True, slots=True)
class TimeChart:
    """What a chart shows; ``gaps`` are stretches of time that are not shown."""

    title: str
    series: tuple[Series, ...]
    limits: tuple[LimitLine, ...] = ()
    gaps: tuple[tuple[datetime, datetime], ...] = ()

    @property
    def moments(self) -> list[datetime]:
        """Every moment that the chart must reach."""
        read = [at for each in self.series for run in each.runs for at, _ in run]
        return read + [end for gap in self.gaps for end in gap]

    @property
    def values(self) -> list[float]:
        """Every value that the chart must reach."""
        read = [value for each in self.series for run in each.runs for _, value in run]
        return read + [each.value for each in self.limits]


@dataclass(frozen=True, slots=True)
class _Frame:
    """The plot's place on paper [pt] and the ranges of its axes (hours from ``start``)."""

    width: float
    height: float
    right: float
    start: datetime
    hours: tuple[float, float]
    low: float
    step: float
    high: float

    def x(self, moment: datetime) -> float:
        share = (hours_of(moment - self.start) - self.hours[0]) / (self.hours[1] - self.hours[0])
        return _LEFT_PT + share * (self.width - _LEFT_PT - self.right)

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return _BOTTOM_PT + share * (self.height - _BOTTOM_PT - _TOP_PT)


def time_chart(chart: TimeChart, shown: Shown, width_pt: float, height_pt: float) -> Drawing:
    """The chart as a drawing.  It needs at least one reading; the caller says so in words otherwise."""
    frame = _frame(chart, shown, width_pt, height_pt)
    drawing = Drawing(width_pt, height_pt)
    title = fitted(chart.title, BOLD, 8.5, width_pt)
    drawing.add(String(0, height_pt - 8, title, fontName=BOLD, fontSize=8.5, fillColor=INK))
    drawing.add(_key(chart, height_pt - 19))
    for first, last in chart.gaps:
        drawing.add(_gap(frame, first, last))
    drawing.add(_plot(chart, shown, frame))
    for each in _limits(chart, frame):
        drawing.add(each)
    return drawing


def _frame(chart: TimeChart, shown: Shown, width: float, height: float) -> _Frame:
    first, last = min(chart.moments), max(chart.moments)
    start = shown.local(first).replace(hour=0, minute=0, second=0, microsecond=0)
    begin, end = hours_of(first - start), hours_of(last - start)
    pad = max((end - begin) * 0.04, 0.25)
    low, step, high = round_range(chart.values, height)
    labels = [text_width_pt(each.label, BOLD, _LABEL_PT) for each in chart.limits]
    right = _RIGHT_PT + max(labels, default=0.0)
    return _Frame(width, height, right, start, (begin - pad, end + pad), low, step, high)


def _plot(chart: TimeChart, shown: Shown, frame: _Frame) -> LinePlot:
    plot = LinePlot()
    plot.x, plot.y = _LEFT_PT, _BOTTOM_PT
    plot.width, plot.height = frame.width - _LEFT_PT - frame.right, frame.height - _BOTTOM_PT - _TOP_PT
    drawn = [(each, run) for each in chart.series for run in each.runs if run]
    plot.data = [[(hours_of(at - frame.start), value) for at, value in run] for _, run in drawn]
    for i, (each, _) in enumerate(drawn):
        plot.lines[i].strokeColor = each.ink
        plot.lines[i].strokeWidth = 1.0
        plot.lines[i].symbol = _symbol(each)
    time = plot.xValueAxis
    time.valueMin, time.valueMax = frame.hours
    time.valueSteps, time.labelTextFormat = clock_ticks(frame.hours, plot.width, shown, frame.start)
    plain_axis(time)
    axis = plot.yValueAxis
    axis.valueMin, axis.valueMax, axis.valueStep = frame.low, frame.high, frame.step
    axis.labelTextFormat = format_of(frame.step)
    plain_axis(axis, grid=True)
    return plot


def _symbol(series: Series) -> Any:
    symbol = makeMarker(series.marker, size=5.5)
    symbol.strokeColor, symbol.strokeWidth = series.ink, 0.9
    symbol.fillColor = series.ink if series.marker.startswith("Filled") else GROUND
    return symbol


def _key(chart: TimeChart, y: float) -> Group:
    group, x = Group(), _LEFT_PT
    for each in chart.series:
        if any(len(run) > 1 for run in each.runs):
            group.add(Line(x, y, x + 20, y, strokeColor=each.ink, strokeWidth=1.0))
        symbol = _symbol(each)
        symbol.x, symbol.y = x + 10, y
        group.add(symbol)
        group.add(String(x + 24, y - 2.4, each.name, fontName=REGULAR, fontSize=SIZE_PT, fillColor=SOFT))
        x += 36 + text_width_pt(each.name, REGULAR, SIZE_PT)
    return group


def _gap(frame: _Frame, first: datetime, last: datetime) -> Group:
    left, right = frame.x(first), frame.x(last)
    bottom, top = _BOTTOM_PT, frame.height - _TOP_PT
    group = Group(Rect(left, bottom, right - left, top - bottom, fillColor=WELL, strokeColor=None))
    for end in (left, right):
        group.add(Line(end, bottom, end, top, strokeColor=NOT_SHOWN, strokeWidth=0.8, strokeDashArray=(3, 2)))
    at = left
    while at < right:
        reach = min(right - at, 5.0)
        group.add(Line(at, bottom, at + reach, bottom + reach, strokeColor=NOT_SHOWN, strokeWidth=0.6))
        at += 5.0
    middle = (left + right) / 2
    if right - left > text_width_pt("not shown", REGULAR, SIZE_PT):
        words = String(middle, top - 9, "not shown", fontName=REGULAR, fontSize=SIZE_PT, textAnchor="middle")
        group.add(words)
    return group


def _limits(chart: TimeChart, frame: _Frame) -> Iterator[Group]:
    right = frame.width - frame.right
    for each in chart.limits:
        y = frame.y(each.value)
        line = Line(_LEFT_PT, y, right, y, strokeColor=NOT_MET, strokeWidth=1.1, strokeDashArray=(6, 2, 1, 2))
        base = y - 5.5 if each.lower else y + 0.5
        yield Group(line, String(right + 4, base, each.label, fontName=BOLD, fontSize=_LABEL_PT))
