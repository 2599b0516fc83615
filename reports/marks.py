"""State as a shape on paper: the same five shapes as on the screens, legible in grey.

Met is a filled square with a tick, not met a filled diamond with a bar, not shown a broken ring, due an open
triangle, not asked a dash.  The word stands beside the shape; no shape stands alone.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

from reportlab.graphics import renderPDF
from reportlab.graphics.shapes import Drawing, Group, Line, Polygon, PolyLine, Rect
from reportlab.platypus import Flowable

from fieldapp.criteria.finding import Outcome, ReleaseStatus, Standing
from reports.style import CELL, GROUND, INK, MET, NOT_MET, NOT_SHOWN, SOFT, words

_RING_PARTS: Final = 6
_RING_GAP_DEG: Final = 24.0
_ARC_STEPS: Final = 6
_SIDE_PT: Final = 9.0
_BESIDE_PT: Final = 14.0

STANDING_MARK: Final = {
    Standing.CLEAN: "met",
    Standing.REWORK: "not met",
    Standing.REDUCED: "not met",
    Standing.NOT_CREDITABLE: "not met",
    Standing.NOT_SHOWN: "not shown",
}
RELEASE_MARK: Final = {
    ReleaseStatus.NONE: "due",
    ReleaseStatus.HELD: "not met",
    ReleaseStatus.RELEASED: "met",
    ReleaseStatus.LAPSED: "not met",
    ReleaseStatus.WITHDRAWN: "not met",
}


def mark(state: str | Outcome, side_pt: float) -> Drawing:
    """The shape of a state in a square of ``side_pt``: met, not met, not shown, due or not asked."""
    drawing = Drawing(side_pt, side_pt)
    drawing.add(mark_group(state, 0.0, 0.0, side_pt))
    return drawing


class StateMark(Flowable):  # type: ignore[misc]  # the library has no types
    """The shape of a state in a square of ``side_pt``; a document holds each shape once."""

    def __init__(self, state: str | Outcome, side_pt: float = _SIDE_PT) -> None:
        super().__init__()
        self.state = str(state)
        self.width = self.height = side_pt

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        """Width and height [pt], the same everywhere."""
        return self.width, self.height

    def draw(self) -> None:
        """Refer to the shape, and draw it where the document does not have it yet."""
        canvas, name = self.canv, f"mark {self.state} {self.width:g}".replace(" ", "-")
        if not canvas.hasForm(name):
            canvas.beginForm(name, 0, 0, self.width, self.height)
            renderPDF.draw(mark(self.state, self.width), canvas, 0, 0)
            canvas.endForm()
        canvas.doForm(name)


class MarkedWord(Flowable):  # type: ignore[misc]  # the library has no types
    """The shape of an outcome with its word beside it, as a cell of a table."""

    def __init__(self, outcome: Outcome) -> None:
        super().__init__()
        self._shape, self._word = StateMark(outcome), words(str(outcome), CELL)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Width and height [pt] that it takes in a width."""
        _, self._word_pt = self._word.wrap(width - _BESIDE_PT, height)
        self.width, self.height = width, self._word_pt + 2
        return self.width, self.height

    def draw(self) -> None:
        """Both at the top of their place."""
        self._shape.drawOn(self.canv, 0, self.height - 1 - self._shape.height)
        self._word.drawOn(self.canv, _BESIDE_PT, self.height - self._word_pt)


def mark_group(state: str | Outcome, x: float, y: float, side_pt: float) -> Group:
    """The same shape with its lower left corner at x, y, to stand in a drawing."""
    group = Group(*_DRAWN_AS[str(state)](side_pt))
    group.translate(x, y)
    return group


def broken_ring(x: float, y: float, radius_pt: float, width_pt: float) -> Group:
    """A ring of six parts and gaps around x, y: the sign of what is not shown."""
    group = Group()
    step = 360 / _RING_PARTS
    for part in range(_RING_PARTS):
        first, last = part * step + _RING_GAP_DEG / 2, (part + 1) * step - _RING_GAP_DEG / 2
        points: list[float] = []
        for k in range(_ARC_STEPS + 1):
            angle = math.radians(first + (last - first) * k / _ARC_STEPS)
            points += [x + radius_pt * math.cos(angle), y + radius_pt * math.sin(angle)]
        group.add(PolyLine(points, strokeColor=NOT_SHOWN, strokeWidth=width_pt, strokeLineCap=0))
    return group


def _square_with_tick(side: float) -> list[object]:
    inset = side * 0.07
    tick = [part * side for part in (0.26, 0.50, 0.43, 0.32, 0.75, 0.70)]
    return [
        Rect(inset, inset, side - 2 * inset, side - 2 * inset, fillColor=MET, strokeColor=None),
        PolyLine(tick, strokeColor=GROUND, strokeWidth=side * 0.11),
    ]


def _diamond_with_bar(side: float) -> list[object]:
    corners = [part * side for part in (0.5, 0.0, 1.0, 0.5, 0.5, 1.0, 0.0, 0.5)]
    return [
        Polygon(corners, fillColor=NOT_MET, strokeColor=None),
        Rect(0.28 * side, 0.44 * side, 0.44 * side, 0.12 * side, fillColor=GROUND, strokeColor=None),
    ]


def _broken_ring(side: float) -> list[object]:
    return [broken_ring(side / 2, side / 2, side * 0.40, side * 0.17)]


def _open_triangle(side: float) -> list[object]:
    corners = [part * side for part in (0.22, 0.12, 0.86, 0.5, 0.22, 0.88)]
    return [Polygon(corners, fillColor=None, strokeColor=INK, strokeWidth=side * 0.10)]


def _dash(side: float) -> list[object]:
    return [Line(0.16 * side, side / 2, 0.84 * side, side / 2, strokeColor=SOFT, strokeWidth=side * 0.12)]


_DRAWN_AS: Final[dict[str, Callable[[float], list[object]]]] = {
    "met": _square_with_tick,
    "not met": _diamond_with_bar,
    "not shown": _broken_ring,
    "due": _open_triangle,
    "not asked": _dash,
}
