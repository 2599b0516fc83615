"""The base plan: thickness by cell, points still to read, and the point in hand.

A cell carries its number in print that is read on its colour, with a bar under a number over the
limit; where there is no room for the number, lines tell the class.  A point without a reading is never
coloured: a numbered circle, or a broken ring.  Where the next sounding tells most stands a cross.
"""

from __future__ import annotations

from itertools import chain
from math import hypot
from typing import Any, Final

from kivy.clock import Clock
from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, Ellipse, Rectangle, SmoothLine
from kivy.input import MotionEvent
from kivy.metrics import Metrics
from kivy.properties import (
    BooleanProperty,
    ColorProperty,
    ListProperty,
    NumericProperty,
    ObjectProperty,
    StringProperty,
)
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.palette import CIVIDIS
from fieldapp.ui.widgets.plan_cells import fill, fill_lines, rgba
from fieldapp.ui.widgets.plan_geometry import XY, PlanCell, PlanPoint, nearest, room_at
from fieldapp.ui.widgets.shapes import broken_ring, segments

SMALLEST_SHARE: Final = 0.55
EMPTY: Final = ""
# Rim points stand this far inside as a rule; on a small base their circles would reach over the caption.
RIM_ROOM: Final = 0.14
COLOURS: Final = ("ground", "well", "ink", "line", "act", "act_ink", "not_shown", "seam")


class BasePlan(Widget):
    """Hand in ``cells`` and ``points``; ``on_point(label)`` says which point was tapped.

    With ``takes_places``, ``on_place(at)`` says that an empty place was.  While ``placing`` every tap is a
    place, also one on a point; ``ghost`` is the place that was chosen, ``suggested`` the one that tells most.
    """

    __events__ = ("on_point", "on_place")
    cells = ListProperty([])
    points = ListProperty([])
    active = StringProperty("")
    takes_places = BooleanProperty(False)
    placing = BooleanProperty(False)
    ghost = ObjectProperty(None, allownone=True)
    suggested = ObjectProperty(None, allownone=True)
    top_text = StringProperty("")
    dot = NumericProperty("28dp")
    reach = NumericProperty("40dp")
    stroke = NumericProperty("2dp")
    caption_px = NumericProperty("16sp")
    label_px = NumericProperty("20sp")
    value_px = NumericProperty("24sp")
    ground = ColorProperty("#FFFFFF")
    well = ColorProperty("#FFFFFF")
    ink = ColorProperty("#000000")
    line = ColorProperty("#000000")
    act = ColorProperty("#000000")
    act_ink = ColorProperty("#FFFFFF")
    not_shown = ColorProperty("#000000")
    seam = ColorProperty("#FFFFFF")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        redraw = Clock.create_trigger(self._draw, -1)
        sizes = ("pos", "size", "dot", "stroke", "caption_px", "label_px", "value_px")
        shown = ("cells", "points", "active", "top_text", "placing", "ghost", "suggested")
        for name in (*sizes, *COLOURS, *shown):
            self.fbind(name, redraw)
        redraw()

    @property
    def radius(self) -> float:
        half = float(min(self.width, self.height - self._top_room)) / 2
        out = max(0.0, float(self.dot) - RIM_ROOM * half) if self.takes_places else 0.0
        return max(0.0, half - float(self.stroke) - out)

    def place(self, at: XY) -> XY:
        """Window position of a place on the base."""
        middle_y = self.y + (self.height - self._top_room) / 2
        return self.center_x + at[0] * self.radius, middle_y + at[1] * self.radius

    def places(self) -> list[tuple[str, XY]]:
        """Every point that can be tapped, with its position in the window."""
        return [(item.label, self.place(item.at)) for item in chain(self.cells, self.points)]

    def spot(self, window: XY) -> XY:
        """The place on the base of a position in the window: the other way round than ``place``."""
        x, y = self.place((0, 0))
        return (window[0] - x) / self.radius, (window[1] - y) / self.radius

    def on_point(self, _label: str) -> None:
        pass

    def on_place(self, _at: XY) -> None:
        pass

    def on_touch_down(self, touch: MotionEvent) -> bool:
        meant = None if self.disabled or not self.collide_point(*touch.pos) else self._meant(touch.pos)
        if meant is None:
            return bool(super().on_touch_down(touch))
        touch.grab(self)
        touch.ud[self] = meant
        return True

    def on_touch_up(self, touch: MotionEvent) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_up(touch))
        touch.ungrab(self)
        meant = self._meant(touch.pos)
        if meant == touch.ud[self]:
            if meant:
                self.dispatch("on_point", meant)
            else:
                self.dispatch("on_place", self._place_meant(touch.pos))
        return True

    def _meant(self, pos: XY) -> str | None:
        """The point that a finger means, ``EMPTY`` for a place without one, None for nothing."""
        if self.radius <= 0:
            return None
        label = None if self.placing else nearest(self.places(), pos, self.reach)
        takes = self.takes_places or self.placing
        inside = hypot(*self.spot(pos)) <= 1 + self.reach / 2 / self.radius
        return label if label is not None else (EMPTY if takes and inside else None)

    def _place_meant(self, pos: XY) -> XY:
        """The place of a tap; near to the suggested one it is that."""
        at = self.suggested
        if at is not None and nearest([("", self.place(at))], pos, self.reach) is not None:
            return (at[0], at[1])
        return self.spot(pos)

    @property
    def _top_room(self) -> float:
        return float(self.caption_px) * 1.5 if self.top_text else 0.0

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        if self.radius <= 0:
            return
        with self.canvas:
            self._disk(self.well)
            for cell in self.cells:
                self._cell(cell)
            Color(rgba=self.line)
            SmoothLine(circle=(*self.place((0, 0)), self.radius - 1), width=self.stroke)
            for cell in self.cells:
                self._number(cell)
            for point in self.points:
                self._point(point)
            if self.suggested is not None:
                self._cross(self.suggested)
            if self.ghost is not None:
                self._circle(self.active, self.ghost, self.act, self.act_ink)
            if self.top_text:
                middle = self.place((0, 1))
                self._print(
                    self.top_text, (middle[0], self.top - self.caption_px * 0.7), self.caption_px, self.ink
                )

    def _disk(self, colour: list[float]) -> None:
        x, y = self.place((0, 0))
        Color(rgba=colour)
        Ellipse(pos=(x - self.radius, y - self.radius), size=(2 * self.radius, 2 * self.radius), segments=180)

    def _cell(self, cell: PlanCell) -> None:
        outline = tuple(self.place(at) for at in cell.outline)
        fill(outline, cell.thickness_class)
        if self._share_of_size(cell) < self._smallest:
            fill_lines(outline, cell.thickness_class, self.stroke)
        Color(rgba=self.seam)
        SmoothLine(points=[number for at in outline for number in at], close=True, width=self.stroke * 0.8)

    @property
    def _smallest(self) -> float:
        """Large text takes no number away that is read at its usual size."""
        return SMALLEST_SHARE / float(Metrics.fontscale)

    def _share_of_size(self, cell: PlanCell) -> float:
        """How much of its full size the number of a cell can have."""
        room = room_at(cell.outline, cell.at) * self.radius
        return min(1.0, room / (float(self.value_px) * 0.35 * max(2, len(cell.text))))

    def _number(self, cell: PlanCell) -> None:
        if cell.label == self.active and self.ghost is None:
            self._circle(cell.label, cell.at, self.act, self.act_ink)
            return
        colour = rgba(CIVIDIS[cell.thickness_class].ink)
        share = self._share_of_size(cell)
        x, y = self.place(cell.at)
        width, size = self.dot, float(self.value_px) * self._smallest
        if share >= self._smallest:
            size = self.value_px * share
            width = self._print(cell.text, (x, y), size, colour, bold=True)
        if cell.over_limit:
            Color(rgba=colour)
            Rectangle(pos=(x - width / 2 - 1, y - size * 0.75), size=(width + 2, max(2.0, self.stroke * 1.6)))

    def _cross(self, at: XY) -> None:
        x, y = self.place(at)
        reach = self.dot * 0.5
        for colour, wide in ((self.ground, 3.5), (self.act, 1.6)):
            Color(rgba=colour)
            for points in ((x - reach, y, x + reach, y), (x, y - reach, x, y + reach)):
                SmoothLine(points=points, width=self.stroke * wide, cap="square")

    def _point(self, point: PlanPoint) -> None:
        if point.label == self.active and self.ghost is None:
            self._circle(point.label, point.at, self.act, self.act_ink)
        elif point.no_reading:
            Color(rgba=self.not_shown)
            broken_ring(self.place(point.at), self.dot - 1.5 * self.stroke, self.stroke * 2)
            self._print(point.label, self.place(point.at), self.label_px, self.ink, bold=True)
        else:
            self._circle(point.label, point.at, self.ground, self.ink)

    def _circle(self, label: str, at: XY, fill: list[float], ink: list[float]) -> None:
        x, y = self.place(at)
        wide = self.stroke * (1.5 if label == self.active else 1)
        reach, parts = self.dot - wide, segments(self.dot)
        Color(rgba=fill)  # its rim lies under the middle of the line
        Ellipse(pos=(x - reach, y - reach), size=(2 * reach, 2 * reach), segments=parts)
        Color(rgba=self.line)
        SmoothLine(circle=(x, y, reach, 0, 360, parts), width=wide)
        self._print(label, (x, y), min(self.label_px, self.dot * 1.3), ink, bold=True)

    def _print(self, text: str, at: XY, size: float, colour: list[float], bold: bool = False) -> float:
        label = CoreLabel(text=text, font_size=size, bold=bold)
        label.refresh()
        Color(rgba=colour)
        width, height = label.texture.size
        Rectangle(
            texture=label.texture,
            pos=(round(at[0] - width / 2), round(at[1] - height / 2)),
            size=(width, height),
        )
        return float(width)


load_beside(__file__)
