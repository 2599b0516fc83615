"""The base seen from above, as numbers: cells, points, and which point a finger means.

Coordinates: the base has radius 1, x to the right, y up the station.  Pure; knows no window.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, cos, floor, hypot, radians, sin

XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PlanCell:
    """The part of the base that a read point stands for."""

    label: str
    outline: tuple[XY, ...]
    at: XY
    text: str
    thickness_class: int
    over_limit: bool = False


@dataclass(frozen=True, slots=True)
class PlanPoint:
    """A point of the round that has no thickness: not yet read, or marked as no reading."""

    label: str
    at: XY
    no_reading: bool = False


def nearest(places: Iterable[tuple[str, XY]], touch: XY, reach: float) -> str | None:
    """Label of the place nearest to a touch and not farther than ``reach``, else None."""
    near = [(hypot(at[0] - touch[0], at[1] - touch[1]), label) for label, at in places]
    distance, label = min(near, default=(reach + 1, ""))
    return label if distance <= reach else None


def room_at(outline: tuple[XY, ...], at: XY) -> float:
    """Distance from a place to the nearest edge of the outline around it: the room its number has."""
    edges = zip(outline, (*outline[1:], outline[0]), strict=True)
    return min((_to_edge(at, a, b) for a, b in edges), default=0.0)


def hatch(outline: tuple[XY, ...], spacing: float, angle_deg: float) -> list[tuple[XY, XY]]:
    """Parallel lines inside a convex outline, ``spacing`` (more than 0) apart, as pairs of ends.

    They lie on one grid of the whole drawing, so that the lines of neighbouring cells meet.
    """
    across = -sin(radians(angle_deg)), cos(radians(angle_deg))
    heights = [at[0] * across[0] + at[1] * across[1] for at in outline]
    if not heights:
        return []
    steps = range(ceil(min(heights) / spacing), floor(max(heights) / spacing) + 1)
    lines = (_crossings(outline, heights, step * spacing) for step in steps)
    return [(ends[0], ends[-1]) for ends in lines if len(ends) > 1 and ends[0] != ends[-1]]


def _crossings(outline: tuple[XY, ...], heights: list[float], at: float) -> list[XY]:
    """Where the line at this height crosses the outline, from one end to the other."""
    found = set()
    pairs = zip(outline, heights, (*outline[1:], outline[0]), (*heights[1:], heights[0]), strict=True)
    for a, low, b, high in pairs:
        if low != high and min(low, high) <= at <= max(low, high):
            part = (at - low) / (high - low)
            found.add((a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])))
    return sorted(found)


def _to_edge(at: XY, a: XY, b: XY) -> float:
    ux, uy = b[0] - a[0], b[1] - a[1]
    length2 = ux * ux + uy * uy
    part = 0.0 if length2 == 0 else ((at[0] - a[0]) * ux + (at[1] - a[1]) * uy) / length2
    part = min(1.0, max(0.0, part))
    return hypot(at[0] - a[0] - part * ux, at[1] - a[1] - part * uy)
