"""A reckoning for another program.

Every quantity is ``{"value": number, "unit": symbol}`` in the unit system of the file, not rounded; ratios
and credits are plain numbers, never over 1.  null is not shown or not asked; ``missing`` says which.
"""

from __future__ import annotations

import math
from typing import Final, TypeAlias

from fieldapp.base.assured import AssuredShare
from fieldapp.base.credit import CAVEATS
from fieldapp.base.credit_facts import Credit, CreditAt
from fieldapp.base.head_curve import HeadCurve
from fieldapp.base.next_sounding import NextSounding, Settled
from fieldapp.base.sediment_map import NoMap
from fieldapp.base.stake import Stake
from fieldapp.desk.reckoning.curves import Heads
from fieldapp.desk.reckoning.limits import LimitsHeld
from fieldapp.desk.reckoning.reckon import Reckoned
from fieldapp.desk.reckoning.settling import LimitsAhead, SettlingAhead
from fieldapp.exchange.reckoning import ThicknessLimits
from fieldapp.fluid.forecast import Answer, Forecast, NotForecast, SoundAgain
from fieldapp.record.words import UnitSystem
from fieldapp.units import Number, from_si

Json: TypeAlias = dict[str, object]

_UNITS: Final = {
    UnitSystem.US: {"short": "in", "long": "ft", "stress": "ksf", "force": "kip"},
    UnitSystem.SI: {"short": "mm", "long": "m", "stress": "MPa", "force": "MN"},
}


class _Quantities:
    """Makes quantities in one unit system."""

    def __init__(self, units: UnitSystem) -> None:
        self._units = _UNITS[units]

    def __call__(self, value: Number | None, kind: str) -> Json | None:
        """A quantity; None where it is unknown or not finite."""
        if value is None or not math.isfinite(value):
            return None
        symbol = self._units[kind]
        return {"value": from_si(float(value), symbol), "unit": symbol}


def reckon_json(made: Reckoned) -> Json:
    """Everything that a file asked, answered."""
    of = _Quantities(made.asked.units)
    return {
        "file": made.asked.file,
        "title": made.asked.title,
        "units": str(made.asked.units),
        "base": _base(made, of),
        "cells": [
            {"label": c.label, "share": c.share, "thickness": of(c.thickness_m, "short")} for c in made.cells
        ],
        "no_map": made.sediment.why if isinstance(made.sediment, NoMap) else None,
        "next_soundings": [{"limits": name or None, **_place(at, of)} for name, at in made.next_places],
        "credit": None if made.credit is None else _credit(made.credit, of),
        "base_curve": _curve(made, of),
        "head_curves": None if made.heads is None else _heads(made.heads, of),
        "wanted": _wanted(made, of),
        "limits": [_limits(each, of) for each in made.limits],
        "forecast": None if made.ahead is None else _ahead(made.ahead, of),
        "missing": list(made.missing),
        "assumed": list(made.asked.assumed),
        "caveats": list(CAVEATS),
    }


def _curve(made: Reckoned, of: _Quantities) -> list[Json]:
    return [
        {
            "displacement": of(each.displacement_m, "short"),
            "clean": of(each.clean_mn, "force"),
            "as_built": None if each.credit is None else of(each.credit.as_built_mn, "force"),
            "credit": None if each.credit is None else _range(each.credit),
        }
        for each in made.curve
    ]


def _wanted(made: Reckoned, of: _Quantities) -> list[Json]:
    return [
        {
            "credit": each.credit,
            "displacement": of(each.displacement_m, "short"),
            "low": of(each.low_m, "short"),
            "best": of(each.best_m, "short"),
            "high": of(each.high_m, "short"),
        }
        for each in made.wanted
    ]


def _base(made: Reckoned, of: _Quantities) -> Json:
    base = made.asked.base
    unit = base.unit_base
    return {
        "diameter": of(base.diameter_m, "long"),
        "ground_modulus": None if base.ground is None else of(base.ground.modulus_mpa, "stress"),
        "curve": base.shape,
        "unit_base": None if unit is None else of(unit.unit_base_mpa, "stress"),
        "unit_base_rule": None if unit is None else unit.rule,
        "unit_base_source": None if unit is None else unit.source,
        "nominal_displacement": None if base.nominal is None else of(base.nominal.displacement_m, "short"),
        "conditions": []
        if unit is None
        else [{"name": each.name, "holds": each.holds, "says": each.says} for each in unit.conditions],
        "unit_sides": [
            {"unit_side": of(each.unit_side_mpa, "stress"), "rule": each.rule, "source": each.source}
            for each in made.asked.shaft.unit_sides
        ],
    }


def _place(place: NextSounding | Settled, of: _Quantities) -> Json:
    if isinstance(place, Settled):
        return {"settled": place.why, "chance": place.chance, "holds": place.holds}
    return {
        "r": of(place.r_m, "short"),
        "angle_deg": place.angle_deg,
        "reason": place.reason,
        "chance": place.chance,
    }


def _range(at: CreditAt) -> Json:
    credits_told = {"low": at.lowest, "best": at.credit, "high": at.greatest.credit}
    return {name: min(1.0, credit) for name, credit in credits_told.items()}


def _credit_at(at: CreditAt, of: _Quantities) -> Json:
    return {
        "displacement": of(at.displacement_m, "short"),
        **_range(at),
        "maps_low": None if at.maps is None else at.maps.low,
        "maps": None if at.maps is None else at.maps.maps,
        "clean": of(at.clean_mn, "force"),
        "as_built": of(at.as_built_mn, "force"),
        "eccentricity_over_diameter": at.eccentricity,
        "warnings": list(at.warnings),
    }


def _credit(credit: Credit, of: _Quantities) -> Json:
    return {
        "service": _credit_at(credit.service, of),
        "strength": _credit_at(credit.strength, of),
        "nominal": of(credit.nominal_mn, "force"),
        "supported": of(credit.supported_mn, "force"),
        "credited": of(credit.credited_mn, "force"),
        "credited_lowest": of(credit.credited_lowest_mn, "force"),
    }


def _heads(heads: Heads, of: _Quantities) -> Json:
    curves, demand = heads.curves, heads.demand
    return {
        "clean": _head(curves.clean, of),
        "as_built": _head(curves.as_built, of),
        "base_ratio": curves.base_ratio.tolist(),
        "total_ratio": curves.total_ratio.tolist(),
        "demand": None if demand is None else of(demand.demand_mn, "force"),
        "demand_reached_by": None if demand is None else of(demand.from_head_m, "short"),
        "at_stake": None if heads.stake is None else _stake(heads.stake, of),
        "factored_credited_lowest": None
        if heads.stake_lowest is None
        else of(heads.stake_lowest.factored_credited_mn, "force"),
    }


def _head(curve: HeadCurve, of: _Quantities) -> Json:
    return {
        "head": [of(each, "short") for each in curve.head_m.tolist()],
        "load": [of(each, "force") for each in curve.head_mn.tolist()],
        "base_load": [of(each, "force") for each in curve.base_mn.tolist()],
        "base_share": curve.base_share.tolist(),
        "unique": curve.unique,
        "says": curve.says,
    }


def _stake(stake: Stake, of: _Quantities) -> Json:
    return {
        "nominal_base": of(stake.nominal_base_mn, "force"),
        "nominal_side": of(stake.nominal_side_mn, "force"),
        "factored_base": of(stake.factored_base_mn, "force"),
        "factored_side": of(stake.factored_side_mn, "force"),
        "share_of_factored": stake.share_of_factored,
        "replaces_factored": of(stake.replaces_factored_m, "long"),
        "factored_credited": of(stake.factored_credited_mn, "force"),
        "factors": stake.edition,
    }


def _limits(each: LimitsHeld, of: _Quantities) -> Json:
    measured = each.measured
    return {
        **_stated(each.limits, of),
        "share": None if measured is None or measured.share is None else float(measured.share),
        "share_bounds": None
        if measured is None
        else [float(measured.share_if_unknown_dirty), float(measured.share_if_unknown_clean)],
        "largest": None if measured is None else of(measured.largest_m, "short"),
        "kept": each.holds,
        "assured": None if each.assured is None else _assured(each.assured),
        "worst_map": [
            {"share": share, "thickness": of(thick, "short")}
            for share, thick in zip(each.worst.share.tolist(), each.worst.thickness_m.tolist(), strict=True)
        ],
        "worst_credit": None if each.worst_credit is None else _credit(each.worst_credit, of),
        "worst_head_curves": None if each.worst_heads is None else _heads(each.worst_heads, of),
    }


def _stated(limits: ThicknessLimits, of: _Quantities) -> Json:
    return {
        "name": limits.name,
        "thickness": of(limits.area_limit_m, "short"),
        "strict": limits.strict,
        "share_asked": None if limits.share_min is None else float(limits.share_min),
        "cap": of(limits.cap_m, "short"),
        "cap_strict": limits.cap_strict,
        "remarks": list(limits.says),
    }


def _assured(assured: AssuredShare) -> Json:
    by_map = assured.by_map
    mapped = None if isinstance(by_map, NoMap) else by_map
    return {
        "effective_points": assured.effective_points,
        "share_by_counting": assured.share_by_counting,
        "share_by_map": None if mapped is None else mapped.assured_share,
        "expected_share": None if mapped is None else mapped.expected_share,
        "chance": None if mapped is None else mapped.chance,
        "confidence": None if mapped is None else mapped.confidence,
        "caveats": list(assured.caveats),
    }


def _ahead(ahead: SettlingAhead, of: _Quantities) -> Json:
    answer = ahead.answer
    courses = answer.courses if isinstance(answer, Forecast) else ()
    return {
        "mean_now": of(ahead.mean_m, "short"),
        "times_s": list(answer.outlook.times_s) if isinstance(answer, Forecast) else [],
        "mean_thickness": {
            str(each.course.assumption): [of(thick, "short") for thick in each.thickness_m]
            for each in courses
        },
        "assumptions": {str(each.course.assumption): each.course.assumed for each in courses},
        "most_rise": of(_most_rise_m(answer), "short"),
        "notes": [] if isinstance(answer, NotForecast) else list(answer.basis.notes),
        "missing": list(getattr(answer, "missing", ())),
        "by_limits": [_by_limits(each, of) for each in ahead.by_limits],
    }


def _most_rise_m(answer: Answer) -> float | None:
    """Rise if all the sand settled, None when there is no forecast."""
    if isinstance(answer, Forecast):
        return answer.most_m - answer.thickness_now_m
    return None if isinstance(answer, NotForecast) else answer.most_rise_m


def _by_limits(each: LimitsAhead, of: _Quantities) -> Json:
    again: SoundAgain | None = each.answer.sound_again if isinstance(each.answer, Forecast) else None
    return {
        "limits": each.limits.name,
        "room": of(each.room_m, "short"),
        "kept_now": None if each.room_m is None else each.answer is not None,
        "sound_again_by_s": None if again is None else again.by_s,
        "earliest_break_s": None if again is None else again.earliest_s,
    }
