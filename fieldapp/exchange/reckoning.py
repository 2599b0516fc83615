"""What a reckoning file asks, typed: the question of a designer before construction, no answers yet.

A part that the file does not hold is None or empty; ``assumed`` names every value that was taken in its
place.  SI values; thicknesses and limits are exact, so that 1/2 in against 1/2 in is a tie.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from fieldapp.base.assured import AskedOfBase
from fieldapp.base.base_curve import Ground, Nominal, Shape
from fieldapp.base.bearing import UnitBase
from fieldapp.base.credit_limits import PassingLimits
from fieldapp.base.credit_range import Displacements
from fieldapp.base.factored import Factors
from fieldapp.base.field_fit import MapAssumptions
from fieldapp.base.head_march import ShaftBody
from fieldapp.base.sediment import SedimentSpread
from fieldapp.base.sediment_map import Draws, Soundings
from fieldapp.base.side_resistance import UnitSide
from fieldapp.fluid.suspended import FluidColumn
from fieldapp.record.words import UnitSystem


@dataclass(frozen=True, slots=True)
class EvenLayer:
    """The same thickness [m] everywhere."""

    thickness_m: Fraction


@dataclass(frozen=True, slots=True)
class CellLayer:
    """Thickness [m] and share of the base of each cell; the shares sum to 1."""

    thickness_m: tuple[Fraction, ...]
    share: tuple[Fraction, ...]


@dataclass(frozen=True, slots=True, eq=False)
class SoundedLayer:
    """Soundings with their labels."""

    labels: tuple[str, ...]
    soundings: Soundings


Layer: TypeAlias = EvenLayer | CellLayer | SoundedLayer


@dataclass(frozen=True, slots=True)
class ThicknessLimits:
    """One set of limits under comparison: an area limit with its share, a cap, or both.

    Lengths [m]; ``strict`` and ``cap_strict`` ask for less than the limit.  ``says`` are remarks.
    """

    name: str
    area_limit_m: Fraction | None = None
    strict: bool = False
    share_min: Fraction | None = None
    cap_m: Fraction | None = None
    cap_strict: bool = False
    says: tuple[str, ...] = ()

    @property
    def asked(self) -> AskedOfBase:
        """The requirement on a map; without an area limit the whole base is asked within the cap."""
        if self.area_limit_m is None or self.share_min is None:
            if self.cap_m is None:
                raise ValueError("limits without an area limit and without a cap")
            return AskedOfBase(self.cap_m, self.cap_strict, Fraction(1), self.cap_m, self.cap_strict)
        return AskedOfBase(self.area_limit_m, self.strict, self.share_min, self.cap_m, self.cap_strict)

    @property
    def passing(self) -> PassingLimits:
        """The same limits for the worst map that they let pass."""
        area = None if self.area_limit_m is None else float(self.area_limit_m)
        cap = None if self.cap_m is None else float(self.cap_m)
        return PassingLimits(float(self.share_min or 0), area, cap)


@dataclass(frozen=True, slots=True)
class BaseAsked:
    """Ground and nominal value below the base; each None when the file does not give it."""

    diameter_m: Fraction
    ground: Ground | None
    modulus_range_mpa: tuple[float, float] | None
    unit_base: UnitBase | None
    nominal: Nominal | None
    shape: Shape


@dataclass(frozen=True, slots=True)
class ShaftAsked:
    """The side of the shaft, what its rules say layer by layer, factors and demand [MN]."""

    body: ShaftBody | None
    unit_sides: tuple[UnitSide, ...]
    factors: Factors | None
    demand_mn: float | None


@dataclass(frozen=True, slots=True)
class MapAsked:
    """How maps are made from soundings, and the one-sided confidence asked."""

    assumptions: MapAssumptions
    draws: Draws
    confidence: float


@dataclass(frozen=True, slots=True)
class CurvesAsked:
    """Displacements [m] at which credit is told, and those of base and head curve."""

    at: Displacements
    base_m: tuple[float, ...]
    head_m: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class FluidAsked:
    """The fluid above the base as sampled, and how far ahead [s] to look."""

    column: FluidColumn
    horizon_s: float


@dataclass(frozen=True, slots=True, eq=False)
class Reckoning:
    """One reckoning file, read."""

    file: str
    title: str
    units: UnitSystem
    base: BaseAsked
    shaft: ShaftAsked
    spread: SedimentSpread
    layer: Layer | None
    maps: MapAsked
    curves: CurvesAsked
    limits: tuple[ThicknessLimits, ...]
    wanted: tuple[float, ...]
    fluid: FluidAsked | None
    assumed: tuple[str, ...]
