"""Net outward pressure of the fluid on the wall of the hole, and the head that it takes.

Hydrostatic on both sides, one density each.  A negative net pressure means that water and fines come
in.  Depths are below one reference level, downwards positive.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from fieldapp.fluid.column import DENSITY, GRAVITY, STANDARD_GRAVITY
from fieldapp.units import OutOfRange, Range

_LEVEL: Final = Range("depth of a level", "m", -100.0, 300.0)
_DEPTH: Final = Range("depth below the reference level", "m", -100.0, 300.0)
_BELOW_WATER: Final = Range("depth below the water table", "m", 0.0, 300.0)
_ASKED: Final = Range("net pressure asked", "kPa", 0.0, 1000.0)


@dataclass(frozen=True, slots=True)
class StandingFluid:
    """A fluid at rest: its density (900 to 1600 kg/m3) and the depth of its level (piezometric for water)."""

    density_kg_per_m3: float
    level_depth_m: float

    def __post_init__(self) -> None:
        DENSITY.check(self.density_kg_per_m3)
        _LEVEL.check(self.level_depth_m)

    def pressure_kpa(self, depth_m: float, gravity_m_per_s2: float = STANDARD_GRAVITY) -> float:
        """Pressure [kPa] at a depth, 0 above the level.  Hydrostatics; mathematics."""
        _DEPTH.check(depth_m)
        GRAVITY.check(gravity_m_per_s2)
        height_m = max(depth_m - self.level_depth_m, 0.0)
        return self.density_kg_per_m3 * gravity_m_per_s2 * height_m / 1000


@dataclass(frozen=True, slots=True)
class Layer:
    """A stratum along the wall, with the water that stands in it."""

    top_depth_m: float
    bottom_depth_m: float
    water: StandingFluid

    def __post_init__(self) -> None:
        _DEPTH.check(self.top_depth_m, self.bottom_depth_m)
        if self.bottom_depth_m <= self.top_depth_m:
            bottom = f"{self.bottom_depth_m:g} m"
            raise OutOfRange("bottom of a layer", bottom, f"below its top at {self.top_depth_m:g} m")


@dataclass(frozen=True, slots=True)
class NetPressure:
    """A net outward pressure and where it acts."""

    pressure_kpa: float
    depth_m: float


def net_outward_pressure_kpa(
    fluid: StandingFluid, water: StandingFluid, depth_m: float, gravity_m_per_s2: float = STANDARD_GRAVITY
) -> float:
    """Net pressure [kPa] on the wall: rho_s g (z - z_s) - rho_w g (z - z_w), each part 0 above its level.

    Depth -100 to 300 m, else OutOfRange.  Hydrostatics (F1); mathematics.
    """
    return fluid.pressure_kpa(depth_m, gravity_m_per_s2) - water.pressure_kpa(depth_m, gravity_m_per_s2)


def least_net_pressure(
    fluid: StandingFluid, layers: Sequence[Layer], gravity_m_per_s2: float = STANDARD_GRAVITY
) -> NetPressure:
    """The least net outward pressure over all layers, and its depth (the highest of equals).

    In a layer the net pressure runs straight between its top, its bottom and the two levels, so only
    these are looked at; that is exact.  At least one layer, else OutOfRange.  Hydrostatics;
    mathematics.
    """
    if not layers:
        raise OutOfRange("number of layers", "0", "at least 1")
    found: list[NetPressure] = []
    for layer in layers:
        bends = (layer.top_depth_m, layer.bottom_depth_m, layer.water.level_depth_m, fluid.level_depth_m)
        for depth_m in bends:
            if layer.top_depth_m <= depth_m <= layer.bottom_depth_m:
                net = net_outward_pressure_kpa(fluid, layer.water, depth_m, gravity_m_per_s2)
                found.append(NetPressure(net, depth_m))
    return min(found, key=lambda at: (at.pressure_kpa, at.depth_m))


def head_for_net_pressure_m(
    fluid_kg_per_m3: float,
    water_kg_per_m3: float,
    depth_below_water_m: float,
    net_pressure_kpa: float,
    gravity_m_per_s2: float = STANDARD_GRAVITY,
) -> float:
    """Head over the water table [m] that keeps a net pressure at a depth below the water table.

    h = [1000 p + (rho_w - rho_f) g d]/(rho_f g); negative when a heavy fluid does it from below the
    water table.  Densities 900 to 1600 kg/m3, depth 0 to 300 m, pressure 0 to 1000 kPa, else
    OutOfRange.  Hydrostatics (F2); mathematics.
    """
    DENSITY.check(fluid_kg_per_m3, water_kg_per_m3)
    _BELOW_WATER.check(depth_below_water_m)
    _ASKED.check(net_pressure_kpa)
    GRAVITY.check(gravity_m_per_s2)
    lighter = (water_kg_per_m3 - fluid_kg_per_m3) * gravity_m_per_s2 * depth_below_water_m
    return (1000 * net_pressure_kpa + lighter) / (fluid_kg_per_m3 * gravity_m_per_s2)
