"""What the base of a shaft is worth: map and assured share, credit, combined curves, what is at stake.

An estimate for the engineer to accept, quoted at displacements.  Where the record is stale, one-sided or
lacks a design number, the part that needs it is absent and the reason stands in ``missing``.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

import numpy as np

from fieldapp.base.assured import AssuredShare, assured_share
from fieldapp.base.credit import Cover
from fieldapp.base.credit_facts import Credit
from fieldapp.base.factored import AgainstDemand, against_demand
from fieldapp.base.head_curve import HeadCurves, head_curves
from fieldapp.base.next_sounding import NextSounding, Settled, next_sounding
from fieldapp.base.sediment_map import NoMap, SedimentMap
from fieldapp.base.stake import Stake
from fieldapp.criteria.look import Look
from fieldapp.criteria.rounds import RoundFacts, latest_round, round_facts
from fieldapp.desk.looking import look_at
from fieldapp.desk.office import ShaftNow, shaft_now
from fieldapp.desk.workplace import Workplace
from fieldapp.desk.worth.base_credit import base_credit, stake_of
from fieldapp.desk.worth.inputs import WorthInputs, counted_on
from fieldapp.record.said import said, said_of
from fieldapp.units import OutOfRange

HEADS_M: Final = tuple(float(each) for each in np.geomspace(0.001, 0.1, 40))


@dataclass(frozen=True, slots=True)
class BaseWorth:
    """Separate answers about one base; each is None when ``missing`` says why."""

    now: ShaftNow
    round_title: str
    inputs: WorthInputs | None
    sediment: SedimentMap | NoMap | None
    assured: AssuredShare | None
    next_place: NextSounding | Settled | None
    cover: Cover | None
    maps: Cover | None
    credit: Credit | None
    heads: HeadCurves | None
    demand: AgainstDemand | None
    stake: Stake | None
    missing: tuple[str, ...]


def base_worth(place: Workplace, shaft_id: str, at: datetime | None) -> BaseWorth:
    """What the base of a shaft is worth at a moment, or as of its latest entry.

    Raises UnknownShaft, NotOpen.
    """
    now = shaft_now(place, shaft_id, at)
    look = look_at(place, shaft_id, now.at)
    line = latest_round(look)
    if line is None:
        return _nothing(now, "", (said("a round of soundings: the base was not sounded"),))
    title = said("Round {number}", number=line.values.number)
    try:
        facts = round_facts(look, line)
    except OutOfRange as problem:
        return _nothing(now, title, (said_of(problem),))
    return _worth(look, now, facts, title)


def _nothing(now: ShaftNow, title: str, missing: tuple[str, ...]) -> BaseWorth:
    return BaseWorth(now, title, None, None, None, None, None, None, None, None, None, None, missing)


def _worth(look: Look, now: ShaftNow, facts: RoundFacts, title: str) -> BaseWorth:
    found = base_credit(look, now.standing, facts)
    inputs = found.inputs
    asked = inputs.asked
    assured = (
        None if asked is None else assured_share(inputs.soundings, asked, inputs.confidence, inputs.draws)
    )
    open_hole = look.shaft.concrete_started_at is None
    place = next_sounding(inputs.soundings, asked, inputs.draws) if open_hole else None
    heads, demand, stake = None, None, None
    if found.credit is not None and found.cover is not None:
        counted = counted_on(look, now.standing.standing)
        stake = stake_of(counted, found.credit.strength.credit) if counted is not None else None
        heads, demand = _with_side(inputs, found.cover, found.credit)
    return BaseWorth(
        now=now,
        round_title=title,
        inputs=inputs,
        sediment=found.sediment,
        assured=assured,
        next_place=place,
        cover=found.cover,
        maps=found.maps,
        credit=found.credit,
        heads=heads,
        demand=demand,
        stake=stake,
        missing=found.missing,
    )


def _with_side(
    inputs: WorthInputs, cover: Cover, credit: Credit
) -> tuple[HeadCurves | None, AgainstDemand | None]:
    shaft, model = inputs.shaft, inputs.model
    if shaft is None or model is None or inputs.unit_base is None:
        return None, None
    heads = head_curves(shaft, model, cover, inputs.spread.best, np.array(HEADS_M))
    if inputs.factors is None or inputs.demand_mn is None:
        return heads, None
    return heads, against_demand(heads, inputs.factors, inputs.demand_mn, credit.supported_mn)
