"""Where a round looked: its distinct places, and the place of the base farthest from all of them."""

from __future__ import annotations

from fractions import Fraction
from math import dist
from typing import Final

import numpy as np

from fieldapp.base.disk import polar_to_xy_m
from fieldapp.criteria.look import Look
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.fold import Line

# Readings closer than this share of the radius show one place (judgment).
SAME_PLACE: Final = 0.1
_RINGS: Final = 40
_SPOKES: Final = 180


def place_m(point: SoundingPoint) -> tuple[float, float]:
    """Place of a point on the base [m], x to the right and y upstation."""
    assert point.r is not None
    assert point.angle is not None
    return polar_to_xy_m(float(point.r.si), float(point.angle.si))


def distinct_places(look: Look, line: Line[SoundingRound]) -> list[tuple[float, float]]:
    """Places [m] of a round that were read; readings closer than a tenth of the radius are one place."""
    least_m = float(look.scheduled.diameter.si) / 2 * SAME_PLACE
    found: list[tuple[float, float]] = []
    for point in line.values.points:
        if not point.no_reading and all(dist(place_m(point), other) > least_m for other in found):
            found.append(place_m(point))
    return found


def farthest_unprobed(places: list[tuple[float, float]], radius_m: float) -> Fraction:
    """Largest distance from a place of the base to the nearest reading, over the radius; 2 without any.

    Looked for on 40 rings and 180 spokes, so it may be short by up to 2 % of the radius.
    """
    if not places:
        return Fraction(2)
    rings = np.linspace(0.0, radius_m, _RINGS + 1)
    angles = np.linspace(0.0, 2 * np.pi, _SPOKES, endpoint=False)
    x, y = np.outer(rings, np.sin(angles)).ravel(), np.outer(rings, np.cos(angles)).ravel()
    gap = np.min([np.hypot(x - px, y - py) for px, py in places], axis=0)
    return Fraction(round(float(gap.max()) / radius_m * 1000), 1000)
