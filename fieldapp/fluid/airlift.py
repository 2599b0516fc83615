"""Airlift check: air pressure, submergence, the air it takes, and the head it draws down.

Static figures only: whether it lifts, not how much.  Separate facts, no verdict; a pressure that was
not read is unknown, never enough.  The danger in a full hole is the fluid level, not the lift.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from fieldapp.fluid.column import DENSITY, STANDARD_GRAVITY, fluid_pressure_kpa
from fieldapp.units import OutOfRange, Range, to_si

_LIFT: Final = Range("lift above the fluid", "m", 0.0, 50.0)
_INJECTION: Final = Range("injection below the fluid", "m", 0.0, 300.0, open_below=True)
_SOLIDS: Final = Range("density of the solids", "kg/m3", 1600.0, 5000.0)
_FRACTION: Final = Range("solids in the riser", "", 0.0, 0.6)
_LOSS: Final = Range("pressure loss", "kPa", 0.0, 1000.0)
_AIR: Final = Range("air pressure", "kPa", 0.0, 5000.0)
_FLOW: Final = Range("flow out of the hole", "m3/min", 0.0, 200.0)
_AREA: Final = Range("area of the hole", "m2", 0.0, 400.0, open_below=True)

LOSSES_LOW_KPA: Final = 1000 * to_si(5, "psi")
LOSSES_HIGH_KPA: Final = 1000 * to_si(10, "psi")


class Enough(StrEnum):
    """Whether the air pressure is enough: between the two losses it may or may not be."""

    YES = "enough"
    PERHAPS = "perhaps enough"
    NO = "too low"
    UNKNOWN = "not shown"


@dataclass(frozen=True, slots=True)
class Airlift:
    """An airlift as set up; None where something was not read.

    Injection more than 0 and at most 300 m below the fluid, lift 0 to 50 m above it, fluid 900 to
    1600 kg/m3, air 0 to 5000 kPa, flow 0 to 200 m3/min; else OutOfRange.
    """

    fluid_kg_per_m3: float
    injection_below_fluid_m: float
    lift_above_fluid_m: float
    air_pressure_kpa: float | None = None
    pump_out_m3_per_min: float | None = None

    def __post_init__(self) -> None:
        DENSITY.check(self.fluid_kg_per_m3)
        _INJECTION.check(self.injection_below_fluid_m)
        _LIFT.check(self.lift_above_fluid_m)
        if self.air_pressure_kpa is not None:
            _AIR.check(self.air_pressure_kpa)
        if self.pump_out_m3_per_min is not None:
            _FLOW.check(self.pump_out_m3_per_min)


@dataclass(frozen=True, slots=True)
class Losses:
    """Pressure lost on the way to the injection [kPa], low and high.

    Default 5 to 10 psi (C4, handbook practice, memory: sure); long lines take more.
    """

    low_kpa: float = LOSSES_LOW_KPA
    high_kpa: float = LOSSES_HIGH_KPA

    def __post_init__(self) -> None:
        _LOSS.check(self.low_kpa, self.high_kpa)
        if self.high_kpa < self.low_kpa:
            raise OutOfRange("high pressure loss", f"{self.high_kpa:g} kPa", f"at least {self.low_kpa:g} kPa")


@dataclass(frozen=True, slots=True)
class AirliftCheck:
    """Facts of one airlift; ``drawdown_m_per_min`` is how fast the head falls once make-up stops."""

    needed_low_kpa: float
    needed_high_kpa: float
    enough: Enough
    submergence_ratio: float
    least_void_fraction: float
    drawdown_m_per_min: float | None


def injection_pressure_kpa(
    fluid_kg_per_m3: float, injection_depth_m: float, gravity_m_per_s2: float = STANDARD_GRAVITY
) -> float:
    """Air pressure [kPa, gauge] at the injection, before losses: rho_f g h/1000.

    Fluid 900 to 1600 kg/m3, depth more than 0 and at most 300 m, else OutOfRange.  Hydrostatics
    (E1, HEAD-3); mathematics.
    """
    _INJECTION.check(injection_depth_m)
    return fluid_pressure_kpa(fluid_kg_per_m3, injection_depth_m, gravity_m_per_s2)


def submergence_ratio(injection_below_fluid_m: float, lift_above_fluid_m: float) -> float:
    """Submergence S = h_s/(h_s + h_l), more than 0 and at most 1.

    Injection more than 0 and at most 300 m, lift 0 to 50 m, else OutOfRange.  Definition (E2).
    At least 0.5, better 0.6 to 0.7, is quoted (C5, second-hand; memory: fair).
    """
    _INJECTION.check(injection_below_fluid_m)
    _LIFT.check(lift_above_fluid_m)
    return injection_below_fluid_m / (injection_below_fluid_m + lift_above_fluid_m)


def least_void_fraction(submergence: float, fluid_kg_per_m3: float, riser_kg_per_m3: float) -> float:
    """Least mean share of air in the riser for static balance: 1 - S rho_f/rho_m.

    ``riser_kg_per_m3`` is the riser's mixture without air, at least as heavy as the fluid and at
    most 3400 kg/m3; submergence more than 0 and at most 1; else OutOfRange.  Static balance (E3, E4);
    mathematics.  Friction asks for more.
    """
    Range("submergence", "", 0.0, 1.0, open_below=True).check(submergence)
    DENSITY.check(fluid_kg_per_m3)
    Range("density in the riser", "kg/m3", fluid_kg_per_m3, 3400.0).check(riser_kg_per_m3)
    return 1 - submergence * fluid_kg_per_m3 / riser_kg_per_m3


def riser_density_kg_per_m3(fluid_kg_per_m3: float, solids_kg_per_m3: float, solids_fraction: float) -> float:
    """Density [kg/m3] of fluid with solids: rho_f (1 - c) + rho_s c.

    Fluid 900 to 1600, solids 1600 to 5000 kg/m3, c 0 to 0.6, else OutOfRange.  Mixing; mathematics.
    """
    DENSITY.check(fluid_kg_per_m3)
    _SOLIDS.check(solids_kg_per_m3)
    _FRACTION.check(solids_fraction)
    return fluid_kg_per_m3 * (1 - solids_fraction) + solids_kg_per_m3 * solids_fraction


def drawdown_rate_m_per_min(pump_out_m3_per_min: float, hole_area_m2: float) -> float:
    """How fast the fluid falls [m/min] when make-up stops: flow out over area of the hole at its level.

    Flow 0 to 200 m3/min, area more than 0 and at most 400 m2, else OutOfRange.  The riser's own
    section is not taken off.  Volume balance; mathematics.
    """
    _FLOW.check(pump_out_m3_per_min)
    _AREA.check(hole_area_m2)
    return pump_out_m3_per_min / hole_area_m2


def minutes_to_least_head(head_m: float, least_head_m: float, drawdown_m_per_min: float) -> float | None:
    """Minutes until the head has fallen to its least value after make-up stops; None if it never does.

    0 when it stands there already.  Head and least head -100 to 300 m, drawdown 0 to 10 000,
    else OutOfRange.  Arithmetic; mathematics.
    """
    Range("head", "m", -100.0, 300.0).check(head_m, least_head_m)
    Range("drawdown", "m/min", 0.0, 10_000.0).check(drawdown_m_per_min)
    if head_m <= least_head_m:
        return 0.0
    return (head_m - least_head_m) / drawdown_m_per_min if drawdown_m_per_min > 0 else None


def check_airlift(
    airlift: Airlift,
    hole_area_m2: float,
    losses: Losses | None = None,
    riser_kg_per_m3: float | None = None,
    gravity_m_per_s2: float = STANDARD_GRAVITY,
) -> AirliftCheck:
    """All figures of one airlift, as separate facts.

    Without ``riser_kg_per_m3`` the riser holds the fluid of the hole.  Ranges, OutOfRange and
    sources as the functions above.
    """
    lost = losses or Losses()
    fluid = airlift.fluid_kg_per_m3
    pressure = injection_pressure_kpa(fluid, airlift.injection_below_fluid_m, gravity_m_per_s2)
    low, high = pressure + lost.low_kpa, pressure + lost.high_kpa
    submergence = submergence_ratio(airlift.injection_below_fluid_m, airlift.lift_above_fluid_m)
    riser = fluid if riser_kg_per_m3 is None else riser_kg_per_m3
    flow = airlift.pump_out_m3_per_min
    return AirliftCheck(
        needed_low_kpa=low,
        needed_high_kpa=high,
        enough=_enough(airlift.air_pressure_kpa, low, high),
        submergence_ratio=submergence,
        least_void_fraction=least_void_fraction(submergence, fluid, riser),
        drawdown_m_per_min=None if flow is None else drawdown_rate_m_per_min(flow, hole_area_m2),
    )


def _enough(air_pressure_kpa: float | None, low_kpa: float, high_kpa: float) -> Enough:
    if air_pressure_kpa is None:
        return Enough.UNKNOWN
    if air_pressure_kpa >= high_kpa:
        return Enough.YES
    return Enough.PERHAPS if air_pressure_kpa >= low_kpa else Enough.NO
