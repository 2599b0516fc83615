"""The base plan: thickness by cell, points still to read, and the point in hand.

A cell carries its number in print that is read on its colour, with a bar under a number over the
limit.  A point without a reading is never coloured: a numbered circle, or a broken ring.
"""

from __future__ import annotations

from itertools import chain
from typing import Any, Final

from kivy.clock import Clock
from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, Ellipse, Mesh, Rectangle, SmoothEllipse, SmoothLine
from kivy.graphics.tesselator import Tesselator
from kivy.input import MotionEvent
from kivy.properties import ColorProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.palette import CIVIDIS
from fieldapp.ui.widgets.plan_geometry import XY, PlanCell, PlanPoint, nearest, room_at
from fieldapp.ui.widgets.shapes import broken_ring

SMALLEST_SHARE: Final = 0.55
COLOURS: Final = ("ground", "well", "ink", "line", "act", "act_ink", "not_shown", "seam")


class BasePlan(Widget):
    """Hand in ``cells`` and ``points``; ``on_point(label)`` says which point was tapped."""

    __events__ = ("on_point",)
    cells = ListProperty([])
    points = ListProperty([])
    active = StringProperty("")
    top_text = StringProperty("upstation")
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
        for name in (*sizes, *COLOURS, "cells", "points", "active", "top_text"):
            self.fbind(name, redraw)
        redraw()

    @property
    def radius(self) -> float:
        side = float(min(self.width, self.height - self._top_room))
        return max(0.0, side / 2 - float(self.stroke))

    def place(self, at: XY) -> XY:
        """Window position of a place on the base."""
        middle_y = self.y + (self.height - self._top_room) / 2
        return self.center_x + at[0] * self.radius, middle_y + at[1] * self.radius

    def places(self) -> list[tuple[str, XY]]:
        """Every point that can be tapped, with its position in the window."""
        return [(item.label, self.place(item.at)) for item in chain(self.cells, self.points)]

    def on_point(self, _label: str) -> None:
        pass

    def on_touch_down(self, touch: MotionEvent) -> bool:
        meant = nearest(self.places(), touch.pos, self.reach)
        if self.disabled or meant is None or not self.collide_point(*touch.pos):
            return bool(super().on_touch_down(touch))
        touch.grab(self)
        touch.ud[self] = meant
        return True

    def on_touch_up(self, touch: MotionEvent) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_up(touch))
        touch.ungrab(self)
        if nearest(self.places(), touch.pos, self.reach) == touch.ud[self]:
            self.dispatch("on_point", touch.ud[self])
        return True

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
        outline = [number for at in cell.outline for number in self.place(at)]
        tesselator = Tesselator()
        tesselator.add_contour(outline)
        Color(rgba=_rgba(CIVIDIS[cell.thickness_class].fill))
        if tesselator.tesselate():
            for vertices, indices in tesselator.meshes:
                Mesh(vertices=vertices, indices=indices, mode="triangle_fan")
        Color(rgba=self.seam)
        SmoothLine(points=outline, close=True, width=self.stroke * 0.8)

    def _number(self, cell: PlanCell) -> None:
        if cell.label == self.active:
            self._circle(cell.label, cell.at, self.act, self.act_ink)
            return
        colour = _rgba(CIVIDIS[cell.thickness_class].ink)
        room = room_at(cell.outline, cell.at) * self.radius
        share = max(SMALLEST_SHARE, min(1.0, room / (self.value_px * 0.35 * max(2, len(cell.text)))))
        size = self.value_px * share
        x, y = self.place(cell.at)
        width = self._print(cell.text, (x, y), size, colour, bold=True)
        if cell.over_limit:
            Rectangle(pos=(x - width / 2 - 1, y - size * 0.75), size=(width + 2, max(2.0, self.stroke * 1.6)))

    def _point(self, point: PlanPoint) -> None:
        if point.label == self.active:
            self._circle(point.label, point.at, self.act, self.act_ink)
        elif point.no_reading:
            Color(rgba=self.not_shown)
            broken_ring(self.place(point.at), self.dot - 1.5 * self.stroke, self.stroke * 2)
            self._print(point.label, self.place(point.at), self.label_px, self.ink, bold=True)
        else:
            self._circle(point.label, point.at, self.ground, self.ink)

    def _circle(self, label: str, at: XY, fill: list[float], ink: list[float]) -> None:
        x, y = self.place(at)
        Color(rgba=fill)
        SmoothEllipse(pos=(x - self.dot, y - self.dot), size=(2 * self.dot, 2 * self.dot))
        Color(rgba=self.line)
        wide = self.stroke * (1.5 if label == self.active else 1)
        SmoothLine(circle=(x, y, self.dot - wide), width=wide)
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


def _rgba(colour: str) -> list[float]:
    return [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)] + [1.0]


load_beside(__file__)
