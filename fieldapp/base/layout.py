"""Where to sound: proposed points by diameter, and two ring radii with a reason.

The layouts are proposals (judgment); no document was found that fixes a number of points.  Angles
run clockwise from plan north at 0, as in the disk module.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from fieldapp.base.disk import DIAMETER
from fieldapp.units import FOOT_M, INCH_M, Number, OutOfRange, Range

_EQUAL_RING: Final = Range("number of ring points", "", 3, 100)
_COVERING_RING: Final = Range("number of ring points", "", 6, 100)


@dataclass(frozen=True, slots=True)
class ProposedPoint:
    """A place to sound: C is the centre, R1, R2 ... the rim points, M1, M2 ... the middle ring."""

    label: str
    r_m: float
    angle_deg: float


@dataclass(frozen=True, slots=True)
class LayoutRule:
    """Diameters at which more points are proposed, and how far rim points stay off the wall.

    Defaults (judgment): under 5 ft 5 points, 5 to 8 ft 9 points, over 8 ft 13 points, 5 in off the
    wall (between the 4 and 6 in that are usual).
    """

    nine_from_m: Number = 5 * FOOT_M
    thirteen_over_m: Number = 8 * FOOT_M
    edge_offset_m: Number = 5 * INCH_M


DEFAULT_RULE: Final = LayoutRule()


def proposed_layout(diameter_m: Number, rule: LayoutRule = DEFAULT_RULE) -> tuple[ProposedPoint, ...]:
    """Centre and ring(s) for a base: 5, 9 or 13 points.

    5 = centre and 4 rim points; 9 = centre and 8; 13 = centre, 4 on a middle ring, 8 at the rim.
    Rim points stand ``edge_offset_m`` off the wall; the middle ring has half their radius, on the
    axes: that leaves a smaller unprobed spot than turning it between the rim points (about 0.39
    against 0.43 of the radius at 10 ft; calculated).

    Diameters are compared after rounding to 0.1 mm, so that 5 ft written in metres is 5 ft.

    Raises OutOfRange for a diameter that is not more than 0 and at most 20 m, or for an edge offset
    that is negative or leaves no ring.  Source: standards survey, soundings (judgment); the pattern
    of centre and quadrants is common practice.
    """
    DIAMETER.check(diameter_m)
    ring_m = float(Fraction(diameter_m) / 2 - Fraction(rule.edge_offset_m))
    if not (rule.edge_offset_m >= 0 and ring_m > 0):
        offset = f"{float(rule.edge_offset_m):g} m"
        raise OutOfRange(
            "edge offset", offset, f"at least 0 and less than the radius of {float(diameter_m) / 2:g} m"
        )
    centre = (ProposedPoint("C", 0.0, 0.0),)
    if _tenth_mm(diameter_m) < _tenth_mm(rule.nine_from_m):
        return centre + _ring("R", 4, ring_m)
    if _tenth_mm(diameter_m) <= _tenth_mm(rule.thirteen_over_m):
        return centre + _ring("R", 8, ring_m)
    return centre + _ring("M", 4, ring_m / 2) + _ring("R", 8, ring_m)


def equal_area_ring_radius(ring_points: int) -> float:
    """Ring radius over base radius that gives the centre and n ring points cells of the same area.

    rho = 2 {pi/[(n + 1) n tan(pi/n)]}^0.5, n = 3 to 100, else OutOfRange.  Closed form G4; mathematics.
    """
    _EQUAL_RING.check(ring_points)
    n = ring_points
    return 2 * math.sqrt(math.pi / ((n + 1) * n * math.tan(math.pi / n)))


def covering_radius(ring_points: int) -> float:
    """Radius, over base radius, of the largest spot left unprobed by centre and n ring points, at best.

    r = 1/(1 + 2 cos(2 pi/n)), n = 6 to 100, else OutOfRange.  Known disk coverings for n = 6, 7, 8
    (memory: fair; reproduced), G5; the same construction for more points.
    """
    _COVERING_RING.check(ring_points)
    return 1 / (1 + 2 * math.cos(2 * math.pi / ring_points))


def covering_ring_radius(ring_points: int) -> float:
    """Ring radius over base radius that reaches the covering radius: 2 r cos(pi/n), n = 6 to 100.

    Circles of that radius around centre and two neighbours on the ring then meet in one point.
    Raises OutOfRange.  Source as covering_radius.
    """
    return 2 * covering_radius(ring_points) * math.cos(math.pi / ring_points)


def _tenth_mm(length_m: Number) -> int:
    return round(Fraction(length_m) * 10_000)


def _ring(letter: str, points: int, r_m: float) -> tuple[ProposedPoint, ...]:
    return tuple(ProposedPoint(f"{letter}{k + 1}", r_m, 360.0 * k / points) for k in range(points))
