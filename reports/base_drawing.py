"""The base in plan: nearest-point cells in five classes of cividis, the number printed in each.

A bar stands under every number over the limit; a point that was not read is a broken ring on white.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

import numpy as np
from reportlab.graphics.shapes import Circle, Drawing, Line, Polygon, Rect, String
from reportlab.lib.colors import Color

from fieldapp.base.disk import FloatArray
from reports.base_round import PlanLimit, RoundOnBase
from reports.fonts import BOLD, REGULAR, fitted, text_width_pt
from reports.marks import broken_ring
from reports.quantities import Shown
from reports.style import CIVIDIS, GROUND, INK, SOFT, ThicknessClass

_TOP_PT: Final = 12.0
_SMALL_PT: Final = 130.0
_ROOMY_POINTS: Final = 13
_LABELS_FROM: Final = 0.7


@dataclass(frozen=True, slots=True)
class PlanLook:
    """How a plan is drawn: its diameter on paper [pt], class edges [m], the limit, the units."""

    size_pt: float
    radius_m: float
    edges_m: tuple[Fraction, ...]
    limit: PlanLimit | None
    shown: Shown

    @property
    def scale(self) -> float:
        """Points on paper for a metre of base."""
        return self.size_pt / 2 / self.radius_m

    @property
    def large(self) -> bool:
        """Whether there is room for labels and places."""
        return self.size_pt > _SMALL_PT


def base_drawing(base: RoundOnBase, look: PlanLook) -> Drawing:
    """The plan of one round, upstation at the top."""
    drawing = Drawing(look.size_pt, look.size_pt + _TOP_PT)
    middle = look.size_pt / 2
    for cell, thickness in zip(base.cells_m, base.thickness_m, strict=True):
        fill = GROUND if thickness is None else _class(thickness, look).fill
        points = [middle + float(part) * look.scale for corner in cell for part in corner]
        drawing.add(Polygon(points, fillColor=fill, strokeColor=GROUND, strokeWidth=0.8))
    for cell, thickness in zip(base.cells_m, base.thickness_m, strict=True):
        if thickness is None:
            points = [middle + float(part) * look.scale for corner in cell for part in corner]
            drawing.add(Polygon(points, fillColor=None, strokeColor=SOFT, strokeWidth=0.5))
    drawing.add(Circle(middle, middle, middle - 0.6, fillColor=None, strokeColor=INK, strokeWidth=1.2))
    _upstation(drawing, middle, look)
    for i in range(len(base.labels)):
        _point(drawing, base, i, look)
    return drawing


def legend(look: PlanLook, width_pt: float) -> Drawing:
    """The five classes with their bounds, then the bar and the ring, in one row."""
    unit = look.shown.unit_of("short length")[0]
    bounds = [number_text(each, look.shown) for each in look.edges_m]
    labels = [f"to {each}" for each in bounds] + [f"over {bounds[-1]} {unit}"]
    drawing = Drawing(width_pt, 25)
    step = width_pt / len(labels)
    for i, (each, label) in enumerate(zip(CIVIDIS, labels, strict=True)):
        drawing.add(Rect(i * step, 13, step - 2, 10, fillColor=each.fill, strokeColor=INK, strokeWidth=0.4))
        drawing.add(String(i * step, 3, label, fontName=REGULAR, fontSize=7, fillColor=SOFT))
    return drawing


def _point(drawing: Drawing, base: RoundOnBase, i: int, look: PlanLook) -> None:
    middle = look.size_pt / 2
    centre = [middle + part * look.scale for part in _centroid(base.cells_m[i])]
    thickness = base.thickness_m[i]
    crowding = min(1.0, math.sqrt(_ROOMY_POINTS / len(base.labels)))
    size = (11.0 if look.large else 0.075 * look.size_pt) * crowding
    if look.large and crowding > _LABELS_FROM:
        ink = SOFT if thickness is None else _class(thickness, look).ink
        label = fitted(base.labels[i], REGULAR, 6.5, 50)
        drawing.add(
            _text(
                label,
                (centre[0], centre[1] + size * (0.85 if thickness is None else 0.62)),
                (REGULAR, 6.5),
                ink,
            )
        )
    if thickness is None:
        drawing.add(broken_ring(centre[0], centre[1], size * 0.5, size * 0.2))
    else:
        _number(drawing, (centre[0], centre[1]), thickness, size, look)


def _number(
    drawing: Drawing, centre: tuple[float, float], thickness_m: Fraction, size: float, look: PlanLook
) -> None:
    ink = _class(thickness_m, look).ink
    text = number_text(thickness_m, look.shown)
    base_line = centre[1] - size * 0.36
    drawing.add(_text(text, (centre[0], base_line), (BOLD, size), ink))
    if look.limit is not None and look.limit.passed_by(thickness_m):
        half = text_width_pt(text, BOLD, size) / 2 + 1
        y = base_line - size * 0.2
        drawing.add(Line(centre[0] - half, y, centre[0] + half, y, strokeColor=ink, strokeWidth=size * 0.11))


def number_text(thickness_m: Fraction, shown: Shown) -> str:
    """The thickness without its unit, which the caption names."""
    unit = shown.unit_of("short length")[0]
    return shown.thickness(thickness_m).removesuffix(unit).strip()


def _class(thickness_m: Fraction, look: PlanLook) -> ThicknessClass:
    return CIVIDIS[bisect_left(look.edges_m, thickness_m)]


def _upstation(drawing: Drawing, middle: float, look: PlanLook) -> None:
    top = look.size_pt
    drawing.add(Line(middle, top - 1, middle, top + 3, strokeColor=INK, strokeWidth=1.2))
    drawing.add(_text("upstation", (middle, top + 4.5), (REGULAR, 7.0 if look.large else 5.5), SOFT))


def _centroid(cell: FloatArray) -> tuple[float, float]:
    """Centre of a polygon: (1/6A) sum of (a + b)(a x b) over its edges; geometry."""
    after = np.roll(cell, -1, axis=0)
    cross = cell[:, 0] * after[:, 1] - after[:, 0] * cell[:, 1]
    x, y = ((cell + after) * cross[:, None]).sum(axis=0) / (3 * cross.sum())
    return float(x), float(y)


def _text(text: str, at: tuple[float, float], font: tuple[str, float], ink: Color) -> String:
    name, size = font
    return String(*at, text, fontName=name, fontSize=size, fillColor=ink, textAnchor="middle")
