"""How fast a grain falls through the fluid, and how large a grain the fluid holds up.

Ferguson and Church is the law in use; the other laws are here to check it.  One grain, still fluid,
one viscosity: slurry thins with shear, so a funnel viscosity makes every law too quick, which is
cautious.  Nothing here says how much settles.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from typing import Final

from fieldapp.fluid.column import DENSITY, GRAVITY, STANDARD_GRAVITY
from fieldapp.units import OutOfRange, Range

VISCOSITY: Final = Range("viscosity", "Pa s", 0.0, 10.0, open_below=True)
YIELD_STRESS: Final = Range("yield stress", "Pa", 0.0, 200.0)
SOLIDS_FRACTION: Final = Range("solids fraction", "", 0.0, 0.6)
_DIAMETER: Final = Range("grain diameter", "m", 0.0, 10.0, open_below=True)
_SOLIDS: Final = Range("density of the grain", "kg/m3", 1000.0, 8000.0)
_SPEED: Final = Range("settling velocity", "m/s", 0.0, 100.0)
_REYNOLDS: Final = Range("Reynolds number", "", 0.0, 1e9)
_STOKES_REYNOLDS: Final = Range("Reynolds number for Stokes' law", "", 0.0, 1.0)
_EXPONENT: Final = Range("hindered settling exponent", "", 2.0, 6.0)
_HOLD: Final = Range("yield-stress hold Y", "", 0.01, 1.0)

QUARTZ_KG_PER_M3: Final = 2650.0
HOLD: Final = 0.2
HOLD_UPPER_CLAIM: Final = 0.05


class Shape(Enum):
    """Constants C1, C2 of Ferguson and Church (memory: fair): spheres, or natural sand by sieve size."""

    SPHERE = (18.0, 0.4)
    NATURAL = (18.0, 1.0)


@dataclass(frozen=True, slots=True)
class Grain:
    """A grain by sieve size (more than 0 m) and density (1000 to 8000 kg/m3; quartz unless said)."""

    diameter_m: float
    density_kg_per_m3: float = QUARTZ_KG_PER_M3

    def __post_init__(self) -> None:
        _DIAMETER.check(self.diameter_m)
        _SOLIDS.check(self.density_kg_per_m3)


@dataclass(frozen=True, slots=True)
class Liquid:
    """The fluid around the grain: 900 to 1600 kg/m3, viscosity more than 0 and at most 10 Pa s."""

    density_kg_per_m3: float
    viscosity_pa_s: float
    gravity_m_per_s2: float = STANDARD_GRAVITY

    def __post_init__(self) -> None:
        DENSITY.check(self.density_kg_per_m3)
        VISCOSITY.check(self.viscosity_pa_s)
        GRAVITY.check(self.gravity_m_per_s2)

    @property
    def kinematic_m2_per_s(self) -> float:
        """Kinematic viscosity [m2/s]: mu/rho."""
        return self.viscosity_pa_s / self.density_kg_per_m3


def reynolds(velocity_m_per_s: float, grain: Grain, liquid: Liquid) -> float:
    """Reynolds number of a falling grain: v d/nu.  Velocity 0 to 100 m/s, else OutOfRange.  Definition."""
    _SPEED.check(velocity_m_per_s)
    return velocity_m_per_s * grain.diameter_m / liquid.kinematic_m2_per_s


def stokes_m_per_s(grain: Grain, liquid: Liquid) -> float:
    """Stokes' velocity [m/s]: (rho_s - rho_f) g d^2/(18 mu).

    For a Reynolds number of at most 1, better 0.1, else OutOfRange.  Stokes' law (D1); mathematics.
    """
    velocity = _weight(grain, liquid) * grain.diameter_m**2 / (18 * liquid.viscosity_pa_s)
    _STOKES_REYNOLDS.check(velocity * grain.diameter_m / liquid.kinematic_m2_per_s)
    return velocity


def ferguson_church_m_per_s(grain: Grain, liquid: Liquid, shape: Shape = Shape.NATURAL) -> float:
    """Settling velocity [m/s], the law in use: R g d^2/(C1 nu + (0.75 C2 R g d^3)^0.5).

    Tends to Stokes for small grains and to (4 R g d/(3 C2))^0.5 for large ones; R g is the grain's
    buoyant weight by fluid mass.  The grain must be heavier than the fluid, else OutOfRange.
    Ferguson and Church 2004 (form second-hand, constants memory: fair; D2 to D4, D10).
    """
    c1, c2 = shape.value
    d = grain.diameter_m
    pull = _weight(grain, liquid) / liquid.density_kg_per_m3
    return pull * d**2 / (c1 * liquid.kinematic_m2_per_s + math.sqrt(0.75 * c2 * pull * d**3))


def soulsby_m_per_s(grain: Grain, liquid: Liquid) -> float:
    """Settling velocity [m/s]: (nu/d){[10.36^2 + 1.049 D*^3]^0.5 - 10.36}.  A check.

    Soulsby 1997 (form second-hand; D5).  The grain must be heavier than the fluid, else OutOfRange.
    """
    cubed = 1.049 * dimensionless_diameter(grain, liquid) ** 3
    # the difference of two near roots, written so that small grains lose no digits
    return _scale(grain, liquid) * cubed / (math.sqrt(10.36**2 + cubed) + 10.36)


def song_m_per_s(grain: Grain, liquid: Liquid) -> float:
    """Settling velocity [m/s]: (nu/d) D*^3 [38.1 + 0.93 D*^(12/7)]^(-7/8).  A check.

    Song et al. 2008 (read, worked sheet).  The grain must be heavier than the fluid, else OutOfRange.
    """
    size = dimensionless_diameter(grain, liquid)
    slowed: float = (38.1 + 0.93 * size ** (12 / 7)) ** (-7 / 8)
    return _scale(grain, liquid) * size**3 * slowed


def guo_m_per_s(grain: Grain, liquid: Liquid) -> float:
    """Settling velocity [m/s]: (nu/d) D*^3/(18 + D*^1.5/3^0.5).  A check.

    Guo 2002 (read, worked sheet).  The grain must be heavier than the fluid, else OutOfRange.
    """
    size = dimensionless_diameter(grain, liquid)
    return _scale(grain, liquid) * size**3 / (18 + math.sqrt(size**3 / 3))


def cheng_m_per_s(grain: Grain, liquid: Liquid) -> float:
    """Settling velocity [m/s] from the drag coefficient, (4 D*/(3 C_D))^0.5 ((s - 1) g nu)^(1/3).  A check.

    C_D = 432/D*^3 (1 + 0.022 D*^3)^0.54 + 0.47 [1 - exp(-0.15 D*^0.45)].  Cheng 2009 (read, worked
    sheet).  The grain must be heavier than the fluid, else OutOfRange.
    """
    size = dimensionless_diameter(grain, liquid)
    drag: float = 432 / size**3 * (1 + 0.022 * size**3) ** 0.54 + 0.47 * (1 - math.exp(-0.15 * size**0.45))
    pull = _weight(grain, liquid) / liquid.density_kg_per_m3
    return math.sqrt(4 * size / (3 * drag)) * math.cbrt(pull * liquid.kinematic_m2_per_s)


def dimensionless_diameter(grain: Grain, liquid: Liquid) -> float:
    """D* = d [g (s - 1)/nu^2]^(1/3).  The grain must be heavier than the fluid, else OutOfRange."""
    pull = _weight(grain, liquid) / liquid.density_kg_per_m3
    return grain.diameter_m * math.cbrt(pull / liquid.kinematic_m2_per_s**2)


def hindered_exponent(reynolds_number: float) -> float:
    """Richardson-Zaki exponent n: 4.65 under Re 0.2, 4.4 Re^-0.03 to 1, 4.4 Re^-0.1 to 500, 2.4 over.

    Reynolds number 0 to 1e9, else OutOfRange.  Richardson and Zaki (exponents memory: fair).
    """
    _REYNOLDS.check(reynolds_number)
    if reynolds_number < 0.2:
        return 4.65
    if reynolds_number <= 1:
        return 4.4 * math.pow(reynolds_number, -0.03)
    return 4.4 * math.pow(reynolds_number, -0.1) if reynolds_number <= 500 else 2.4


def hindered_m_per_s(free_m_per_s: float, solids_fraction: float, exponent: float) -> float:
    """Velocity [m/s] among other grains: v (1 - c)^n.

    Velocity 0 to 100 m/s, solids fraction (grains without pores) 0 to 0.6, exponent 2 to 6, else
    OutOfRange.  Richardson and Zaki (D11, D17).
    """
    _SPEED.check(free_m_per_s)
    SOLIDS_FRACTION.check(solids_fraction)
    _EXPONENT.check(exponent)
    slowed: float = (1 - solids_fraction) ** exponent
    return free_m_per_s * slowed


def free_m_per_s(hindered: float, solids_fraction: float, exponent: float) -> float:
    """Velocity [m/s] of the grain alone, from one seen among others.  Ranges as hindered_m_per_s (D11)."""
    _SPEED.check(hindered)
    return hindered / hindered_m_per_s(1.0, solids_fraction, exponent)


def solids_fraction_of(velocity_ratio: float, exponent: float) -> float:
    """Solids fraction from hindered over free velocity: c = 1 - ratio^(1/n) (D12).

    Ratio more than 0 and at most 1, exponent 2 to 6, else OutOfRange.  Richardson and Zaki, inverted.
    """
    Range("ratio of the velocities", "", 0.0, 1.0, open_below=True).check(velocity_ratio)
    _EXPONENT.check(exponent)
    root: float = velocity_ratio ** (1 / exponent)
    return 1 - root


def largest_held_m(
    yield_stress_pa: float, liquid: Liquid, solids_kg_per_m3: float, hold: float = HOLD
) -> float:
    """Diameter [m] of the largest grain that the yield stress holds up: tau_y/(Y (rho_s - rho_f) g).

    Y 0.2 is cautious; 0.05 is the upper claim, near theory 0.143/3; 1/6 is shear on the full surface.
    Yield stress 0 to 200 Pa, Y 0.01 to 1, grain heavier than the fluid, else OutOfRange.
    Beris et al. 1985 for theory (memory: fair; D14); the choice of 0.2 is judgment.
    """
    YIELD_STRESS.check(yield_stress_pa)
    _HOLD.check(hold)
    _SOLIDS.check(solids_kg_per_m3)
    return yield_stress_pa / (hold * _weight(Grain(1.0, solids_kg_per_m3), liquid))


def bearing_factor(hold: float) -> float:
    """Y as a bearing factor on the section of the grain: N = 2/(3 Y) (D15).

    Weight (pi/6) d^3 (rho_s - rho_f) g = N tau_y pi d^2/4.  Y 0.01 to 1, else OutOfRange.  Algebra.
    """
    _HOLD.check(hold)
    return 2 / (3 * hold)


def _weight(grain: Grain, liquid: Liquid) -> float:
    """Buoyant weight of the grain by its volume [N/m3], refused when the grain would float."""
    heavier = grain.density_kg_per_m3 - liquid.density_kg_per_m3
    if heavier <= 0:
        raise OutOfRange(
            _SOLIDS.quantity,
            f"{grain.density_kg_per_m3:g} kg/m3",
            f"more than that of the fluid, {liquid.density_kg_per_m3:g} kg/m3",
        )
    return heavier * liquid.gravity_m_per_s2


def _scale(grain: Grain, liquid: Liquid) -> float:
    return liquid.kinematic_m2_per_s / grain.diameter_m
