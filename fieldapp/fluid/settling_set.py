"""The three assumptions of a forecast, low, best and high: grain sizes, viscosity, yield stress.

All numbers here are judgment and say so.  Low lets least settle and high most.  A project may put its
own in their place; nothing here is a limit.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from fieldapp.fluid.settling import HOLD, HOLD_UPPER_CLAIM, QUARTZ_KG_PER_M3, YIELD_STRESS
from fieldapp.units import OutOfRange, Range

_FACTOR: Final = Range("factor on the viscosity", "", 0.01, 100.0)


class FluidKind(StrEnum):
    """What stands in the hole; only mineral slurry holds grains up by yield stress."""

    MINERAL = "mineral slurry"
    POLYMER = "polymer slurry"
    WATER = "water"


class Assumption(StrEnum):
    """Which end of the range a course of settling belongs to."""

    LOW = "low"
    BEST = "best"
    HIGH = "high"


@dataclass(frozen=True, slots=True)
class GrainSet:
    """Grain sizes [m] and the share of the sand that each has; shares sum to 1, else OutOfRange."""

    name: str
    sizes_m: tuple[float, ...]
    shares: tuple[float, ...]

    def __post_init__(self) -> None:
        if not self.sizes_m or len(self.sizes_m) != len(self.shares):
            raise OutOfRange(
                "number of grain sizes", str(len(self.sizes_m)), "one for each share, at least 1"
            )
        if min(self.shares) < 0 or not math.isclose(math.fsum(self.shares), 1.0, abs_tol=1e-9):
            raise OutOfRange(
                "sum of the shares of grain sizes", f"{math.fsum(self.shares):g}", "1, none negative"
            )


@dataclass(frozen=True, slots=True)
class SettlingSet:
    """One assumption.

    ``viscosity_factor`` multiplies the funnel viscosity, ``water_viscosity_pa_s`` stands in for it in
    water; ``yield_stress_pa`` is used in mineral slurry when none was measured, and
    ``measured_yield_factor`` multiplies one that was.
    """

    assumption: Assumption
    grains: GrainSet
    viscosity_factor: float
    water_viscosity_pa_s: float
    yield_stress_pa: float
    measured_yield_factor: float
    hold: float
    solids_kg_per_m3: float = QUARTZ_KG_PER_M3

    def __post_init__(self) -> None:
        _FACTOR.check(self.viscosity_factor, self.measured_yield_factor)
        YIELD_STRESS.check(self.yield_stress_pa)

    def yield_stress_in(self, kind: FluidKind, measured_pa: float | None) -> float:
        """Yield stress [Pa] under this assumption: none in polymer and water (judgment)."""
        if kind is not FluidKind.MINERAL:
            return 0.0
        return self.yield_stress_pa if measured_pa is None else measured_pa * self.measured_yield_factor

    def in_words(self, kind: FluidKind, measured_pa: float | None) -> str:
        """What is assumed, for the reader."""
        if kind is FluidKind.WATER:
            viscosity = f"viscosity {1000 * self.water_viscosity_pa_s:g} cP"
        else:
            viscosity = f"{self.viscosity_factor:g} times the funnel viscosity"
        stress = self.yield_stress_in(kind, measured_pa)
        held = f"yield stress {stress:g} Pa, Y {self.hold:g}" if stress else "no yield stress"
        return f"{self.grains.name}, {viscosity}, {held} (judgment)"


_MM: Final = 1e-3
VERY_FINE: Final = GrainSet("very fine sand", (0.08 * _MM, 0.10 * _MM, 0.12 * _MM), (0.5, 0.3, 0.2))
FINE: Final = GrainSet(
    "fine sand with a little medium",
    (0.08 * _MM, 0.12 * _MM, 0.20 * _MM, 0.40 * _MM),
    (0.40, 0.30, 0.25, 0.05),
)
MEDIUM: Final = GrainSet("fine to medium sand", (0.10 * _MM, 0.20 * _MM, 0.40 * _MM), (0.3, 0.4, 0.3))

# Sand content is what a 75 micron sieve keeps, so no set is finer; coarse grains have mostly fallen before
# the sample is taken.  Slurry is stiffer at the slow shear of a falling grain than in the funnel: low
# takes three times the funnel viscosity, high a little less than it for the doubt of the reading.  Gel
# strengths of 1.4 to 10 Pa are asked of mineral slurry; stirred or thinned it keeps less: 3, 1 and 0 Pa,
# and half of a measured one for high.  Water at about 10, 20 and 30 degC.
LOW: Final = SettlingSet(Assumption.LOW, VERY_FINE, 3.0, 0.0013, 3.0, 1.0, HOLD_UPPER_CLAIM)
BEST: Final = SettlingSet(Assumption.BEST, FINE, 1.0, 0.0010, 1.0, 1.0, HOLD)
HIGH: Final = SettlingSet(Assumption.HIGH, MEDIUM, 0.7, 0.0008, 0.0, 0.5, HOLD)
DEFAULT_SETS: Final = (LOW, BEST, HIGH)
