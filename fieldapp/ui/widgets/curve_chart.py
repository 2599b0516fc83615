"""One quantity over another: curves told apart by dashes and weight, each named beside its end.

Nothing rests on colour.  What is between two curves may be filled; a value of x that matters stands as a
line with its name above the plot.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import hypot
from typing import Any, Final

from kivy.clock import Clock
from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, Mesh, Rectangle, SmoothLine
from kivy.properties import ColorProperty, ListProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.measure import line_width

XY = tuple[float, float]
DASHES: Final[dict[str, tuple[float, ...]]] = {
    "solid": (),
    "thin": (),
    "long": (16.0, 8.0),
    "short": (5.0, 6.0),
    "mixed": (14.0, 6.0, 3.0, 6.0),
}
COLOURS: Final = ("ink", "soft", "hair", "line", "act", "fill")
STEPS: Final = (1, 2, 2.5, 5, 10)
SAMPLE: Final = 44.0
ROOM: Final = 1.06
MOST_MARKS: Final = 5


class CurveChart(Widget):
    """``curves`` have ``name``, ``points``, ``dash`` (of `DASHES`) and ``heavy``; y begins at 0.

    ``band`` is None or two rows of points with the same x; ``uprights`` are pairs of x and name.
    """

    curves = ListProperty([])
    band = ObjectProperty(None, allownone=True)
    uprights = ListProperty([])
    title = StringProperty("")
    x_title = StringProperty("")
    label_px = NumericProperty("16sp")
    stroke = NumericProperty("1.2dp")
    heavy = NumericProperty("2dp")
    ink = ColorProperty("#000000")
    soft = ColorProperty("#000000")
    hair = ColorProperty("#000000")
    line = ColorProperty("#000000")
    act = ColorProperty("#000000")
    fill = ColorProperty("#000000")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        redraw = Clock.create_trigger(self._draw, -1)
        names = ("curves", "band", "uprights", "title", "x_title", "label_px", "stroke", "pos", "size")
        for name in (*names, *COLOURS):
            self.fbind(name, redraw)
        redraw()

    def place(self, x: float, y: float) -> XY:
        """Where a value stands in the window."""
        return self._placed([(x, y)])[0]

    def _placed(self, points: Sequence[XY]) -> list[XY]:
        """Where values stand in the window; room and scale are measured once for all of them."""
        left, bottom, wide, tall = self.room()
        (x_from, x_to), top = self._across(), self._top()
        return [(left + wide * (x - x_from) / (x_to - x_from), bottom + tall * y / top) for x, y in points]

    def room(self) -> tuple[float, float, float, float]:
        """Left, bottom, width and height of the plot."""
        px = self.label_px
        left = 12 + max((line_width(_number(each), px) for each in self.marks()), default=px)
        names = max((line_width(each.name, px) for each in self.curves), default=0.0)
        right = SAMPLE + 16 + names
        bottom, top = px * 2.9, px * (1.6 + 1.3 * len(self.uprights))
        return (
            self.x + left,
            self.y + bottom,
            max(1.0, self.width - left - right),
            max(1.0, self.height - bottom - top),
        )

    def marks(self) -> list[float]:
        """Values at which the upright axis is labelled."""
        return list(_marks(0.0, self._top()))

    def names(self) -> list[tuple[float, Any]]:
        """Height of every curve's name in the window, lowest first, none over another."""
        _, bottom, _, tall = self.room()
        ranked = sorted(self.curves, key=lambda each: each.points[-1][1])
        apart = self.label_px * 1.3
        heights: list[float] = []
        for each in ranked:
            at = self.place(*each.points[-1])[1]
            heights.append(max(at, heights[-1] + apart) if heights else max(at, bottom + apart / 2))
        ceiling = bottom + tall
        for i in reversed(range(len(heights))):
            heights[i] = min(heights[i], ceiling)
            ceiling = heights[i] - apart
        return list(zip(heights, ranked, strict=True))

    def _across(self) -> XY:
        values = [x for each in self.curves for x, _ in each.points]
        low, high = min(values), max(values)
        return (low, high) if high > low else (low, low + 1.0)

    def _top(self) -> float:
        return ROOM * max((y for each in self.curves for _, y in each.points), default=1.0) or 1.0

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        if not self.curves or min(self.width, self.height) < 8 * self.label_px:
            return
        with self.canvas:
            if self.band is not None:
                self._fill_band(*self.band)
            self._axes()
            self._uprights()
            for each in self.curves:
                self._curve(each.dash, each.heavy, self._placed(each.points))
            self._ends()

    def _fill_band(self, low: Sequence[XY], high: Sequence[XY]) -> None:
        corners = [at for pair in zip(low, high, strict=True) for at in pair]
        vertices = [part for at in self._placed(corners) for part in (*at, 0.0, 0.0)]
        Color(rgba=self.fill)
        Mesh(vertices=vertices, indices=list(range(len(corners))), mode="triangle_strip")

    def _axes(self) -> None:
        left, bottom, wide, tall = self.room()
        px = self.label_px
        for value in self.marks():
            y = self.place(self._across()[0], value)[1]
            Color(rgba=self.hair)
            Rectangle(pos=(left, round(y)), size=(wide, 1))
            self._print(_number(value), (left - 8, y), 1.0)
        Color(rgba=self.line)
        Rectangle(pos=(left, bottom), size=(wide, 2))
        Rectangle(pos=(left, bottom), size=(2, tall))
        for value in _marks(*self._across()):
            self._print(_number(value), (self.place(value, 0)[0], bottom - px * 0.8), 0.5)
        self._print(self.x_title, (left + wide, bottom - px * 2.1), 1.0)
        self._print(self.title, (self.x, self.top - px * 0.7), 0.0)

    def _uprights(self) -> None:
        left, bottom, wide, tall = self.room()
        for row, (value, name) in enumerate(reversed(self.uprights)):
            x, y = self.place(value, 0)[0], bottom + tall + self.label_px * (0.7 + 1.3 * row)
            Color(rgba=self.soft)
            Rectangle(pos=(round(x), bottom), size=(1, y - bottom))
            before = x + line_width(name, self.label_px) + 8 > left + wide
            self._print(name, (x - 6 if before else x + 6, y), 1.0 if before else 0.0)

    def _curve(self, dash: str, heavy: bool, points: Sequence[XY]) -> None:
        Color(rgba=self.act if dash == "long" else self.ink)
        width = self.heavy if heavy else self.stroke * 0.7
        parts = [list(points)] if not DASHES[dash] else dashed(points, DASHES[dash])
        for part in parts:
            if len(part) > 1:
                SmoothLine(points=[value for at in part for value in at], width=width, cap="none")

    def _ends(self) -> None:
        left, _, wide, _ = self.room()
        start = left + wide + 8
        for y, each in self.names():
            x, end = self.place(*each.points[-1])
            Color(rgba=self.hair)
            SmoothLine(points=(x + 1, end, start, y), width=1)
            self._curve(each.dash, each.heavy, [(start, y), (start + SAMPLE, y)])
            self._print(each.name, (start + SAMPLE + 6, y), 0.0, strong=True)

    def _print(self, text: str, at: XY, before: float, *, strong: bool = False) -> None:
        """Print with this share of the text left of the place."""
        if not text:
            return
        label = CoreLabel(text=text, font_size=self.label_px)
        label.refresh()
        Color(rgba=self.ink if strong else self.soft)
        wide, tall = label.texture.size
        x = min(max(self.x, at[0] - wide * before), self.right - wide)
        Rectangle(texture=label.texture, pos=(round(x), round(at[1] - tall / 2)), size=(wide, tall))


def dashed(points: Sequence[XY], pattern: Sequence[float]) -> list[list[XY]]:
    """The drawn parts of a line in dashes and gaps by turns, measured along it."""
    parts: list[list[XY]] = [[points[0]]]
    turn, left, drawing = 0, pattern[0], True
    for (x0, y0), (x1, y1) in pairwise(points):
        length = hypot(x1 - x0, y1 - y0)
        at = 0.0
        while length - at > left:
            at += left
            where = (x0 + (x1 - x0) * at / length, y0 + (y1 - y0) * at / length)
            if drawing:
                parts[-1].append(where)
            else:
                parts.append([where])
            turn, drawing = (turn + 1) % len(pattern), not drawing
            left = pattern[turn]
        left -= length - at
        if drawing:
            parts[-1].append((x1, y1))
    return parts


def _marks(low: float, high: float) -> Iterator[float]:
    span = high - low
    scale = 10.0 ** (len(f"{span:.0f}") - 1)
    while span / scale < MOST_MARKS:
        scale /= 10
    step = next((n * scale for n in STEPS if span / (n * scale) <= MOST_MARKS), 10 * scale)
    n = 0
    while n * step <= high + 1e-9:
        if n * step >= low - 1e-9:
            yield n * step
        n += 1


def _number(value: float) -> str:
    return "0" if abs(value) < 1e-9 else f"{value:,.10g}"


load_beside(__file__)
