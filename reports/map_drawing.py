"""The sediment map in plan: classes of cividis, where it passes the limit, points and the next sounding.

Thin is light and thick is dark, and a heavy line stands where the limit is passed, so it reads in grey.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final

import numpy as np
from numpy.typing import NDArray
from reportlab.graphics.shapes import Circle, Drawing, Group, Line, Polygon, PolyLine, Rect, String
from reportlab.lib.colors import Color

from fieldapp.base.disk import FloatArray
from fieldapp.base.grid import cell_corners
from fieldapp.base.sediment_map import SedimentMap
from reports.base_round import PlanLimit
from reports.fonts import BOLD, REGULAR
from reports.marks import broken_ring, mark_group
from reports.style import CIVIDIS, GROUND, INK, SOFT

_TOP_PT: Final = 11.0
_SIDE_PT: Final = 1.0
_ARC_DEG: Final = 6.0
_WHOLE_DEG: Final = 360.0

Stroke = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class MapLook:
    """How a map is drawn: width on paper [pt], class edges [m], the limit that the heavy line follows."""

    size_pt: float
    edges_m: tuple[float, ...]
    limit: PlanLimit | None


def map_drawing(sediment: SedimentMap, thickness_m: FloatArray, look: MapLook) -> Drawing:
    """A plan of one thickness [m] a cell of the map, upstation at the top."""
    drawing = Drawing(look.size_pt, look.size_pt + _TOP_PT)
    middle = look.size_pt / 2
    scale = (middle - _SIDE_PT) / sediment.grid.disk.radius_m
    corners = cell_corners(sediment.grid.disk, sediment.grid.rings)
    whole = Group(*_cells(corners, thickness_m, look, scale), *_limit_line(corners, thickness_m, look, scale))
    whole.translate(middle, middle)
    drawing.add(whole)
    drawing.add(Circle(middle, middle, middle - _SIDE_PT, fillColor=None, strokeColor=INK, strokeWidth=1.2))
    drawing.add(Line(middle, look.size_pt - 2, middle, look.size_pt + 2, strokeColor=INK, strokeWidth=1.2))
    words = String(middle, look.size_pt + 4, "upstation", fontName=REGULAR, fontSize=6, textAnchor="middle")
    words.fillColor = SOFT
    drawing.add(words)
    return drawing


def with_points(
    drawing: Drawing, sediment: SedimentMap, look: MapLook, next_xy_m: tuple[float, float] | None
) -> Drawing:
    """The same plan with its points (unread: a broken ring), and where to sound next (a triangle)."""
    middle = look.size_pt / 2
    scale = (middle - _SIDE_PT) / sediment.grid.disk.radius_m
    soundings = sediment.soundings
    for (x_m, y_m), read in zip(soundings.xy_m.tolist(), soundings.thickness_m, strict=True):
        x, y = middle + x_m * scale, middle + y_m * scale
        if read is None:
            drawing.add(Circle(x, y, 4.4, fillColor=GROUND, strokeColor=None))
            drawing.add(broken_ring(x, y, 2.8, 1.2))
        else:
            drawing.add(Circle(x, y, 2.1, fillColor=INK, strokeColor=GROUND, strokeWidth=0.9))
    if next_xy_m is not None:
        x, y = (middle + each * scale for each in next_xy_m)
        drawing.add(Circle(x, y, 6.2, fillColor=GROUND, strokeColor=None))
        drawing.add(mark_group("due", x - 4.9, y - 4.5, 9))
        words = String(x, y - 14.3, "next", fontName=BOLD, fontSize=7, textAnchor="middle", fillColor=INK)
        drawing.add(Rect(x - 8.5, y - 16, 17, 8.5, fillColor=GROUND, strokeColor=None))
        drawing.add(words)
    return drawing


def _cells(
    corners: FloatArray, thickness_m: FloatArray, look: MapLook, scale: float
) -> Iterator[Polygon | Circle]:
    """Rings from the outside in, each over the one before: cells of one class stand together."""
    classes = [bisect_left(look.edges_m, float(each)) for each in thickness_m]
    outer = corners[:, 1]
    for radius_m in sorted(set(outer.tolist()), reverse=True):
        ring = [i for i in range(len(classes)) if outer[i] == radius_m]
        for number, run in groupby(ring, key=classes.__getitem__):
            cells = list(run)
            fill = CIVIDIS[number].fill
            yield _wedge((corners[cells[0], 2], corners[cells[-1], 3]), radius_m * scale, fill)


def _wedge(span_deg: tuple[float, float], radius_pt: float, fill: Color) -> Polygon | Circle:
    if span_deg[1] - span_deg[0] >= _WHOLE_DEG - 1e-6:
        return Circle(0, 0, radius_pt, fillColor=fill, strokeColor=None)
    points = [0.0, 0.0, *_arc(span_deg, radius_pt)]
    return Polygon(points, fillColor=fill, strokeColor=fill, strokeWidth=0.3)


def _limit_line(
    corners: FloatArray, thickness_m: FloatArray, look: MapLook, scale: float
) -> Iterator[PolyLine]:
    """The heavy line between cells within the limit and cells over it, on a light one."""
    if look.limit is None:
        return
    limit_m = float(look.limit.reading.si)
    over = thickness_m >= limit_m if look.limit.strict else thickness_m > limit_m
    strokes = [*_between_neighbours(corners, over, scale), *_between_rings(corners, over, scale)]
    for color, width in ((GROUND, 3.0), (INK, 1.5)):
        for points in strokes:
            yield PolyLine(list(points), strokeColor=color, strokeWidth=width, strokeLineCap=1)


def _between_neighbours(corners: FloatArray, over: NDArray[np.bool_], scale: float) -> Iterator[Stroke]:
    for i in range(len(corners)):
        ring_ends = i + 1 == len(corners) or corners[i + 1, 1] != corners[i, 1]
        after = int(np.argmax(corners[:, 1] == corners[i, 1])) if ring_ends else i + 1
        if over[i] != over[after]:
            yield (*_at(corners[i, 3], corners[i, 0] * scale), *_at(corners[i, 3], corners[i, 1] * scale))


def _between_rings(corners: FloatArray, over: NDArray[np.bool_], scale: float) -> Iterator[Stroke]:
    for radius_m in sorted(set(corners[:, 0].tolist()))[1:]:
        inside = np.flatnonzero(np.isclose(corners[:, 1], radius_m))
        outside = np.flatnonzero(np.isclose(corners[:, 0], radius_m))
        for k in outside:
            first = np.maximum(corners[inside, 2], corners[k, 2])
            last = np.minimum(corners[inside, 3], corners[k, 3])
            for i in np.flatnonzero((last - first > 1e-9) & (over[inside] != over[k])):
                yield tuple(_arc((float(first[i]), float(last[i])), radius_m * scale))


def _arc(span_deg: Sequence[float], radius_pt: float) -> list[float]:
    first, last = span_deg
    steps = max(1, math.ceil((last - first) / _ARC_DEG))
    angles = [first + (last - first) * k / steps for k in range(steps + 1)]
    return [part for each in angles for part in _at(each, radius_pt)]


def _at(angle_deg: float, radius_pt: float) -> tuple[float, float]:
    """A place by its angle clockwise from plan north, and its radius."""
    angle = math.radians(angle_deg)
    return radius_pt * math.sin(angle), radius_pt * math.cos(angle)
