"""Where a round looked: its distinct places, and the place of the base farthest from all of them."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from math import dist
from typing import Final, TypeAlias

import numpy as np

from fieldapp.base.areas import nearest_point_areas, nearest_point_cells
from fieldapp.base.disk import BaseDisk, polar_to_xy_m
from fieldapp.criteria.look import Look
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.fold import Line

Place: TypeAlias = tuple[float, float]

# Readings closer than this share of the radius show one place (judgment).
SAME_PLACE: Final = 0.1
# From one point of the rim to the point opposite; nothing of a base that was not sounded is nearer.
_ACROSS: Final = Fraction(2)
_STEPS: Final = 8


def place_m(point: SoundingPoint) -> Place:
    """Place of a point on the base [m], x to the right and y upstation."""
    assert point.r is not None
    assert point.angle is not None
    return polar_to_xy_m(float(point.r.si), float(point.angle.si))


def distinct_places(look: Look, line: Line[SoundingRound]) -> tuple[Place, ...]:
    """Places [m] of a round that were read; readings closer than a tenth of the radius are one place."""
    return look.once(("places", line.id), lambda: _distinct(look, line))


def _distinct(look: Look, line: Line[SoundingRound]) -> tuple[Place, ...]:
    least_m = float(look.scheduled.diameter.si) / 2 * SAME_PLACE
    found: list[Place] = []
    for point in line.values.points:
        place = place_m(point)
        if not point.no_reading and all(dist(place, other) > least_m for other in found):
            found.append(place)
    return tuple(found)


@lru_cache(maxsize=256)
def farthest_unprobed(places: tuple[Place, ...], radius_m: float) -> Fraction:
    """Largest distance from a place of the base to the nearest reading, over the radius, to 1/10 000.

    Exact: the farthest place is a corner of a nearest-point cell, or the point of the rim opposite to a
    reading.  A reading off the base shows nothing of it; without any reading the answer is 2.
    """
    base = BaseDisk(2 * radius_m)
    sites = np.array([place for place in places if base.point_inside(*place)])
    if not len(sites):
        return _ACROSS
    corners = nearest_point_cells(sites, radius_m, _STEPS)
    off_centre = sites[np.hypot(sites[:, 0], sites[:, 1]) > 0]
    opposite = -radius_m * off_centre / np.hypot(off_centre[:, 0], off_centre[:, 1])[:, None]
    candidates = np.concatenate([*corners, opposite])
    gaps = np.hypot(
        candidates[:, None, 0] - sites[None, :, 0], candidates[:, None, 1] - sites[None, :, 1]
    ).min(axis=1)
    return Fraction(round(float(gaps.max()) / radius_m * 10_000), 10_000)


@lru_cache(maxsize=256)
def cell_areas_m2(places: tuple[Place, ...], radius_m: float) -> tuple[float, ...]:
    """Area [m2] of the part of the base nearest to each reading.  Raises OutOfRange for one off the base."""
    return tuple(float(each) for each in nearest_point_areas(np.array(places), radius_m))
