"""What is at stake in a base: its resistance in force, as a share, and in metres of socket.

Nominal values against nominal, factored against factored.  At service load far less reaches the base than
at strength: these are figures of strength, and a credit comes with its displacement.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from fieldapp.base.disk import DIAMETER
from fieldapp.base.factored import Factors
from fieldapp.base.quantities import LENGTH, UNIT_BASE, UNIT_SIDE
from fieldapp.units import OutOfRange, Range

_CREDIT: Final = Range("credit", "", 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Socket:
    """A socket: diameter [m], length [m], unit side and unit base resistance [MPa]; else OutOfRange.

    A unit side resistance of 0 is allowed: then no length of socket would replace the base.
    """

    diameter_m: float
    length_m: float
    unit_side_mpa: float
    unit_base_mpa: float

    def __post_init__(self) -> None:
        DIAMETER.check(self.diameter_m)
        LENGTH.check(self.length_m)
        UNIT_SIDE.check(self.unit_side_mpa)
        UNIT_BASE.check(self.unit_base_mpa)


@dataclass(frozen=True, slots=True)
class Stake:
    """What the base is worth; forces [MN], lengths [m].

    ``base_over_side`` and lengths are infinite without side resistance.  ``lost_mn`` is the factored
    base resistance that the credit takes away, ``replaces_lost_m`` the socket that would make it good.
    """

    nominal_base_mn: float
    nominal_side_mn: float
    factored_base_mn: float
    factored_side_mn: float
    base_over_side: float
    share_of_nominal: float
    share_of_factored: float
    replaces_nominal_m: float
    replaces_factored_m: float
    lost_mn: float
    replaces_lost_m: float
    edition: str

    @property
    def factored_total_mn(self) -> float:
        """Factored side plus full factored base [MN]."""
        return self.factored_side_mn + self.factored_base_mn

    @property
    def factored_credited_mn(self) -> float:
        """Factored side plus what the credit leaves of the base [MN]."""
        return self.factored_total_mn - self.lost_mn


def at_stake(socket: Socket, factors: Factors, credit: float = 1.0) -> Stake:
    """Nominal and factored base, its share, the socket that would replace it, and what a credit loses.

    Q_b/Q_s = q_b B/(4 f_s L); length that replaces the base q_b B/(4 f_s), factored with phi_b/phi_s;
    credit 0 to 1, else OutOfRange.  Mechanics section 8 (H1 to H4, RES-4); algebra.
    """
    _CREDIT.check(credit)
    base_mn = socket.unit_base_mpa * math.pi * socket.diameter_m**2 / 4
    per_metre_mn = socket.unit_side_mpa * math.pi * socket.diameter_m
    side_mn = per_metre_mn * socket.length_m
    base, side = factors.base * base_mn, factors.side * side_mn
    replaces = _over(base, factors.side * per_metre_mn)
    return Stake(
        nominal_base_mn=base_mn,
        nominal_side_mn=side_mn,
        factored_base_mn=base,
        factored_side_mn=side,
        base_over_side=_over(base_mn, side_mn),
        share_of_nominal=base_mn / (base_mn + side_mn),
        share_of_factored=base / (base + side) if base + side > 0 else 0.0,
        replaces_nominal_m=_over(base_mn, per_metre_mn),
        replaces_factored_m=replaces,
        lost_mn=(1 - credit) * base,
        replaces_lost_m=(1 - credit) * replaces if credit < 1 else 0.0,
        edition=factors.edition,
    )


def even_length_over_diameter(unit_base_mpa: float, unit_side_mpa: float) -> float:
    """L/B at which side equals base, q_b/(4 f_s); f_s more than 0, else OutOfRange (H3)."""
    UNIT_BASE.check(unit_base_mpa)
    if not unit_side_mpa > 0:
        raise OutOfRange("unit side resistance", f"{unit_side_mpa:g} MPa", "more than 0 MPa")
    return unit_base_mpa / (4 * unit_side_mpa)


def base_area_gain(from_m: float, to_m: float) -> float:
    """Gain in base area from one diameter to another, (D2/D1)^2 - 1; OutOfRange outside 0 < to 20 m (H4)."""
    DIAMETER.check(from_m, to_m)
    return (to_m / from_m) ** 2 - 1


def _over(top: float, bottom: float) -> float:
    return top / bottom if bottom > 0 else math.inf
