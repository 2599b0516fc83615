"""Shape and concrete figures that touch the base: plumbness, drift, plan tolerance, tremie.

Plain geometry and hydrostatics.  Sums keep fractions exact, so that a reading at the limit is a tie.
Limits are arguments or belong to acceptance sets, apart from the one stepped rule spelled out here.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Final

from fieldapp.base.disk import DIAMETER, BaseDisk
from fieldapp.units import Number, OutOfRange, Range

_LENGTH: Final = Range("length", "m", 0.0, 300.0, open_below=True)
_OFFSET: Final = Range("offset", "m", 0.0, 300.0)
_SLOPE: Final = Range("slope", "", 0.0, 1.0)
_ONE_IN: Final = Range("n of a slope of 1 in n", "", 1.0, 1e6)
_DEPTH: Final = Range("fluid depth", "m", 0.0, 300.0)
_FLUID: Final = Range("fluid density", "kg/m3", 900.0, 1600.0)
_CONCRETE: Final = Range("density of fresh concrete", "kg/m3", 1600.0, 3500.0)
_PIPE: Final = Range("inside diameter of the tremie", "m", 0.0, 1.0, open_below=True)


def slope(offset_m: Number, length_m: Number) -> Number:
    """Slope as a ratio: offset over the length it was seen on.

    ``offset_m`` 0 to 300 m, ``length_m`` more than 0 and at most 300 m, else OutOfRange.
    Geometry; mathematics.
    """
    _OFFSET.check(offset_m)
    _LENGTH.check(length_m)
    return offset_m / length_m


def slope_of_one_in(n: Number) -> Number:
    """Slope of "1 in n" as a ratio, n = 1 to 1 000 000, else OutOfRange.  Geometry; mathematics."""
    _ONE_IN.check(n)
    return 1 / n


def drift_m(slope_ratio: Number, length_m: Number) -> Number:
    """Sideways drift [m] of a shaft of this slope over its length.

    Slope 0 to 1, length more than 0 and at most 300 m, else OutOfRange.  Geometry; mathematics.
    """
    _SLOPE.check(slope_ratio)
    _LENGTH.check(length_m)
    return slope_ratio * length_m


def stepped_plan_tolerance_m(diameter_m: Number) -> Number:
    """Plan tolerance [m]: 0.100 up to D 1.0 m, D/10 up to 1.5 m, 0.150 over.

    Diameter more than 0 and at most 20 m, else OutOfRange.  EN 1536 (memory: sure).
    """
    DIAMETER.check(diameter_m)
    if diameter_m <= 1:
        return Fraction(1, 10)
    return diameter_m / 10 if diameter_m <= Fraction(3, 2) else Fraction(3, 20)


def embedment_volume_m3(diameter_m: float, embedment_m: float) -> float:
    """Concrete [m3] that fills the shaft over the tremie embedment.  Geometry; mathematics.

    Diameter more than 0 and at most 20 m, embedment 0 to 100 m, else OutOfRange.
    """
    return BaseDisk(diameter_m).volume_m3(embedment_m)


def tremie_balance_height_m(fluid_depth_m: float, fluid_kg_per_m3: float, concrete_kg_per_m3: float) -> float:
    """Height [m] of concrete in the pipe that balances the fluid outside: h = z rho_f/rho_c.

    Depth of the pipe's end under the fluid 0 to 300 m, fluid 900 to 1600 kg/m3, concrete 1600 to
    3500 kg/m3 and heavier than the fluid, else OutOfRange.  Hydrostatics; mathematics.
    """
    _DEPTH.check(fluid_depth_m)
    _FLUID.check(fluid_kg_per_m3)
    _CONCRETE.check(concrete_kg_per_m3)
    if concrete_kg_per_m3 <= fluid_kg_per_m3:
        raise OutOfRange(_CONCRETE.quantity, f"{concrete_kg_per_m3:g} kg/m3", "more than that of the fluid")
    return fluid_depth_m * fluid_kg_per_m3 / concrete_kg_per_m3


def pipe_volume_m3(inside_diameter_m: float, height_m: float) -> float:
    """Volume [m3] of concrete that stands ``height_m`` high in the tremie pipe.  Geometry; mathematics.

    Inside diameter more than 0 and at most 1 m, height 0 to 300 m, else OutOfRange.
    """
    _PIPE.check(inside_diameter_m)
    _DEPTH.check(height_m)
    return math.pi / 4 * inside_diameter_m**2 * height_m
