"""State as a shape: legible in grey, at arm's length, from 26 dp to 40 dp.

Met is a filled square with a tick, not met a filled diamond with a bar, not shown a broken ring,
due an open triangle, not asked a dash.  The word stands beside it; a shape is never the only sign.
"""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, pi, sqrt
from typing import Any, Final

from kivy.graphics import Color, Line, Rectangle, SmoothLine, SmoothQuad
from kivy.properties import BooleanProperty, ColorProperty, OptionProperty
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.loading import load_beside

STATES: Final = ("met", "not met", "not shown", "due", "not asked", "")
RING_PARTS: Final = 6
RING_GAP_DEG: Final = 22.0


class StateShape(Widget):
    """One shape; ``turned`` is for a row printed in reverse (ink as ground)."""

    state = OptionProperty("", options=list(STATES))
    turned = BooleanProperty(False)
    ink = ColorProperty("#000000")
    state_ink = ColorProperty("#FFFFFF")
    met = ColorProperty("#000000")
    not_met = ColorProperty("#000000")
    not_shown = ColorProperty("#000000")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for name in ("state", "ink", "state_ink", "met", "not_met", "not_shown", "pos", "size"):
            self.fbind(name, self._draw)
        self._draw()

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        draw = DRAWN_AS.get(self.state)
        side = min(self.width, self.height)
        if draw is None or side <= 0:
            return
        with self.canvas:
            draw(
                self, round(self.x + (self.width - side) / 2), round(self.y + (self.height - side) / 2), side
            )


def segments(radius: float, span_deg: float = 360.0) -> int:
    """In how many straight parts an arc is drawn so that none is off by more than a fiftieth of a pixel.

    Kivy takes 180 for a circle of any size, and every part costs the renderer the same.
    """
    return max(3, ceil(span_deg / 360 * pi * sqrt(25 * max(radius, 1.0))))


def broken_ring(centre: tuple[float, float], radius: float, width: float) -> None:
    """Draw a ring of parts and gaps, the sign of what is not shown, in the current colour."""
    step = 360 / RING_PARTS
    parts = segments(radius + width, step - RING_GAP_DEG)
    for part in range(RING_PARTS):
        start = part * step + RING_GAP_DEG / 2
        SmoothLine(
            circle=(*centre, radius, start, start + step - RING_GAP_DEG, parts),
            width=width,
            cap="none",
            joint="miter",
        )


def _square_with_tick(shape: StateShape, x: float, y: float, side: float) -> None:
    inset = round(side * 0.07)
    Color(rgba=shape.met)
    Rectangle(pos=(x + inset, y + inset), size=(side - 2 * inset, side - 2 * inset))
    Color(rgba=shape.state_ink)
    tick = (0.28, 0.50, 0.44, 0.34, 0.73, 0.68)
    SmoothLine(points=_placed(tick, x, y, side), width=side * 0.085, cap="square", joint="miter")


def _diamond_with_bar(shape: StateShape, x: float, y: float, side: float) -> None:
    Color(rgba=shape.not_met)
    SmoothQuad(points=_placed((0.5, 0, 1, 0.5, 0.5, 1, 0, 0.5), x, y, side))
    Color(rgba=shape.state_ink)
    Rectangle(pos=(x + 0.28 * side, y + 0.44 * side), size=(0.44 * side, max(2.0, 0.12 * side)))


def _ring(shape: StateShape, x: float, y: float, side: float) -> None:
    Color(rgba=shape.not_shown)
    broken_ring((x + side / 2, y + side / 2), side * 0.39, side * 0.13)


def _open_triangle(shape: StateShape, x: float, y: float, side: float) -> None:
    Color(rgba=shape.ink)
    points = _placed((0.22, 0.12, 0.86, 0.5, 0.22, 0.88), x, y, side)
    SmoothLine(points=points, width=max(1.2, side * 0.08), close=True, joint="miter")


def _dash(shape: StateShape, x: float, y: float, side: float) -> None:
    Color(rgba=shape.ink)
    y_mid = y + side / 2
    Line(points=(x + 0.16 * side, y_mid, x + 0.84 * side, y_mid), width=max(1.2, side * 0.06), cap="none")


def _placed(points: tuple[float, ...], x: float, y: float, side: float) -> list[float]:
    return [(x if i % 2 == 0 else y) + part * side for i, part in enumerate(points)]


DRAWN_AS: Final[dict[str, Callable[[StateShape, float, float, float], None]]] = {
    "met": _square_with_tick,
    "not met": _diamond_with_bar,
    "not shown": _ring,
    "due": _open_triangle,
    "not asked": _dash,
}

load_beside(__file__)
