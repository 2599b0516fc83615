"""One quantity over another: curves told apart by their dashes, each named beside its end.

Nothing rests on colour.  A curve that leaves the chart ends at its top, and its name says where it goes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

from reportlab.graphics.charts.lineplots import LinePlot
from reportlab.graphics.shapes import Circle, Drawing, Group, Line, Polygon, String
from reportlab.lib.colors import HexColor

from reports.axis import SIZE_PT, format_of, plain_axis, round_step
from reports.fonts import BOLD, REGULAR, fitted, text_width_pt
from reports.style import GROUND, HAIR, INK, SOFT

Pair = tuple[float, float]
Dash = tuple[float, ...]
SOLID: Final[Dash] = ()
LONG: Final[Dash] = (7, 2.5)
SHORT: Final[Dash] = (2.5, 2)
MIXED: Final[Dash] = (8, 2, 1.5, 2)
DOTTED: Final[Dash] = (0.9, 2)
BOUND: Final[Dash] = (11, 3)
BAND: Final = HexColor("#E2E6E9")

_LEFT_PT: Final = 32.0
_BOTTOM_PT: Final = 26.0
_TOP_PT: Final = 15.0
_ROW_PT: Final = 8.5
_STEP_PT: Final = 17.0
_SAMPLE_PT: Final = 19.0
_NAME_ROOM_PT: Final = 9.5
_TO_NAMES_PT: Final = 9.0
_LABEL_PT: Final = 6.8
_HEADROOM: Final = 1.06
_TICK_PT: Final = 34.0


@dataclass(frozen=True, slots=True)
class Curve:
    """Points in rising order of x, joined; the dashes and the weight tell it from the others."""

    name: str
    points: tuple[Pair, ...]
    dash: Dash = SOLID
    weight_pt: float = 1.3


@dataclass(frozen=True, slots=True)
class Upright:
    """A value of x that matters, with its words."""

    x: float
    label: str


@dataclass(frozen=True, slots=True)
class CurveChart:
    """What a chart shows.

    ``band`` is filled between its lower and its upper points; ``top`` is the greatest y to be drawn, None
    for all; ``ticks`` and their labels take the place of round steps along x.
    """

    title: str
    x_title: str
    curves: tuple[Curve, ...]
    band: tuple[tuple[Pair, ...], tuple[Pair, ...]] | None = None
    dots: tuple[Pair, ...] = ()
    uprights: tuple[Upright, ...] = ()
    top: float | None = None
    ticks: tuple[tuple[float, ...], tuple[str, ...]] | None = None


@dataclass(frozen=True, slots=True)
class _Frame:
    """The plot on paper [pt], and the ranges of its axes."""

    width: float
    height: float
    x_from: float
    x_to: float
    y_to: float
    y_step: float

    def x(self, value: float) -> float:
        return _LEFT_PT + self.width * (value - self.x_from) / (self.x_to - self.x_from)

    def y(self, value: float) -> float:
        return _BOTTOM_PT + self.height * value / self.y_to

    @property
    def right(self) -> float:
        return _LEFT_PT + self.width

    @property
    def ceiling(self) -> float:
        return _BOTTOM_PT + self.height


def curve_chart(chart: CurveChart, width_pt: float, height_pt: float) -> Drawing:
    """The chart as a drawing; y begins at 0.  It needs a curve of two points or more."""
    frame = _frame(chart, width_pt, height_pt)
    drawing = Drawing(width_pt, height_pt)
    title = fitted(chart.title, BOLD, 8.5, width_pt)
    drawing.add(String(0, height_pt - 8, title, fontName=BOLD, fontSize=8.5, fillColor=INK))
    if chart.band is not None:
        lower, upper = (below(each, frame.y_to) for each in chart.band)
        corners = [at for x, y in (*lower, *reversed(upper)) for at in (frame.x(x), frame.y(y))]
        drawing.add(Polygon(corners, fillColor=BAND, strokeColor=None))
    for each in _uprights(chart, frame):
        drawing.add(each)
    drawing.add(_plot(chart, frame))
    for x, y in chart.dots:
        at = (frame.x(x), frame.y(y))
        drawing.add(Circle(*at, 2.4, fillColor=INK, strokeColor=GROUND, strokeWidth=0.7))
    for each in _names(chart, frame):
        drawing.add(each)
    x_title = String(frame.right, 2, chart.x_title, fontName=REGULAR, fontSize=SIZE_PT, textAnchor="end")
    x_title.fillColor = SOFT
    drawing.add(x_title)
    return drawing


def below(points: Sequence[Pair], top: float) -> tuple[Pair, ...]:
    """The points up to where they first pass ``top``, with the place where they do."""
    kept: list[Pair] = []
    for x, y in points:
        if y > top:
            if kept:
                x0, y0 = kept[-1]
                kept.append((x0 + (x - x0) * (top - y0) / (y - y0), top))
            break
        kept.append((x, y))
    return tuple(kept)


def _frame(chart: CurveChart, width_pt: float, height_pt: float) -> _Frame:
    names = max(text_width_pt(each.name, REGULAR, SIZE_PT) for each in chart.curves)
    width = width_pt - _LEFT_PT - _TO_NAMES_PT - _SAMPLE_PT - 4 - names
    height = height_pt - _BOTTOM_PT - _TOP_PT - _ROW_PT * len(chart.uprights)
    x_values = [x for each in chart.curves for x, _ in each.points]
    highest = max(y for each in chart.curves for _, y in each.points)
    y_to = chart.top if chart.top is not None else max(highest, 1e-6) * _HEADROOM
    step = round_step(y_to, max(2, int(height / _STEP_PT)))
    return _Frame(width, height, min(x_values), max(x_values), y_to, step)


def _plot(chart: CurveChart, frame: _Frame) -> LinePlot:
    plot = LinePlot()
    plot.x, plot.y, plot.width, plot.height = _LEFT_PT, _BOTTOM_PT, frame.width, frame.height
    plot.data = [list(below(each.points, frame.y_to)) for each in chart.curves]
    for i, each in enumerate(chart.curves):
        plot.lines[i].strokeColor = INK
        plot.lines[i].strokeWidth = each.weight_pt
        plot.lines[i].strokeDashArray = each.dash or None
        plot.lines[i].symbol = None
    _axes(plot.xValueAxis, plot.yValueAxis, chart, frame)
    return plot


def _axes(across: Any, up: Any, chart: CurveChart, frame: _Frame) -> None:
    across.valueMin, across.valueMax = frame.x_from, frame.x_to
    if chart.ticks is None:
        across.valueStep = round_step(frame.x_to - frame.x_from, max(2, int(frame.width / _TICK_PT)))
        across.labelTextFormat = format_of(across.valueStep)
    else:
        across.valueSteps, across.labelTextFormat = (list(each) for each in chart.ticks)
    plain_axis(across)
    up.valueMin, up.valueMax, up.valueStep = 0, frame.y_to, frame.y_step
    digits = format_of(frame.y_step)
    up.labelTextFormat = lambda value: format(value, f",{digits[1:]}")
    plain_axis(up, grid=True)


def _uprights(chart: CurveChart, frame: _Frame) -> Iterator[Group]:
    """Lines from the axis to their labels above the plot, the last the lowest."""
    for row, each in enumerate(reversed(chart.uprights)):
        x, y = frame.x(each.x), frame.ceiling + row * _ROW_PT
        left = x + 4 + text_width_pt(each.label, REGULAR, _LABEL_PT) > frame.right
        words = String(x - 3 if left else x + 3, y + 1, each.label, fontName=REGULAR, fontSize=_LABEL_PT)
        words.textAnchor, words.fillColor = "end" if left else "start", INK
        yield Group(Line(x, _BOTTOM_PT, x, y + 7, strokeColor=SOFT, strokeWidth=0.7), words)


def _names(chart: CurveChart, frame: _Frame) -> Iterator[Group]:
    """Name and dashes of every curve at the height of its end, moved apart where they would touch."""
    ends = [(below(each.points, frame.y_to), each) for each in chart.curves]
    ranked = sorted(((shown[-1], each) for shown, each in ends if shown), key=lambda end: end[0][1])
    heights = apart([frame.y(y) for (_, y), _ in ranked], _BOTTOM_PT + 2, frame.ceiling)
    start = frame.right + _TO_NAMES_PT
    for ((x, y), each), at in zip(ranked, heights, strict=True):
        group = Group()
        if x >= frame.x_to:
            leader = Line(frame.right + 1, frame.y(y), start - 1.5, at, strokeColor=HAIR, strokeWidth=0.5)
            group.add(leader)
        sample = Line(start, at, start + _SAMPLE_PT, at, strokeColor=INK, strokeWidth=each.weight_pt)
        sample.strokeDashArray = each.dash or None
        group.add(sample)
        words = String(start + _SAMPLE_PT + 4, at - 2.4, each.name, fontName=REGULAR, fontSize=SIZE_PT)
        words.fillColor = INK
        group.add(words)
        yield group


def apart(heights: Sequence[float], least: float, most: float) -> list[float]:
    """Heights in rising order, moved so that each has room, within ``least`` and ``most`` where they fit."""
    placed: list[float] = []
    for each in heights:
        placed.append(max(each, placed[-1] + _NAME_ROOM_PT if placed else least))
    ceiling = most
    for i in reversed(range(len(placed))):
        placed[i] = min(placed[i], ceiling)
        ceiling = placed[i] - _NAME_ROOM_PT
    return placed
