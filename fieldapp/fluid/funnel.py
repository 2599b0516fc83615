"""Funnel viscosity: check of the funnel in water, readings held against limits, effective viscosity.

The cup volume belongs to the reading.  A reading from one cup is never held against a limit for
another: the answer is then "not comparable", neither met nor not met.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final

from fieldapp.units import Number, OutOfRange, Range

_TIME: Final = Range("funnel time", "s", 0.0, 3600.0, open_below=True)
_VISCOUS_TIME: Final = Range("funnel time", "s", 25.5, 150.0)
_DENSITY: Final = Range("fluid density", "kg/m3", 900.0, 1600.0)
_TEMPERATURE: Final = Range("temperature", "degC", -20.0, 80.0)
_CUP_SLACK_M3: Final = Fraction(1, 1_000_000)
_WATER_TIME_S: Final = 26
_WATER_TIME_EITHER_SIDE_S: Final = Fraction(1, 2)
_WATER_COLDEST_C: Final = Fraction(65 - 32) * 5 / 9
_WATER_WARMEST_C: Final = Fraction(75 - 32) * 5 / 9


class Cup(StrEnum):
    """Volume that runs out while the time is taken."""

    QUART = "946 mL"
    LITRE = "1000 mL"


class Answer(StrEnum):
    """What a reading says of a limit."""

    MET = "met"
    NOT_MET = "not met"
    NOT_SHOWN = "not shown"
    NOT_COMPARABLE = "not comparable"


@dataclass(frozen=True, slots=True)
class FunnelReading:
    """Time [s] (more than 0, at most 3600) for one cup, and temperature [degC] where it was taken."""

    time_s: Number
    cup: Cup
    temperature_c: Number | None = None

    def __post_init__(self) -> None:
        _TIME.check(self.time_s)
        if self.temperature_c is not None:
            _TEMPERATURE.check(self.temperature_c)


@dataclass(frozen=True, slots=True)
class FunnelLimits:
    """Least and most time [s], both allowed, for one cup; None where there is no limit on that side."""

    least_s: Number | None
    most_s: Number | None
    cup: Cup


@dataclass(frozen=True, slots=True)
class WaterCheck:
    """Facts of a funnel checked in fresh water; None is unknown."""

    answer: Answer
    time_right: bool | None
    temperature_right: bool | None


def cup_of(volume_m3: Number) -> Cup:
    """The cup with this volume [m3], to 1 mL: 946 mL (a US quart) or 1000 mL; else OutOfRange."""
    for cup, nominal in ((Cup.QUART, Fraction(946, 1_000_000)), (Cup.LITRE, Fraction(1, 1000))):
        if abs(Fraction(volume_m3) - nominal) <= _CUP_SLACK_M3:
            return cup
    raise OutOfRange("cup volume", f"{float(volume_m3) * 1e6:g} mL", "946 mL (one US quart) or 1000 mL")


def check_in_water(reading: FunnelReading) -> WaterCheck:
    """Hold a reading in fresh water against 26 +/- 0.5 s for 946 mL at 70 +/- 5 degF (21 +/- 3 degC).

    Ends are allowed.  Not shown when the temperature was not taken or is outside, or for the 1000 mL
    cup, for which no tolerance was found.  ASTM D6910, API RP 13B-1 (second-hand, several agree).
    """
    time_right: bool | None = None
    temperature_right: bool | None = None
    if reading.cup is Cup.QUART:
        time_right = abs(Fraction(reading.time_s) - _WATER_TIME_S) <= _WATER_TIME_EITHER_SIDE_S
    if reading.temperature_c is not None:
        celsius = round(Fraction(reading.temperature_c), 2)
        temperature_right = round(_WATER_COLDEST_C, 2) <= celsius <= round(_WATER_WARMEST_C, 2)
    if time_right is None or not temperature_right:
        return WaterCheck(Answer.NOT_SHOWN, time_right, temperature_right)
    return WaterCheck(Answer.MET if time_right else Answer.NOT_MET, time_right, temperature_right)


def hold_against(reading: FunnelReading, limits: FunnelLimits) -> Answer:
    """Met or not met for the same cup, otherwise not comparable.

    Limits are inclusive on both sides; no limit at all is not shown.  Keeping cups apart: standards
    survey, test methods (judgment on second-hand figures: water takes about 28 s for 1000 mL).
    """
    if reading.cup is not limits.cup:
        return Answer.NOT_COMPARABLE
    if limits.least_s is None and limits.most_s is None:
        return Answer.NOT_SHOWN
    long_enough = limits.least_s is None or reading.time_s >= limits.least_s
    short_enough = limits.most_s is None or reading.time_s <= limits.most_s
    return Answer.MET if long_enough and short_enough else Answer.NOT_MET


def effective_viscosity_pa_s(density_kg_per_m3: float, reading: FunnelReading) -> float:
    """Effective viscosity [Pa s] from funnel time: mu = 1e-6 rho (t - 25).

    In the usual units mu [cP] = rho [g/cm3] x (t [s] - 25), for 946 mL.  It belongs to the shear of
    the funnel, about 2000 1/s; slurry is stiffer when it moves less, so settling computed with it is
    too quick, which is cautious.

    Density 900 to 1600 kg/m3, time 25.5 to 150 s (judgment), the 946 mL cup only, else OutOfRange.
    Pitt 2000, SPE Drilling and Completion 15(1):3-6 (second-hand).
    """
    _DENSITY.check(density_kg_per_m3)
    if reading.cup is not Cup.QUART:
        raise OutOfRange("cup volume", reading.cup.value, f"{Cup.QUART.value}, for which the formula is made")
    _VISCOUS_TIME.check(reading.time_s)
    return density_kg_per_m3 * (float(reading.time_s) - 25) * 1e-6
