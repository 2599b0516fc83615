"""The base of a shaft as a circular disk, in plan, seen from above.

Positions are read as radius from the centre and angle in degrees, clockwise from plan north (or
upstation, where the project says so) at 0.  In x, y: x points to 90 degrees, y to 0 degrees.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from fieldapp.units import OutOfRange, Range

FloatArray = NDArray[np.float64]

DIAMETER: Final = Range("base diameter", "m", 0.0, 20.0, open_below=True)
RADIUS: Final = Range("base radius", "m", 0.0, 10.0, open_below=True)
THICKNESS: Final = Range("layer thickness", "m", 0.0, 100.0)
RIM_SLACK: Final = 1e-9


@dataclass(frozen=True, slots=True)
class BaseDisk:
    """A flat circular base, ``diameter_m`` across (more than 0, at most 20 m; else OutOfRange)."""

    diameter_m: float

    def __post_init__(self) -> None:
        DIAMETER.check(self.diameter_m)

    @property
    def radius_m(self) -> float:
        """Half of the diameter [m]."""
        return float(self.diameter_m) / 2

    @property
    def area_m2(self) -> float:
        """Area pi D^2/4 [m2].  Geometry; mathematics."""
        return math.pi * self.radius_m**2

    def volume_m3(self, thickness_m: float) -> float:
        """Volume of an even layer, of standing water, or of any fill of this cross-section.

        V = A t; ``thickness_m`` from 0 to 100 m, else OutOfRange.  Geometry; mathematics.
        """
        THICKNESS.check(thickness_m)
        return self.area_m2 * float(thickness_m)

    def point_inside(self, x_m: float, y_m: float) -> bool:
        """Whether the place lies on the disk, the rim included (to a billionth of the radius)."""
        return math.hypot(x_m, y_m) <= self.radius_m * (1 + RIM_SLACK)


def polar_to_xy_m(r_m: float, angle_deg: float) -> tuple[float, float]:
    """Place of a reading: x = r sin(angle), y = r cos(angle), the angle clockwise from y.

    ``r_m`` 0 to 10 m, ``angle_deg`` -360 to 360, else OutOfRange.  Geometry; mathematics.
    """
    Range("radius of a position", "m", 0.0, RADIUS.most).check(r_m)
    Range("angle of a position", "deg", -360.0, 360.0).check(angle_deg)
    angle = math.radians(angle_deg)
    return r_m * math.sin(angle), r_m * math.cos(angle)


def xy_to_polar(x_m: float, y_m: float) -> tuple[float, float]:
    """Radius [m] and angle [deg, 0 up to but not 360, clockwise from y]; the centre has angle 0."""
    angle = math.degrees(math.atan2(x_m, y_m)) % 360.0
    return math.hypot(x_m, y_m), 0.0 if angle == 360.0 else angle


def layer_volume_m3(thickness_m: Sequence[float], areas_m2: Sequence[float] | FloatArray) -> float:
    """Volume of an uneven layer: sum of thickness times cell area, shapes (n,) and (n,), n >= 1.

    Every thickness must be known: an unknown one (NaN) raises OutOfRange, because a volume that
    leaves a cell out would look like a clean cell.  Geometry; mathematics.
    """
    THICKNESS.check(*thickness_m)
    Range("cell area", "m2", 0.0, math.pi * RADIUS.most**2).check(*areas_m2)
    if len(thickness_m) != len(areas_m2) or len(thickness_m) == 0:
        raise OutOfRange(
            "number of thicknesses", str(len(thickness_m)), f"one for each of {len(areas_m2)} cells"
        )
    return math.fsum(float(t) * float(a) for t, a in zip(thickness_m, areas_m2, strict=True))
