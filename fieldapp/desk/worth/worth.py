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
from fieldapp.base.credit_range import credit_range
from fieldapp.base.factored import AgainstDemand, against_demand
from fieldapp.base.head_curve import HeadCurves, head_curves
from fieldapp.base.next_sounding import NextSounding, Settled, next_sounding
from fieldapp.base.sediment_map import NoMap, SedimentMap, sediment_map, simulate
from fieldapp.base.stake import Socket, Stake, at_stake
from fieldapp.criteria.finding import Standing
from fieldapp.criteria.look import Look
from fieldapp.criteria.rounds import RoundFacts, credit_stays_open, latest_round, round_facts
from fieldapp.desk.looking import look_at
from fieldapp.desk.office import ShaftNow, shaft_now
from fieldapp.desk.workplace import Workplace
from fieldapp.desk.worth.inputs import WorthInputs, measured_cover, worth_inputs
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
    inputs = worth_inputs(look, facts, now.standing.standing)
    sediment = sediment_map(inputs.soundings)
    asked = inputs.asked
    assured = (
        None if asked is None else assured_share(inputs.soundings, asked, inputs.confidence, inputs.draws)
    )
    open_hole = look.shaft.concrete_started_at is None
    place = next_sounding(inputs.soundings, asked, inputs.draws) if open_hole else None
    against = _against_credit(look, now, facts)
    cover = measured_cover(facts, inputs.soundings)
    maps, credit, heads, demand, stake = None, None, None, None, None
    if not against and inputs.model is not None and cover is not None:
        if not isinstance(sediment, NoMap):
            simulated = simulate(sediment, inputs.draws)
            maps = Cover.of(simulated.thickness_m, simulated.weight)
        credit = credit_range(inputs.model, cover, inputs.spread, inputs.displacements, maps)
        heads, demand, stake = _with_side(inputs, cover, credit)
    return BaseWorth(
        now=now,
        round_title=title,
        inputs=inputs,
        sediment=sediment,
        assured=assured,
        next_place=place,
        cover=cover,
        maps=maps,
        credit=credit,
        heads=heads,
        demand=demand,
        stake=stake,
        missing=(*against, *inputs.missing),
    )


def _against_credit(look: Look, now: ShaftNow, facts: RoundFacts) -> list[str]:
    """What keeps the credit from being quantified, in words."""
    found: list[str] = []
    if now.standing.standing is Standing.NOT_CREDITABLE:
        found.append(said("a base that can be counted: {says}", says=now.standing.reasons[0].says))
    if facts.unread:
        points = ", ".join(facts.unread)
        found.append(
            said("a thickness at {points}: with a point unread the credit is not shown", points=points)
        )
    elif facts.stale:
        found.append(
            said("a fresh round: {name} is older than {change}", name=facts.name, change=facts.stale)
        )
    elif credit_stays_open(look, facts):
        found.append(said("more points: fewer were read than the acceptance set asks for"))
    return found


def _with_side(
    inputs: WorthInputs, cover: Cover, credit: Credit
) -> tuple[HeadCurves | None, AgainstDemand | None, Stake | None]:
    shaft, model = inputs.shaft, inputs.model
    if shaft is None or model is None or inputs.unit_base is None:
        return None, None, None
    heads = head_curves(shaft, model, cover, inputs.spread.best, np.array(HEADS_M))
    if inputs.factors is None:
        return heads, None, None
    layer = shaft.side.layers[0]
    socket = Socket(shaft.diameter_m, layer.length_m, layer.unit_side_mpa, inputs.unit_base.unit_base_mpa)
    stake = at_stake(socket, inputs.factors, min(1.0, credit.strength.credit))
    if inputs.demand_mn is None:
        return heads, None, stake
    return heads, against_demand(heads, inputs.factors, inputs.demand_mn, credit.supported_mn), stake
