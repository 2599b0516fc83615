"""How much settles, and when: the deposit of a column on the base against time, and its consolidation.

First order: every grain size falls on its own, at its own speed, through layers that do not mix.  Two
measures of sand are kept apart: the fraction of solid grains, and sand content, which is a bulk
settled volume and is never divided by (1 - porosity) again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from fieldapp.fluid.column import most_sand_deposit_m
from fieldapp.fluid.settling import SOLIDS_FRACTION
from fieldapp.units import OutOfRange, Range

COLUMN: Final = Range("height of the fluid column", "m", 0.0, 300.0, open_below=True)
TIME: Final = Range("time", "s", 0.0, 1e9)
_POROSITY: Final = Range("porosity of the deposit", "", 0.2, 0.9)
_SPEED: Final = Range("settling velocity", "m/s", 0.0, 100.0, open_below=True)
_LAYER: Final = Range("layer thickness", "m", 0.0, 10.0, open_below=True)
_CONSOLIDATION: Final = Range("coefficient of consolidation", "m2/s", 0.0, 1.0, open_below=True)


@dataclass(frozen=True, slots=True)
class Suspension:
    """Solid grains (fraction 0 to 0.6, without pores) in a column [m], and the porosity of their deposit."""

    solids_fraction: float
    column_m: float
    deposit_porosity: float

    def __post_init__(self) -> None:
        SOLIDS_FRACTION.check(self.solids_fraction)
        COLUMN.check(self.column_m)
        _POROSITY.check(self.deposit_porosity)
        if self.solids_fraction >= 1 - self.deposit_porosity:
            most = f"less than that of the deposit, {1 - self.deposit_porosity:g}"
            raise OutOfRange("solids fraction", f"{self.solids_fraction:g}", most)

    @property
    def final_deposit_m(self) -> float:
        """Deposit [m] when all has settled: c Z/(1 - n) (D16).  Volume balance; mathematics."""
        return self.solids_fraction * self.column_m / (1 - self.deposit_porosity)


def settling_end_s(suspension: Suspension, velocity_m_per_s: float) -> float:
    """Time [s] after which all has settled: (Z - c Z/c_b)/v, c_b = 1 - n (D17).

    Velocity (hindered) more than 0 and at most 100 m/s, else OutOfRange.  Volume balance.
    """
    _SPEED.check(velocity_m_per_s)
    return (suspension.column_m - suspension.final_deposit_m) / velocity_m_per_s


def deposit_m(suspension: Suspension, velocity_m_per_s: float, time_s: float) -> float:
    """Deposit [m] of one grain size after a time: min(T, T_e) c v/(c_b - c), c_b = 1 - n (D17, D18).

    Velocity (hindered) more than 0 and at most 100 m/s, time 0 to 1e9 s, else OutOfRange.
    Volume balance with a deposit that rises toward the falling grains.
    """
    TIME.check(time_s)
    c, packed = suspension.solids_fraction, 1 - suspension.deposit_porosity
    falling_s = min(time_s, settling_end_s(suspension, velocity_m_per_s))
    return falling_s * c * velocity_m_per_s / (packed - c)


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer of the column: height [m], sand content (bulk settled volume), speed of its grains [m/s].

    Height and speed more than 0, sand content at least 0 and less than 1, else OutOfRange.
    """

    height_m: float
    sand_ratio: float
    velocity_m_per_s: float

    def __post_init__(self) -> None:
        COLUMN.check(self.height_m)
        _SPEED.check(self.velocity_m_per_s)
        if not 0 <= self.sand_ratio < 1:
            raise OutOfRange("sand content", f"{self.sand_ratio:g}", "at least 0 and less than 1")


@dataclass(frozen=True, slots=True)
class RiseCurve:
    """Rise of the deposit [m] against time [s], straight between its corners; it never falls."""

    times_s: tuple[float, ...]
    rise_m: tuple[float, ...]

    def at(self, time_s: float) -> float:
        """Rise [m] at a time, 0 to 1e9 s, else OutOfRange.  After the last corner it stays."""
        TIME.check(time_s)
        return float(np.interp(time_s, self.times_s, self.rise_m))

    @property
    def end_m(self) -> float:
        """Rise [m] when all that can settle has settled."""
        return self.rise_m[-1]

    @property
    def end_s(self) -> float:
        """Time [s] when the last grain has settled."""
        return self.times_s[-1]

    def first_over(self, rise_m: float, strict: bool = False) -> float | None:
        """First time [s] at which the rise is more than ``rise_m``; None if it never is.

        With ``strict`` the time at which it is reached, which already breaks a limit that asks for less.
        Where the rise grows without a jump both are the same moment.
        """
        rises = np.asarray(self.rise_m)
        over = rises >= rise_m if strict else rises > rise_m
        if not over.any():
            return None
        corner = int(np.argmax(over))
        if corner == 0:
            return self.times_s[0]
        before, after = self.rise_m[corner - 1], self.rise_m[corner]
        share = (rise_m - before) / (after - before)
        return self.times_s[corner - 1] + share * (self.times_s[corner] - self.times_s[corner - 1])


def layered_rise(layers: Sequence[Layer]) -> RiseCurve:
    """Rise of the deposit from a column of layers, bottom layer first, for one grain size.

    A grain at height z reaches the deposit after t(z) - t(S), t(z) the time to fall from z and
    S(z) = integral of sand content below z.  One layer gives min(T, T_e) s v/(1 - s), the bulk form of
    deposit_m (D17), and in the end s Z (D19).  Exact while the deposit stays within the lowest layer.
    Volume balance; first order.
    """
    heights, times, fallen = [0.0], [0.0], [0.0]
    for layer in layers:
        heights.append(heights[-1] + layer.height_m)
        times.append(times[-1] + layer.height_m / layer.velocity_m_per_s)
        fallen.append(fallen[-1] + float(most_sand_deposit_m(layer.height_m, layer.sand_ratio)))
    to_deposit = np.interp(fallen, heights, times)
    return _curve(np.maximum.accumulate(np.asarray(times) - to_deposit), np.asarray(fallen))


def together(curves: Sequence[RiseCurve]) -> RiseCurve:
    """The sum of the rises of several grain sizes, each on its own (first order); of none, no rise."""
    corners = np.unique(np.concatenate([[0.0], *(curve.times_s for curve in curves)]))
    rise = np.zeros_like(corners)
    for curve in curves:
        rise += np.interp(corners, curve.times_s, curve.rise_m)
    return _curve(corners, np.maximum.accumulate(rise))


def consolidation_time_s(layer_m: float, coefficient_m2_per_s: float) -> float:
    """Time [s] for 90 % of consolidation of a layer drained on one side: t90 = 0.848 H^2/c_v (D20).

    Layer more than 0 and at most 10 m, c_v more than 0 and at most 1 m2/s, else OutOfRange.
    One-dimensional consolidation (Terzaghi).
    """
    _LAYER.check(layer_m)
    _CONSOLIDATION.check(coefficient_m2_per_s)
    return 0.848 * layer_m**2 / coefficient_m2_per_s


def _curve(times: NDArray[np.float64], rise: NDArray[np.float64]) -> RiseCurve:
    """Corners with rising times; of several at one time the highest."""
    last = np.append(np.diff(times) > 0, True)
    return RiseCurve(tuple(times[last].tolist()), tuple(rise[last].tolist()))
