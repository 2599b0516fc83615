"""Closed forms of load transfer: an elastic bar on side springs with a base spring, and its limits.

They are the checks of the head curve and answers in their own right while side and base are linear.
Forces MN, lengths m, stiffness MN/m.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from fieldapp.base.disk import DIAMETER
from fieldapp.base.quantities import CONCRETE_MODULUS, FORCE, LENGTH, POISSON, ROCK_MODULUS, UNIT_SIDE
from fieldapp.units import Range

_AXIAL: Final = Range("axial stiffness EA", "MN", 0.0, 1e15, open_below=True)
_SIDE_SPRING: Final = Range("side spring", "MN/m per m", 0.0, 1e9)
_BASE_SPRING: Final = Range("base spring", "MN/m", 0.0, 1e12, open_below=True)
_SHARE: Final = Range("share mobilised", "", 0.0, 1.0)
_RATIO: Final = Range("ratio of shear moduli", "", 0.0, 1e6, open_below=True)
_UNDERREAM: Final = Range("base radius over shaft radius", "", 0.5, 5.0)
_EMBEDDED: Final = Range("Randolph and Wroth influence (zeta)", "", 0.0, 100.0, open_below=True)


@dataclass(frozen=True, slots=True)
class Bar:
    """A shaft as a bar: length (0 < to 300 m) and axial stiffness EA (0 < to 1e15 MN); else OutOfRange."""

    length_m: float
    axial_stiffness_mn: float

    def __post_init__(self) -> None:
        LENGTH.check(self.length_m)
        _AXIAL.check(self.axial_stiffness_mn)

    @classmethod
    def of_concrete(cls, length_m: float, diameter_m: float, modulus_mpa: float = 30_000.0) -> Bar:
        """Bar of a full round section; modulus 30 GPa by default (25 to 35 GPa, judgment)."""
        DIAMETER.check(diameter_m)
        CONCRETE_MODULUS.check(modulus_mpa)
        return cls(length_m, modulus_mpa * math.pi * diameter_m**2 / 4)


@dataclass(frozen=True, slots=True)
class BarAnswer:
    """Head stiffness Q_t/w_t [MN/m], share of the load that reaches the base, and w_b/w_t."""

    head_stiffness_mn_per_m: float
    base_share: float
    base_over_head_displacement: float


def bar_on_springs(bar: Bar, side_mn_per_m2: float, base_mn_per_m: float) -> BarAnswer:
    """Bar on an even side spring k_s [MN/m per m] and a base spring K_b [MN/m].

    mu = (k_s/EA)^0.5; K = [K_b + EA mu tanh(mu L)]/[1 + K_b tanh(mu L)/(EA mu)];
    Q_b/Q_t = K_b/[K_b cosh(mu L) + EA mu sinh(mu L)]; w_b/w_t = 1/[cosh(mu L) + K_b sinh(mu L)/(EA mu)].
    k_s 0 to 1e9, K_b more than 0 to 1e12, else OutOfRange.  B9 to B12; mathematics.
    """
    _SIDE_SPRING.check(side_mn_per_m2)
    _BASE_SPRING.check(base_mn_per_m)
    axial = bar.axial_stiffness_mn
    mu_l = math.sqrt(side_mn_per_m2 / axial) * bar.length_m
    tanh_over = _tanh_over(mu_l) * bar.length_m
    side = side_mn_per_m2 * tanh_over
    eases = 1 + base_mn_per_m * tanh_over / axial
    sech = _sech(mu_l)
    return BarAnswer(
        head_stiffness_mn_per_m=(base_mn_per_m + side) / eases,
        base_share=base_mn_per_m * sech / (base_mn_per_m + side),
        base_over_head_displacement=sech / eases,
    )


def slipped_shortening_m(bar: Bar, diameter_m: float, unit_side_mpa: float, base_load_mn: float) -> float:
    """Shortening w_t - w_b [m] = (Q_b L + f_s pi B L^2/2)/EA with the side fully slipped (B13).

    Diameter 0 < to 20 m, f_s 0 to 50 MPa, Q_b 0 to 1e5 MN, else OutOfRange.  Integration; mathematics.
    """
    DIAMETER.check(diameter_m)
    UNIT_SIDE.check(unit_side_mpa)
    FORCE.check(base_load_mn)
    side_mn_per_m = unit_side_mpa * math.pi * diameter_m
    length = bar.length_m
    return (base_load_mn * length + side_mn_per_m * length**2 / 2) / bar.axial_stiffness_mn


@dataclass(frozen=True, slots=True)
class SoilAlong:
    """Soil of Randolph and Wroth: shear modulus at the base level of the shaft, G_L [MPa], nu, and ratios.

    ``mean_over_l`` rho, mean G along the shaft over G_L; ``l_over_base`` xi, G_L over G below the base;
    ``underream`` eta, base radius over shaft radius.  Out of range: OutOfRange.
    """

    shear_modulus_mpa: float
    poisson_ratio: float
    mean_over_l: float = 1.0
    l_over_base: float = 1.0
    underream: float = 1.0

    def __post_init__(self) -> None:
        ROCK_MODULUS.check(self.shear_modulus_mpa)
        POISSON.check(self.poisson_ratio)
        _RATIO.check(self.mean_over_l, self.l_over_base)
        _UNDERREAM.check(self.underream)


def randolph_wroth(bar: Bar, diameter_m: float, soil: SoilAlong) -> BarAnswer:
    """Head stiffness, base share and base displacement of a compressible shaft in elastic ground.

    P/(G_L r0 w_t) = [4 eta/((1 - nu) xi) + (2 pi rho/zeta) T]/[1 + (4 eta/(pi lambda (1 - nu) xi)) T] with
    T = tanh(mu L)/(mu L) L/r0, zeta = ln{[0.25 + (2.5 rho (1 - nu) - 0.25) xi] L/r0},
    mu L = (L/r0) (2/(zeta lambda))^0.5.  The base displacement is the exact w_t/{cosh(mu L) [1 + x3]}, x3
    the second term of the denominator; the shortcut w_t/cosh(mu L) contradicts its own base share.
    Randolph & Wroth 1978, read in a worked sheet.  Raises OutOfRange, also for a shaft too short for zeta.
    """
    DIAMETER.check(diameter_m)
    r0, nu, xi = diameter_m / 2, soil.poisson_ratio, soil.l_over_base
    slender = bar.length_m / r0
    stiffer = bar.axial_stiffness_mn / (math.pi * r0**2 * soil.shear_modulus_mpa)
    zeta = math.log(max((0.25 + (2.5 * soil.mean_over_l * (1 - nu) - 0.25) * xi) * slender, 1e-9))
    _EMBEDDED.check(zeta)
    mu_l = slender * math.sqrt(2 / (zeta * stiffer))
    transfer = _tanh_over(mu_l) * slender
    base = 4 * soil.underream / ((1 - nu) * xi)
    eases = 1 + base / (math.pi * stiffer) * transfer
    whole = base + 2 * math.pi * soil.mean_over_l / zeta * transfer
    return BarAnswer(
        head_stiffness_mn_per_m=soil.shear_modulus_mpa * r0 * whole / eases,
        base_share=base * _sech(mu_l) / whole,
        base_over_head_displacement=_sech(mu_l) / eases,
    )


def mobilised_load_mn(side_mn: float, side_share: float, base_mn: float, base_share: float) -> float:
    """Load [MN] at a displacement at which these shares of side and base are mobilised (B8).

    Resistances 0 to 1e5 MN, shares 0 to 1, else OutOfRange.  Das, 8th ed., ch. 10, published example.
    """
    FORCE.check(side_mn, base_mn)
    _SHARE.check(side_share, base_share)
    return side_mn * side_share + base_mn * base_share


@dataclass(frozen=True, slots=True)
class WorkingLoad:
    """Load at working level: base and side part [MN], unit base resistance [MPa], and how side load falls.

    ``side_shape`` xi is 0.5 for an even or parabolic, 0.67 for a triangular side resistance.
    """

    base_mn: float
    side_mn: float
    unit_base_mpa: float
    side_shape: float = 0.65


def three_part_settlement_m(
    bar: Bar, diameter_m: float, load: WorkingLoad, soil: tuple[float, float], base_factor: float
) -> float:
    """Settlement [m] of a shaft in soil as shortening, base and side part (B18).

    (Q_b + xi Q_s) L/EA + Q_b C_p/(D q_p) + (Q_s/(pi D L)) (D/E_s)(1 - nu^2)(2 + 0.35 (L/D)^0.5).
    ``soil`` is E_s [MPa] and nu, ``base_factor`` C_p (0.02 to 0.18).  Das, Principles of Foundation
    Engineering, Ex. 12.6, published.  Raises OutOfRange.
    """
    modulus_mpa, poisson = soil
    DIAMETER.check(diameter_m)
    ROCK_MODULUS.check(modulus_mpa)
    POISSON.check(poisson)
    FORCE.check(load.base_mn, load.side_mn)
    Range("unit base resistance", "MPa", 0.0, 1000.0, open_below=True).check(load.unit_base_mpa)
    Range("base factor C_p", "", 0.01, 0.2).check(base_factor)
    length = bar.length_m
    shortening = (load.base_mn + load.side_shape * load.side_mn) * length / bar.axial_stiffness_mn
    base = load.base_mn * base_factor / (diameter_m * load.unit_base_mpa)
    influence = 2 + 0.35 * math.sqrt(length / diameter_m)
    side = load.side_mn / (math.pi * length) / modulus_mpa * (1 - poisson**2) * influence
    return shortening + base + side


def _tanh_over(x: float) -> float:
    return math.tanh(x) / x if x > 0 else 1.0


def _sech(x: float) -> float:
    return 2 * math.exp(-x) / (1 + math.exp(-2 * x))
