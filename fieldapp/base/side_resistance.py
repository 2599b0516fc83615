"""Unit side resistance in rock by rule, or as the designer states it for rock or soil.

The square-root law is written so that it holds in any units; the concrete cap is the same law with the
strength of the concrete.  No rule for soil is offered here: soil side resistance is given.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from fieldapp.base.conditions import Condition, usable
from fieldapp.base.quantities import ATMOSPHERE_MPA, FORCE, LENGTH, STRENGTH, UNIT_SIDE
from fieldapp.units import Range, to_si

CAVING_ROCK: Final = 0.65
_FACTOR: Final = Range("side factor C", "", 0.0, 3.0, open_below=True)
_REDUCTION: Final = Range("reduction for joints", "", 0.0, 1.0, open_below=True)
_ATMOSPHERE: Final = Range("atmospheric pressure p_a", "MPa", 0.09, 0.11)
_DIAMETER: Final = Range("shaft diameter", "m", 0.0, 20.0, open_below=True)
_UFC: Final = "UFC 3-220-20 Eq. 6-35, read (transcription); FHWA-NHI-10-016 Eqs. 13-18, 13-19, read (extract)"
_AASHTO: Final = "AASHTO LRFD 10.8.3.5.4b form, second-hand"


@dataclass(frozen=True, slots=True)
class UnitSide:
    """A nominal unit side resistance [MPa], the rule that gave it, and what the rule asks for."""

    rule: str
    unit_side_mpa: float
    conditions: tuple[Condition, ...]
    source: str
    says: str = ""

    @property
    def usable(self) -> bool | None:
        """True when every condition holds, False when one does not, None when one is not shown."""
        return usable(self.conditions)


@dataclass(frozen=True, slots=True)
class SocketRock:
    """Strengths that meet at the wall of a socket [MPa, more than 0 to 500], and p_a; else OutOfRange.

    ``concrete_mpa`` None is not stated: the side is then not shown to be within the concrete's strength.
    """

    q_u_mpa: float
    concrete_mpa: float | None
    atmosphere_mpa: float = ATMOSPHERE_MPA

    def __post_init__(self) -> None:
        STRENGTH.check(self.q_u_mpa)
        if self.concrete_mpa is not None:
            STRENGTH.check(self.concrete_mpa)
        _ATMOSPHERE.check(self.atmosphere_mpa)

    def root_law_mpa(self, strength_mpa: float) -> float:
        """p_a (strength/p_a)^0.5 [MPa]."""
        return self.atmosphere_mpa * math.sqrt(strength_mpa / self.atmosphere_mpa)


def rock_side(rock: SocketRock, factor_c: float = 1.0, joints: float = 1.0) -> UnitSide:
    """f_s = C x joints x p_a (q/p_a)^0.5, q the lesser of rock and concrete strength.

    C 1.0 for normal sockets (about 1.9 on average when roughened), more than 0 and at most 3; ``joints``
    from rock_mass.joint_factor, more than 0 and at most 1; else OutOfRange.  UFC 3-220-20 Eq. 6-35, read
    in transcription; FHWA-NHI-10-016 Eqs. 13-18, 13-19 and Table 13-3, read in an extract.
    """
    _FACTOR.check(factor_c)
    _REDUCTION.check(joints)
    lesser = min(rock.q_u_mpa, rock.concrete_mpa or math.inf)
    governs = "The concrete is weaker than the rock and governs." if lesser < rock.q_u_mpa else ""
    unit = factor_c * joints * rock.root_law_mpa(lesser)
    return UnitSide("rock, square-root law", unit, (_concrete(rock),), _UFC, governs)


def caving_rock_side(rock: SocketRock, alpha_e: float) -> UnitSide:
    """f_s = 0.65 alpha_E p_a (q_u/p_a)^0.5, at most 0.65 p_a (f'c/p_a)^0.5.

    alpha_E from rock_mass.alpha_e, more than 0 and at most 1, else OutOfRange.  The cap is often printed
    as 7.8 p_a (f'c/p_a)^0.5 with f'c in ksi and p_a in ksf; 7.8 is 0.65 x 144^0.5, so the cap is the same
    law with the strength of the concrete.  AASHTO LRFD 10.8.3.5.4b form, second-hand.
    """
    _REDUCTION.check(alpha_e)
    unit = CAVING_ROCK * alpha_e * rock.root_law_mpa(rock.q_u_mpa)
    cap = concrete_cap_mpa(rock)
    says = f"{unit:.3g} MPa is cut to {cap:.3g} MPa: the strength of the concrete." if unit > cap else ""
    return UnitSide("rock, with joints", min(unit, cap), (_concrete(rock),), _AASHTO, says)


def concrete_cap_mpa(rock: SocketRock) -> float:
    """The cap 0.65 p_a (f'c/p_a)^0.5 [MPa]; infinite when the concrete strength is not stated."""
    return math.inf if rock.concrete_mpa is None else CAVING_ROCK * rock.root_law_mpa(rock.concrete_mpa)


def older_socket_side_mpa(q_u_mpa: float) -> float:
    """Older rule f = min(2.5 q_u^0.5, 0.15 q_u), both in psi, given back in MPa; q_u 0 < to 500 MPa.

    Das, Principles of Foundation Engineering, Ex. 12.8, published.  For comparison.  Raises OutOfRange.
    """
    STRENGTH.check(q_u_mpa)
    q_u_psi = q_u_mpa / to_si(1.0, "psi")
    return to_si(min(2.5 * math.sqrt(q_u_psi), 0.15 * q_u_psi), "psi")


def stated_side(unit_side_mpa: float, what: str = "stated by the designer") -> UnitSide:
    """The designer's own unit side resistance in rock or soil, 0 to 50 MPa, else OutOfRange."""
    UNIT_SIDE.check(unit_side_mpa)
    return UnitSide(what, unit_side_mpa, (), "the designer")


def nominal_side_mn(unit_side_mpa: float, diameter_m: float, length_m: float) -> float:
    """Nominal side resistance [MN] = f_s pi D L.  Geometry; mathematics.  Raises OutOfRange."""
    UNIT_SIDE.check(unit_side_mpa)
    _DIAMETER.check(diameter_m)
    LENGTH.check(length_m)
    side_mn = unit_side_mpa * math.pi * diameter_m * length_m
    FORCE.check(side_mn)
    return side_mn


def _concrete(rock: SocketRock) -> Condition:
    name = "within the strength of the concrete"
    if rock.concrete_mpa is None:
        return Condition(name, None, "The strength of the concrete is not stated.")
    return Condition(name, True, f"The concrete is held at {rock.concrete_mpa:.3g} MPa.")
