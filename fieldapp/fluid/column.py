"""Pressure of the fluid column, from one density or from densities sampled on the way down.

Depths are below the fluid surface, downwards positive.  Pressures are over atmospheric, in kPa.
Ranges are wide site ranges (judgment): they catch a wrong unit, they are not acceptance limits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from fieldapp.units import STANDARD_GRAVITY_M_PER_S2, Number, OutOfRange, Range

STANDARD_GRAVITY: Final = float(STANDARD_GRAVITY_M_PER_S2)
DENSITY: Final = Range("fluid density", "kg/m3", 900.0, 1600.0)
DEPTH: Final = Range("depth below the fluid surface", "m", 0.0, 300.0)
GRAVITY: Final = Range("gravity", "m/s2", 9.7, 9.9)
_GRADIENT: Final = Range("pressure gradient", "kPa/m", 8.7, 15.9)
_COLUMN: Final = Range("height of the fluid column", "m", 0.0, 300.0)
_SAND: Final = Range("sand content", "", 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class DensitySample:
    """One density, taken ``depth_m`` below the fluid surface (0 to 300 m; 900 to 1600 kg/m3)."""

    depth_m: float
    density_kg_per_m3: float

    def __post_init__(self) -> None:
        DEPTH.check(self.depth_m)
        DENSITY.check(self.density_kg_per_m3)


def pressure_gradient_kpa_per_m(
    density_kg_per_m3: float, gravity_m_per_s2: float = STANDARD_GRAVITY
) -> float:
    """Pressure gained per metre of depth [kPa/m]: rho g/1000.

    Density 900 to 1600 kg/m3, gravity 9.7 to 9.9 m/s2, else OutOfRange.  Hydrostatics; mathematics.
    """
    DENSITY.check(density_kg_per_m3)
    GRAVITY.check(gravity_m_per_s2)
    return density_kg_per_m3 * gravity_m_per_s2 / 1000


def density_of_gradient_kg_per_m3(
    gradient_kpa_per_m: float, gravity_m_per_s2: float = STANDARD_GRAVITY
) -> float:
    """Density [kg/m3] of a fluid with this pressure gradient: 1000 x gradient/g.

    Gradient 8.7 to 15.9 kPa/m, gravity 9.7 to 9.9 m/s2, else OutOfRange.  Hydrostatics; mathematics.
    """
    _GRADIENT.check(gradient_kpa_per_m)
    GRAVITY.check(gravity_m_per_s2)
    return gradient_kpa_per_m * 1000 / gravity_m_per_s2


def fluid_pressure_kpa(
    density_kg_per_m3: float, depth_m: float, gravity_m_per_s2: float = STANDARD_GRAVITY
) -> float:
    """Pressure [kPa] at a depth in a fluid of one density: rho g z/1000.

    Density 900 to 1600 kg/m3, depth 0 to 300 m, else OutOfRange.  Hydrostatics; mathematics.
    """
    DEPTH.check(depth_m)
    return pressure_gradient_kpa_per_m(density_kg_per_m3, gravity_m_per_s2) * depth_m


def column_pressure_kpa(
    samples: Sequence[DensitySample], depth_m: float, gravity_m_per_s2: float = STANDARD_GRAVITY
) -> float:
    """Pressure [kPa] at a depth under a column whose density was sampled on the way down.

    p = g x integral of density over depth.  Between samples density runs straight (trapezoid rule,
    exact for that); above the first and below the last sample it keeps their value.  That is a rule
    of this program (judgment), not a measurement: the samples are what was seen.

    Samples in order of depth, at least one, no two at one depth; ``depth_m`` 0 to 300 m; else
    OutOfRange.
    """
    DEPTH.check(depth_m)
    GRAVITY.check(gravity_m_per_s2)
    depths = [s.depth_m for s in samples]
    if not depths or any(b <= a for a, b in pairwise(depths)):
        shown = ", ".join(f"{d:g}" for d in depths) or "none"
        raise OutOfRange("sample depths", f"{shown} m", "at least one, each deeper than the one before")
    nodes = np.array([0.0, *(d for d in depths if 0.0 < d < depth_m), depth_m])
    density = np.interp(nodes, depths, [s.density_kg_per_m3 for s in samples])
    return float(np.trapezoid(density, nodes)) * gravity_m_per_s2 / 1000


def most_sand_deposit_m(column_m: Number, sand_content_ratio: Number) -> Number:
    """Most deposit [m] on the base if all the sand in the column settled: h = SC x Z.

    Sand content is read as bulk settled volume, so there is no further division by (1 - porosity).
    An upper bound, not a forecast.  Column 0 to 300 m, sand content 0 to 1, else OutOfRange.
    Volume balance; calculated.
    """
    _COLUMN.check(column_m)
    _SAND.check(sand_content_ratio)
    return column_m * sand_content_ratio
