"""Unit base resistance by rule, or as the designer states it, each with the conditions it asks for.

A value is given with its conditions, never instead of them: ``usable`` is True only when all are shown
to hold.  Nominal values: resistance factors and credit come after.  Formulas marked memory want their
clause confirmed before it appears in text for users.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from fieldapp.base.conditions import (
    BaseEvidence,
    Condition,
    any_base_conditions,
    intact_rock_conditions,
    usable,
)
from fieldapp.base.quantities import STRENGTH, UNIT_BASE
from fieldapp.base.rock_mass import HoekBrown
from fieldapp.units import Range, to_si

INTACT_FACTOR: Final = 2.5
CLAY_CAP_MPA: Final = to_si(80.0, "ksf")
_SAND_MPA_PER_BLOW: Final = to_si(1.2, "ksf")
_WIDE_SAND_M: Final = 1.27

_UNDRAINED: Final = Range("undrained shear strength", "MPa", 0.0, 2.0, open_below=True)
_DEPTH_RATIO: Final = Range("embedment over diameter L/B", "", 0.0, 200.0)
_RIGIDITY: Final = Range("rigidity index E_s/(3 c_u)", "", 10.0, 1000.0)
_BLOWS: Final = Range("blow count N60", "", 0.0, 50.0)
_OVERBURDEN: Final = Range("effective overburden at the base", "MPa", 0.0, 50.0)
_DIAMETER: Final = Range("base diameter", "m", 0.0, 20.0, open_below=True)
_THICK: Final = Range("sediment over diameter t/d", "", 0.0, 0.3)


@dataclass(frozen=True, slots=True)
class UnitBase:
    """A nominal unit base resistance [MPa], the rule that gave it, and what the rule asks for."""

    rule: str
    unit_base_mpa: float
    conditions: tuple[Condition, ...]
    source: str
    says: str = ""

    @property
    def usable(self) -> bool | None:
        """True when every condition holds, False when one does not, None when one is not shown."""
        return usable(self.conditions)


def intact_rock_base(q_u_mpa: float, evidence: BaseEvidence) -> UnitBase:
    """Intact or tightly jointed rock, q = 2.5 q_u; q_u more than 0 and at most 500 MPa, else OutOfRange.

    UFC 3-220-20 Eq. 6-36, read in transcription; AASHTO LRFD 10.8.3.5.4c, memory: fair.  Above
    q_u = 3.834 MPa it is more optimistic than the empirical rule.
    """
    STRENGTH.check(q_u_mpa)
    return UnitBase(
        "intact rock",
        INTACT_FACTOR * q_u_mpa,
        intact_rock_conditions(evidence),
        "UFC 3-220-20 Eq. 6-36, read (transcription); AASHTO LRFD 10.8.3.5.4c, memory: fair",
    )


def jointed_rock_base(
    q_u_mpa: float, rock: HoekBrown, overburden_mpa: float, evidence: BaseEvidence
) -> UnitBase:
    """Jointed rock by GSI: A = s'_v + q_u (m_b s'_v/q_u + s)^a; q = A + q_u (m_b A/q_u + s)^a.

    q_u more than 0 and at most 500 MPa; s'_v, effective overburden at the base, 0 to 50 MPa; else
    OutOfRange.  AASHTO LRFD 10.8.3.5.4c-2, -3; FHWA-NHI-10-016 chapter 13; memory: fair.
    """
    STRENGTH.check(q_u_mpa)
    _OVERBURDEN.check(overburden_mpa)
    ratio = overburden_mpa / q_u_mpa
    first = ratio + (rock.m_b * ratio + rock.s) ** rock.a
    unit = q_u_mpa * (first + (rock.m_b * first + rock.s) ** rock.a)
    source = "AASHTO LRFD 10.8.3.5.4c-2 and -3; FHWA-NHI-10-016 ch. 13; memory: fair"
    return UnitBase("jointed rock", unit, any_base_conditions(evidence), source)


def older_jointed_rock_base(q_u_mpa: float, rock: HoekBrown, evidence: BaseEvidence) -> UnitBase:
    """Older lower bound q = [s^0.5 + (m s^0.5 + s)^0.5] q_u: jointed rock, no overburden, a = 0.5.

    q_u more than 0 and at most 500 MPa, else OutOfRange.  Carter & Kulhawy 1988, memory: fair.
    """
    bound = jointed_rock_base(q_u_mpa, replace(rock, a=0.5), 0.0, evidence)
    return replace(
        bound, rule="jointed rock, older lower bound", source="Carter & Kulhawy 1988, memory: fair"
    )


def empirical_rock_base(q_u_mpa: float, evidence: BaseEvidence) -> UnitBase:
    """Fit to load tests, q = 4.83 q_u^0.51 MPa; its band is in ``says``.  q_u more than 0, at most 500 MPa.

    Zhang & Einstein 1998, memory: fair.  Raises OutOfRange.
    """
    STRENGTH.check(q_u_mpa)
    root = math.sqrt(q_u_mpa)
    band = f"The tests lie between {3.0 * root:.3g} and {6.6 * root:.3g} MPa."
    source = "Zhang & Einstein 1998, memory: fair"
    return UnitBase("rock, empirical", 4.83 * q_u_mpa**0.51, any_base_conditions(evidence), source, band)


def clay_base(c_u_mpa: float, depth_over_diameter: float, evidence: BaseEvidence) -> UnitBase:
    """Clay: q = N_c S_u, N_c = 6 (1 + 0.2 L/B) at most 9, q at most 80 ksf (3.83 MPa).

    c_u more than 0 and at most 2 MPa, L/B 0 to 200, else OutOfRange.  AASHTO LRFD 10.8.3.5.1c, memory:
    fair; Das, Principles of Foundation Engineering, second-hand.
    """
    _UNDRAINED.check(c_u_mpa)
    _DEPTH_RATIO.check(depth_over_diameter)
    unit = min(6 * (1 + 0.2 * depth_over_diameter), 9.0) * c_u_mpa
    source = "AASHTO LRFD 10.8.3.5.1c, memory: fair"
    clay = UnitBase("clay", unit, any_base_conditions(evidence), source)
    return _cut(clay, CLAY_CAP_MPA, "80 ksf, the most the rule allows")


def clay_rigidity_factor(rigidity_index: float) -> float:
    """N_c* = 1.33 (ln I_r + 1), I_r = E_s/(3 c_u), 10 to 1000, else OutOfRange.

    Das, Principles of Foundation Engineering, 8th ed., Eq. 10.34 and Table 10.4, read.  Other forms in
    circulation have a slip of a factor of ten or give 9.1 where this gives 6.5; they are not used.
    """
    _RIGIDITY.check(rigidity_index)
    return 1.33 * (math.log(rigidity_index) + 1)


def sand_base(n60: float, evidence: BaseEvidence) -> UnitBase:
    """Sand: q = 1.2 N60 ksf (57.5 N60 kPa); N60 0 to 50, else OutOfRange, so at most 60 ksf.

    FHWA-NHI-10-016, memory: fair; Das, second-hand.
    """
    _BLOWS.check(n60)
    source = "FHWA-NHI-10-016, memory: fair; Das, second-hand"
    return UnitBase("sand", _SAND_MPA_PER_BLOW * n60, any_base_conditions(evidence), source)


def wide_base_in_sand(diameter_m: float) -> float:
    """Factor 1.27/B on a base in sand wider than 1.27 m, to keep settlement under 25 mm; 1 when narrower.

    Diameter more than 0 and at most 20 m, else OutOfRange.  Older rule; Das, second-hand.
    """
    _DIAMETER.check(diameter_m)
    return min(1.0, _WIDE_SAND_M / diameter_m)


def thick_deposit_factor(sediment_over_diameter: float) -> float:
    """Bottom-cleaning factor m_0, 1.0 up to t/d 0.1 and falling straight to 0.7 at t/d 0.3.

    For soil-bearing friction piles only, never for rock sockets; over 0.3 OutOfRange.  JTG D63-2007,
    5.3.3, second-hand.
    """
    _THICK.check(sediment_over_diameter)
    return 1.0 - 0.3 * max(sediment_over_diameter - 0.1, 0.0) / 0.2


def stated_base(unit_base_mpa: float, evidence: BaseEvidence) -> UnitBase:
    """The designer's own nominal unit base resistance, more than 0 and at most 1000 MPa, else OutOfRange."""
    UNIT_BASE.check(unit_base_mpa)
    return UnitBase("stated by the designer", unit_base_mpa, any_base_conditions(evidence), "the designer")


def structural_cap(base: UnitBase, cap_mpa: float | None) -> UnitBase:
    """The same resistance, no more than the shaft's own structural limit; None when that is not stated.

    Cap more than 0 and at most 1000 MPa, else OutOfRange.  Always asked for; memory: fair.
    """
    name = "structural limit of the shaft"
    if cap_mpa is None:
        unknown = Condition(name, None, "The structural limit of the shaft is not stated.")
        return replace(base, conditions=(*base.conditions, unknown))
    UNIT_BASE.check(cap_mpa)
    cut = _cut(base, cap_mpa, name)
    within = Condition(name, True, cut.says or f"The shaft itself carries {cap_mpa:.3g} MPa.")
    return replace(cut, conditions=(*base.conditions, within))


def nominal_base_mn(unit_base_mpa: float, diameter_m: float) -> float:
    """Nominal base resistance [MN] = q pi D^2/4.  Geometry; mathematics.  Raises OutOfRange."""
    UNIT_BASE.check(unit_base_mpa)
    _DIAMETER.check(diameter_m)
    return unit_base_mpa * math.pi * diameter_m**2 / 4


def _cut(base: UnitBase, cap_mpa: float, what: str) -> UnitBase:
    if base.unit_base_mpa <= cap_mpa:
        return base
    says = f"{base.unit_base_mpa:.3g} MPa is cut to {cap_mpa:.3g} MPa: {what}."
    return replace(base, unit_base_mpa=cap_mpa, says=f"{base.says} {says}".strip())
