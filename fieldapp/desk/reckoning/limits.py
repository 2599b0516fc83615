"""Limits under comparison: what the stated sediment makes of them, and the worst that they let pass.

Meeting a set of limits and a credit are told side by side; neither follows from the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from fieldapp.base.assured import AssuredShare, assured_share
from fieldapp.base.cleanliness import Cleanliness, share_within
from fieldapp.base.credit import Cover
from fieldapp.base.credit_facts import Credit
from fieldapp.base.credit_limits import thickness_for_credit_m, worst_passing_map
from fieldapp.base.credit_range import BaseModel, credit_range
from fieldapp.base.sediment import Sediment
from fieldapp.desk.reckoning.curves import Heads, heads_of
from fieldapp.exchange.reckoning import CellLayer, EvenLayer, Reckoning, SoundedLayer, ThicknessLimits
from fieldapp.units import OutOfRange

_MODULI: Final = 9


@dataclass(frozen=True, slots=True, eq=False)
class LimitsHeld:
    """One set of limits against the stated sediment, and the worst map that the set lets pass.

    ``holds`` tells whether the sediment as stated keeps the limits, None when not shown or not stated.
    ``assured`` is for soundings.  ``worst_credit`` None: ``missing`` of the reckoning says why.
    ``worst_heads`` are the head curves over that map, None without a side.
    """

    limits: ThicknessLimits
    measured: Cleanliness | None
    holds: bool | None
    assured: AssuredShare | None
    worst: Cover
    worst_credit: Credit | None
    worst_heads: Heads | None


@dataclass(frozen=True, slots=True)
class WantedThickness:
    """Greatest even thickness [m] for a wanted credit at a displacement [m], over the parameter range."""

    credit: float
    displacement_m: float
    low_m: float
    best_m: float
    high_m: float


def limits_held(
    asked: Reckoning, limits: ThicknessLimits, model: BaseModel | None, missing: list[str]
) -> LimitsHeld:
    """One set of limits; what cannot be answered is added to ``missing``."""
    measured, assured = _measured(asked, limits), None
    if isinstance(asked.layer, SoundedLayer):
        maps = asked.maps
        assured = assured_share(
            asked.layer.soundings, limits.asked, maps.confidence, maps.draws, maps.assumptions
        )
        measured = assured.measured
    worst = worst_passing_map(limits.passing)
    credit, heads = None, None
    if model is not None:
        try:
            credit = credit_range(model, worst, asked.spread, asked.curves.at)
            heads = heads_of(asked, model, worst, credit)
        except OutOfRange as refused:
            missing.append(f"credit of the worst map that '{limits.name}' lets pass: {refused}")
    return LimitsHeld(limits, measured, _holds(limits, measured), assured, worst, credit, heads)


def wanted_thickness(asked: Reckoning, model: BaseModel) -> tuple[WantedThickness, ...]:
    """Even thickness for each wanted credit at service and strength displacement.  Raises OutOfRange.

    With a range of the ground's modulus the least and greatest over nine moduli of it are taken.
    """
    at = asked.curves.at
    places = (at.service_m, at.strength_m or model.nominal.displacement_m)
    curves = [model.curve]
    if asked.spread.ground_modulus_mpa is not None:
        curves += [model.curve_at(float(e)) for e in np.geomspace(*asked.spread.ground_modulus_mpa, _MODULI)]

    def over_curves(sediment: Sediment, wanted: float, moved: float) -> list[float]:
        return [thickness_for_credit_m(curve, sediment, wanted, moved) for curve in curves]

    return tuple(
        WantedThickness(
            wanted,
            moved,
            min(over_curves(asked.spread.softest, wanted, moved)),
            thickness_for_credit_m(model.curve, asked.spread.best, wanted, moved),
            max(over_curves(asked.spread.stiffest, wanted, moved)),
        )
        for wanted in asked.wanted
        for moved in places
    )


def _measured(asked: Reckoning, limits: ThicknessLimits) -> Cleanliness | None:
    """Share within the limit of an even layer or of cells, exactly."""
    held = limits.asked
    if isinstance(asked.layer, EvenLayer):
        return share_within([asked.layer.thickness_m], [1], held.limit_m, held.strict)
    if isinstance(asked.layer, CellLayer):
        return share_within(asked.layer.thickness_m, asked.layer.share, held.limit_m, held.strict)
    return None


def _holds(limits: ThicknessLimits, measured: Cleanliness | None) -> bool | None:
    """Whether limits are kept; with a point unread only when it does not matter, else None."""
    if measured is None:
        return None
    held = limits.asked
    enough = _either(
        measured.share_if_unknown_dirty >= held.share_min, measured.share_if_unknown_clean >= held.share_min
    )
    if held.cap_m is None or measured.largest_known_m is None:
        return enough if held.cap_m is None else None
    largest = measured.largest_known_m
    under = largest < held.cap_m if held.cap_strict else largest <= held.cap_m
    capped = None if under and measured.unread else under
    return _both(enough, capped)


def _either(at_worst: bool, at_best: bool) -> bool | None:
    return at_worst if at_worst == at_best else None


def _both(one: bool | None, other: bool | None) -> bool | None:
    if False in (one, other):
        return False
    return None if None in (one, other) else True
