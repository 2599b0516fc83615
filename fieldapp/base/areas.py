"""Which part of the base each sounding stands for: the places nearer to it than to any other.

Exact for positions as irregular as they come: a cell is bounded by straight edges half-way between
neighbours and by arcs of the wall, and its area is taken along that boundary.  Nothing is sampled
except in the polygons made for drawing.
"""

from __future__ import annotations

import math
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from fieldapp.base.disk import RADIUS, RIM_SLACK, FloatArray
from fieldapp.units import OutOfRange, Range

IntArray = NDArray[np.intp]

SAME_PLACE_M: Final = 0.001
MOST_POINTS: Final = 100
_ARC_STEPS: Final = Range("steps around the rim", "", 8, 10_000)


def nearest_point_areas(xy_m: FloatArray, radius_m: float) -> FloatArray:
    """Area [m2] of the part of the disk that is nearest to each point.

    Area of a cell = 1/2 sum of (a x b) over its straight edges a to b, counter-clockwise, plus R^2/2
    times the angle of its arcs (Green's theorem).  Points within 1 mm of each other are one place
    and share its cell equally; one point has the whole disk.

    Parameters
    ----------
    xy_m
        Positions from the centre of the disk, shape (n, 2), n = 1 to 100.
    radius_m
        Radius of the disk, more than 0 and at most 10 m.

    Returns
    -------
    Areas, shape (n,); their sum is the area of the disk.

    Raises
    ------
    OutOfRange
        No point or too many, a point off the disk or not a number, a radius out of range.

    Notes
    -----
    Nearest-point cells: closed form G1 for regular rings; mathematics.  That such a cell carries
    its sounding is a convention of this program (judgment).
    """
    _check(xy_m, radius_m)
    sites, group, count = _places(np.asarray(xy_m, dtype=np.float64))
    edges = _edges(sites, radius_m)
    arcs = _arcs(sites, edges, radius_m)
    cross = edges.start[:, 0] * edges.end[:, 1] - edges.start[:, 1] * edges.end[:, 0]
    straight = np.bincount(edges.owner, weights=cross, minlength=len(sites))
    curved = radius_m**2 * np.bincount(arcs.owner, weights=arcs.width, minlength=len(sites))
    shared: FloatArray = np.maximum((straight + curved) / 2, 0.0) / count
    return shared[group]


def nearest_point_cells(xy_m: FloatArray, radius_m: float, arc_steps: int = 72) -> list[FloatArray]:
    """Polygons of the same cells for drawing: one (m, 2) array a point, counter-clockwise, not closed.

    Arcs are drawn with ``arc_steps`` (8 to 10 000) chords to the full circle, so a polygon lies
    inside its cell.  Points at one place get the same polygon.  Raises OutOfRange as
    nearest_point_areas does.
    """
    _check(xy_m, radius_m)
    _ARC_STEPS.check(arc_steps)
    sites, group, _ = _places(np.asarray(xy_m, dtype=np.float64))
    edges = _edges(sites, radius_m)
    arcs = _arcs(sites, edges, radius_m)
    cells = [_polygon(i, edges, arcs, radius_m, arc_steps) for i in range(len(sites))]
    return [cells[i] for i in group]


class _Edges(NamedTuple):
    """Straight edges, each once for either side: the owner lies to the left of start -> end."""

    owner: IntArray
    start: FloatArray
    end: FloatArray


class _Arcs(NamedTuple):
    """Pieces of the rim: owner, first angle, width (mathematical angles, radians)."""

    owner: IntArray
    first: FloatArray
    width: FloatArray


def _check(xy_m: FloatArray, radius_m: float) -> None:
    RADIUS.check(radius_m)
    xy = np.asarray(xy_m, dtype=np.float64)
    if xy.ndim != 2 or xy.shape[1] != 2 or not 1 <= len(xy) <= MOST_POINTS:
        raise OutOfRange("shape of the positions", str(xy.shape), f"(n, 2) with n from 1 to {MOST_POINTS}")
    off = ~(np.hypot(xy[:, 0], xy[:, 1]) <= radius_m * (1 + RIM_SLACK))
    if off.any():
        first = int(np.argmax(off))
        place = f"({xy[first, 0]:g}, {xy[first, 1]:g}) m"
        raise OutOfRange(f"position of point {first + 1}", place, f"on the base of radius {radius_m:g} m")


def _places(xy: FloatArray) -> tuple[FloatArray, IntArray, FloatArray]:
    """Distinct places, the place of each point, and how many points each place holds."""
    group: IntArray = np.arange(len(xy))
    count = np.ones(len(xy))
    sites = xy
    while True:
        gap = sites[:, None, :] - sites[None, :, :]
        near = (gap**2).sum(axis=2) <= SAME_PLACE_M**2
        if near.sum() == len(sites):
            return sites, group, count
        group = _joined(near)[group]
        count = np.bincount(group).astype(np.float64)
        sites = np.stack([np.bincount(group, weights=xy[:, k]) / count for k in (0, 1)], axis=1)


def _joined(near: NDArray[np.bool_]) -> IntArray:
    """Number of the chain of near neighbours that each place belongs to."""
    reach = near
    while (wider := reach @ near).sum() > reach.sum():
        reach = wider
    chain: IntArray = np.unique(reach.argmax(axis=1), return_inverse=True)[1]
    return chain


def _edges(sites: FloatArray, radius_m: float) -> _Edges:
    """The stretch of each line half-way between two places that no third place and no wall cuts off.

    On that line, x = (p_i + p_j)/2 + t d, being nearer to p_i than to p_k reads a t <= b with
    a = 2 d.(p_k - p_i) and b = (p_k - p_i).(p_k - p_j); the wall bounds t on both sides.
    """
    n = len(sites)
    i, j = np.triu_indices(n, k=1)
    middle = (sites[i] + sites[j]) / 2
    away = sites[i] - sites[j]
    along = np.stack([away[:, 1], -away[:, 0]], axis=1) / np.hypot(away[:, 0], away[:, 1])[:, None]
    foot = -(middle * along).sum(axis=1)
    half = np.sqrt(np.maximum(foot**2 - (middle**2).sum(axis=1) + radius_m**2, 0.0))
    slope = 2 * (along @ sites.T - (along * sites[i]).sum(axis=1)[:, None])
    products = sites @ sites.T
    room = np.diag(products)[None, :] - products[i] - products[j] + products[i, j][:, None]
    pairs = np.arange(len(i))
    slope[pairs, i] = slope[pairs, j] = 0.0
    room[pairs, i] = room[pairs, j] = 0.0
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        bound = room / slope
    low = np.maximum(np.where(slope < 0, bound, -np.inf).max(axis=1, initial=-np.inf), foot - half)
    high = np.minimum(np.where(slope > 0, bound, np.inf).min(axis=1, initial=np.inf), foot + half)
    kept = (low < high) & ~((slope == 0) & (room < 0)).any(axis=1)
    start = middle[kept] + low[kept, None] * along[kept]
    end = middle[kept] + high[kept, None] * along[kept]
    return _Edges(
        np.concatenate([i[kept], j[kept]]), np.concatenate([start, end]), np.concatenate([end, start])
    )


def _arcs(sites: FloatArray, edges: _Edges, radius_m: float) -> _Arcs:
    """Cut the rim in the directions of all edge ends; the middle of a piece tells whose it is.

    Ends inside the disk cut it too, which does no harm: both pieces then have the same owner.
    """
    first = np.sort(np.append(np.arctan2(edges.start[:, 1], edges.start[:, 0]), -math.pi))
    width = np.diff(first, append=first[0] + 2 * math.pi)
    middle = first + width / 2
    rim = radius_m * np.stack([np.cos(middle), np.sin(middle)], axis=1)
    distance = ((rim[:, None, :] - sites[None, :, :]) ** 2).sum(axis=2)
    return _Arcs(distance.argmin(axis=1), first, width)


def _polygon(site: int, edges: _Edges, arcs: _Arcs, radius_m: float, arc_steps: int) -> FloatArray:
    corners = [edges.start[edges.owner == site], edges.end[edges.owner == site]]
    for first, width in zip(arcs.first[arcs.owner == site], arcs.width[arcs.owner == site], strict=True):
        chords = math.ceil(width / (2 * math.pi) * arc_steps)
        angle = first + np.linspace(0.0, width, chords + 1)
        corners.append(radius_m * np.stack([np.cos(angle), np.sin(angle)], axis=1))
    points = np.concatenate(corners)
    around = points - points.mean(axis=0)
    points = points[np.argsort(np.arctan2(around[:, 1], around[:, 0]), kind="stable")]
    step = points - np.roll(points, 1, axis=0)
    distinct: FloatArray = points[np.hypot(step[:, 0], step[:, 1]) > 1e-9 * radius_m]
    return distinct
