"""Credit turned round: the even thickness that leaves a wanted credit, and the worst map that passes.

For a designer who chooses limits before construction.  Meeting an acceptance set is not the same as full
stiffness; both are told side by side.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from fieldapp.base.base_curve import BaseCurve
from fieldapp.base.credit import Cover
from fieldapp.base.quantities import CREDIT, DISPLACEMENT, SEDIMENT
from fieldapp.base.sediment import Sediment
from fieldapp.units import OutOfRange, Range

_SHARE: Final = Range("share of the base within the area limit", "", 0.0, 1.0)


@dataclass(frozen=True, slots=True)
class PassingLimits:
    """The limits on thickness that an acceptance set puts on a base.

    At least ``area_share`` of the base (0 to 1) is within ``area_limit_m``, no place over ``cap_m``;
    lengths 0 to 100 m, None where the set asks nothing; else OutOfRange, also when both are None.
    """

    area_share: float
    area_limit_m: float | None
    cap_m: float | None

    def __post_init__(self) -> None:
        _SHARE.check(self.area_share)
        stated = [limit for limit in (self.area_limit_m, self.cap_m) if limit is not None]
        if not stated:
            raise OutOfRange("limits of the acceptance set", "not stated", "an area limit, a cap, or both")
        SEDIMENT.check(*stated)


def worst_passing_map(limits: PassingLimits) -> Cover:
    """The cover of least credit that these limits let pass: the share at its limit, the rest at the cap.

    Credit falls with thickness in every cell, so no map that passes is worse, wherever its cells lie.
    Without a cap the rest is 100 m thick, which carries next to nothing; without an area limit the
    whole base is at the cap.  A limit on the mean, where a set has one, is not used: cautious.  Cells have
    no place, so no eccentricity follows.
    """
    cap_m = SEDIMENT.most if limits.cap_m is None else limits.cap_m
    if limits.area_limit_m is None:
        return Cover.of([cap_m], [1.0])
    thick = [min(limits.area_limit_m, cap_m), cap_m]
    return Cover.of(thick, [limits.area_share, 1 - limits.area_share])


def thickness_for_credit_m(
    curve: BaseCurve, sediment: Sediment, wanted: float, displacement_m: float
) -> float:
    """Greatest even thickness [m] that leaves the wanted credit at a base displacement.

    t = [w - delta_ground(R q_c)] (M_0 e_L + R q_c)/(e_L R q_c), q_c the clean resistance at w.  Wanted
    credit more than 0 and at most 1, displacement more than 0 and at most 5 m, else OutOfRange.  Model of
    mechanics section 3.2 (C27); mathematics on judgment parameters.  It can exceed any thickness that
    the model is meant for; hold it against the acceptance set.
    """
    CREDIT.check(wanted)
    DISPLACEMENT.check(displacement_m)
    stress = wanted * float(curve.clean_mpa(displacement_m))
    left_m = displacement_m - float(curve.displacement_m(stress))
    return max(left_m, 0.0) * (sediment.modulus_mpa + stress / sediment.locking_strain) / stress
