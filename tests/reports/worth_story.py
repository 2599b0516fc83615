"""A base with a uniform layer of 1/2 in, and a column above it, computed by the models themselves."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

import numpy as np

from fieldapp.base.assured import AskedOfBase, assured_share
from fieldapp.base.base_curve import Ground, Nominal
from fieldapp.base.bearing import stated_base
from fieldapp.base.conditions import BaseEvidence
from fieldapp.base.credit import Cover
from fieldapp.base.credit_range import BaseModel, Displacements, credit_range
from fieldapp.base.curve_band import band_displacements_m, curve_band
from fieldapp.base.disk import BaseDisk
from fieldapp.base.factored import Factors, against_demand
from fieldapp.base.head_curve import head_curves
from fieldapp.base.head_march import ShaftBody
from fieldapp.base.next_sounding import NextSounding
from fieldapp.base.sediment import SedimentSpread
from fieldapp.base.sediment_map import Draws, Soundings, sediment_map
from fieldapp.base.side_curve import Side, SideLayer
from fieldapp.base.stake import Socket, at_stake
from fieldapp.fluid.forecast import Outlook, ThicknessLimit, compare, forecast
from fieldapp.fluid.funnel import Cup, FunnelReading
from fieldapp.fluid.settling_set import FluidKind
from fieldapp.fluid.suspended import FluidColumn, FluidSample
from reports.worth_facts import ForecastHeld, OutlookFacts, WorthFacts
from tests.reports.story import DAY

# Reference base of the mechanics survey, section 3.6: B = 1.5 m, E = 600 MPa, q_N = 10 MPa at 75 mm.
MODEL = BaseModel(Ground(1.5, 600.0, 0.25), Nominal(10.0, 0.075))
SHAFT = ShaftBody(1.5, Side((SideLayer(5.0, 0.636631761696),)))
HALF_INCH_M = 0.0127
ASKED = AskedOfBase(Fraction(127, 10000), True, Fraction(1, 2))
DRAWS = Draws(100, 7)
ROUND_AT = DAY + timedelta(hours=14.9)


def soundings(thickness_m: list[float | None]) -> Soundings:
    """The centre and a ring of points at 0.6 m, as many as there are thicknesses."""
    angles = np.radians(np.linspace(0, 360, len(thickness_m) - 1, endpoint=False))
    ring = np.stack([0.6 * np.sin(angles), 0.6 * np.cos(angles)], axis=1)
    return Soundings(BaseDisk(1.5), np.concatenate([np.zeros((1, 2)), ring]), thickness_m)


def worth_of(thickness_m: float = HALF_INCH_M, demand_mn: float = 12.0, **more: object) -> WorthFacts:
    """Everything that can be told of a base with an even layer; credits without maps, as in the checks."""
    seen = soundings([thickness_m] * 9)
    cover = Cover.of([thickness_m] * 9, np.ones(9))
    spread, moved = SedimentSpread(), Displacements(0.010, 0.075)
    credit = credit_range(MODEL, cover, spread, moved)
    heads = head_curves(SHAFT, MODEL, cover, spread.best, np.geomspace(0.001, 0.1, 20))
    factors = Factors(0.55, 0.5, "as stated by the designer")
    given = {
        "round_title": "Round 2",
        "asked": ASKED,
        "sediment": sediment_map(seen),
        "assured": assured_share(seen, ASKED, 0.9, DRAWS),
        "next_place": NextSounding(0.3, 0.3, 0.4243, 45.0, "decision", 0.2, 0.1, 0.7),
        "ground": MODEL.ground,
        "unit_base": stated_base(10.0, BaseEvidence(1.5)),
        "credit": credit,
        "band": curve_band(MODEL, cover, spread, band_displacements_m(0.010, 0.075)),
        "heads": heads,
        "demand": against_demand(heads, factors, demand_mn, credit.supported_mn),
        "stake": at_stake(Socket(1.5, 5.0, 0.636631761696, 10.0), factors, credit.strength.credit),
    }
    return WorthFacts(**{**given, **more})


def samples(sand: float | None, funnel: FunnelReading | None) -> tuple[FluidSample, ...]:
    return tuple(FluidSample(depth, sand, funnel, 1080) for depth in (2, 9, 18))


def answer_of(
    sand: float | None = 0.02,
    funnel: FunnelReading | None = None,
    now_m: float | None = 0.005,
    limit_m: float | None = 0.0127,
) -> object:
    """What the fluid model answers for a column of 18.5 m; without a funnel reading only a bound."""
    column = FluidColumn(FluidKind.MINERAL, 18.5, samples(sand, funnel))
    times = tuple(float(each) for each in np.linspace(0, 12 * 3600, 25))
    return forecast(column, Outlook(now_m, times, ThicknessLimit(limit_m) if limit_m else None))


FUNNEL = FunnelReading(36, Cup.QUART, 15)


def outlook_of(answer: object, **more: object) -> OutlookFacts:
    given = {
        "from_round": 2,
        "from_moment": ROUND_AT,
        "answer": answer,
        "sound_again_by": ROUND_AT + timedelta(hours=1),
        "may_break_from": ROUND_AT + timedelta(minutes=10),
    }
    return OutlookFacts(**{**given, **more})


def held() -> ForecastHeld:
    return ForecastHeld(1, 2, compare(answer_of(funnel=FUNNEL), 900.0, 0.006))
