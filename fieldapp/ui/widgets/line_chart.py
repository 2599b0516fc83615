"""Readings over time against a level that is asked for: dots as shapes, joined where the record is whole.

Where no reading was made for longer than ``gap_s`` nothing is drawn between: a gap is not a line.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any, Final

from kivy.clock import Clock
from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, Line, Rectangle, SmoothLine, SmoothQuad
from kivy.properties import ColorProperty, ListProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.widget import Widget

from fieldapp.ui.moments import day
from fieldapp.ui.widgets.loading import load_beside

XY = tuple[float, float]
STEPS: Final = (1, 2, 5)
DASH, DASH_GAP = 10.0, 6.0
HOURS: Final = (0.25, 0.5, 1, 2, 3, 6, 12, 24, 48, 96, 192, 384)
COLOURS: Final = ("ink", "soft", "hair", "line", "met", "not_met", "state_ink", "act")


@dataclass(frozen=True, slots=True)
class Dot:
    """One reading: when, how much, and whether it is within what is asked (``met``, ``not met``, ``""``)."""

    at: datetime
    value: float
    shown: str = ""


class LineChart(Widget):
    """``dots`` by time, ``level`` as a line of its own (None: nothing is asked), values in ``unit``."""

    dots = ListProperty([])
    level = ObjectProperty(None, allownone=True)
    level_text = StringProperty("")
    unit = StringProperty("")
    gap_s = ObjectProperty(None, allownone=True)
    label_px = NumericProperty("16sp")
    dot = NumericProperty("7dp")
    stroke = NumericProperty("1.5dp")
    ink = ColorProperty("#000000")
    soft = ColorProperty("#000000")
    hair = ColorProperty("#000000")
    line = ColorProperty("#000000")
    met = ColorProperty("#000000")
    not_met = ColorProperty("#000000")
    state_ink = ColorProperty("#FFFFFF")
    act = ColorProperty("#000000")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        redraw = Clock.create_trigger(self._draw, -1)
        names = ("dots", "level", "level_text", "unit", "gap_s", "label_px", "dot", "stroke", "pos", "size")
        for name in (*names, *COLOURS):
            self.fbind(name, redraw)
        redraw()

    def joined(self) -> list[tuple[Dot, Dot]]:
        """The pairs of neighbours between which a line is drawn."""
        longest = None if self.gap_s is None else timedelta(seconds=float(self.gap_s))
        return [(a, b) for a, b in pairwise(self.dots) if longest is None or b.at - a.at <= longest]

    def marks(self) -> list[float]:
        """Values at which the upright axis is labelled."""
        low, high = self._range()
        step = _step(high - low)
        first = int(low / step - 1e-9) if low >= 0 else int(low / step - 1)
        return [step * n for n in range(first, int(high / step + 1) + 1) if low <= step * n <= high]

    def place(self, at: datetime, value: float) -> XY:
        """Where a reading stands in the window."""
        (start, end), (low, high) = self._times(), self._range()
        across = (at - start) / (end - start)
        up = (value - low) / (high - low)
        left, bottom, wide, tall = self._room()
        inset = 2 * self.dot
        return left + inset + across * (wide - 2 * inset), bottom + up * tall

    def _room(self) -> tuple[float, float, float, float]:
        left = self.label_px * 0.6 * max((len(_number(each)) for each in self.marks()), default=1) + 12
        bottom, top = self.label_px * 1.7, self.label_px * 1.6
        return (
            self.x + left,
            self.y + bottom,
            max(1.0, self.width - left - self.label_px),
            max(1.0, self.height - bottom - top),
        )

    def _times(self) -> tuple[datetime, datetime]:
        start, end = self.dots[0].at, self.dots[-1].at
        return (start, end) if end > start else (start - timedelta(hours=1), end + timedelta(hours=1))

    def _range(self) -> tuple[float, float]:
        values = [each.value for each in self.dots] + ([] if self.level is None else [float(self.level)])
        low, high = min([0.0, *values]), max(values, default=1.0)
        room = (high - low) * 0.12 or 1.0
        return low if low == 0 else low - room, high + room

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        if not self.dots or min(self.width, self.height) < 4 * self.label_px:
            return
        with self.canvas:
            self._axes()
            self._level()
            Color(rgba=self.ink)
            for before, after in self.joined():
                points = [*self.place(before.at, before.value), *self.place(after.at, after.value)]
                SmoothLine(points=points, width=self.stroke)
            for each in self.dots:
                self._dot(each)

    def _axes(self) -> None:
        left, bottom, wide, tall = self._room()
        for value in self.marks():
            y = self.place(self.dots[0].at, value)[1]
            Color(rgba=self.hair)
            Rectangle(pos=(left, round(y)), size=(wide, 1))
            self._print(_number(value), (left - 8, y), 1.0)
        Color(rgba=self.line)
        Rectangle(pos=(left, bottom), size=(wide, 2))
        Rectangle(pos=(left, bottom), size=(2, tall))
        self._print(self.unit, (left + 8, bottom + tall + self.label_px * 0.7), 0.0)
        room = self.label_px * 3.4
        for at, text in self._hours(int(wide // room)):
            x = self.place(at, 0)[0]
            if left + room / 3 < x < left + wide + self.label_px - room / 3:
                self._print(text, (x, bottom - self.label_px * 0.85), 0.5)

    def _hours(self, most: int) -> list[tuple[datetime, str]]:
        start, end = self._times()
        span = (end - start).total_seconds() / 3600
        step = next((each for each in HOURS if span / each <= max(1, most)), HOURS[-1])
        midnight = start.replace(hour=0, minute=0, second=0, microsecond=0)
        first = int((start - midnight).total_seconds() / 3600 / step)
        found = []
        for n in range(first, first + int(span / step) + 3):
            at = midnight + timedelta(hours=n * step)
            if start <= at <= end:
                found.append((at, day(at) if step >= 24 else f"{at:%H:%M}"))
        return found

    def _level(self) -> None:
        if self.level is None:
            return
        left, bottom, wide, tall = self._room()
        y = self.place(self.dots[0].at, float(self.level))[1]
        Color(rgba=self.act)
        self._dashes(left, left + wide, y)
        if self.level_text:
            named = bottom + tall + self.label_px * 0.7
            width = self._print(self.level_text, (left + wide, named), 1.0)
            Color(rgba=self.act)
            end = left + wide - width - 8
            self._dashes(end - 2 * DASH - DASH_GAP, end, named)

    def _dashes(self, start: float, end: float, y: float) -> None:
        at = start
        while at < end:
            Line(points=(at, y, min(at + DASH, end), y), width=self.stroke * 1.2, cap="none")
            at += DASH + DASH_GAP

    def _dot(self, dot: Dot) -> None:
        x, y = self.place(dot.at, dot.value)
        r = self.dot
        if dot.shown == "not met":
            Color(rgba=self.not_met)
            SmoothQuad(points=(x, y - r * 1.5, x + r * 1.5, y, x, y + r * 1.5, x - r * 1.5, y))
            Color(rgba=self.state_ink)
            Rectangle(pos=(x - r * 0.7, y - r * 0.2), size=(r * 1.4, max(2, r * 0.4)))
            return
        Color(rgba=self.met if dot.shown == "met" else self.ink)
        Rectangle(pos=(x - r, y - r), size=(2 * r, 2 * r))

    def _print(self, text: str, at: XY, before: float) -> float:
        """Print with this share of the text left of the place, and give its width."""
        if not text:
            return 0.0
        label = CoreLabel(text=text, font_size=self.label_px)
        label.refresh()
        Color(rgba=self.soft)
        wide, tall = label.texture.size
        x = min(max(self.x, at[0] - wide * before), self.right - wide)
        Rectangle(texture=label.texture, pos=(round(x), round(at[1] - tall / 2)), size=(wide, tall))
        return float(wide)


def _step(span: float) -> float:
    """A round step that gives three to six marks over a span."""
    scale = 1.0
    while span / scale > 60:
        scale *= 10
    while span / scale < 6:
        scale /= 10
    return next((n * scale for n in (*STEPS, 10, 20) if span / (n * scale) <= 5.5), 20 * scale)


def _number(value: float) -> str:
    return "0" if abs(value) < 1e-9 else f"{value:g}"


load_beside(__file__)
