"""The credit of one base out of its latest round, and what is at stake in it.

The papers of a shaft and the summary of all shafts ask for both, and get the same numbers.  Where the record
is stale, one-sided or lacks a design number the credit is absent, and the reason stands in ``against`` or
among what the inputs miss.
"""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.base.credit import Cover
from fieldapp.base.credit_facts import Credit, CreditSpan
from fieldapp.base.credit_range import BaseModel, credit_range, credit_spans
from fieldapp.base.sediment_map import NoMap, SedimentMap, sediment_map, simulate
from fieldapp.base.stake import Stake, at_stake
from fieldapp.criteria.finding import BaseStanding, Standing
from fieldapp.criteria.look import Look
from fieldapp.criteria.rounds import RoundFacts, credit_stays_open
from fieldapp.desk.worth.inputs import CountedOn, WorthInputs, measured_cover, worth_inputs
from fieldapp.record.said import said


@dataclass(frozen=True, slots=True, eq=False)
class BaseCredit:
    """Inputs, map, measured and simulated cover, and the credit; ``against`` says what keeps it open."""

    inputs: WorthInputs
    sediment: SedimentMap | NoMap
    cover: Cover | None
    maps: Cover | None
    credit: Credit | None
    against: tuple[str, ...]

    @property
    def missing(self) -> tuple[str, ...]:
        """Everything that keeps a part from being shown, in words."""
        return (*self.against, *self.inputs.missing)


@dataclass(frozen=True, slots=True)
class BaseCreditSpans:
    """The credit at service and at strength as a table tells it, None where ``missing`` says why."""

    spans: tuple[CreditSpan, CreditSpan] | None
    missing: tuple[str, ...]


def base_credit(look: Look, standing: BaseStanding, facts: RoundFacts) -> BaseCredit:
    """The credit of a base at the moment of the look, from its latest round.  Raises OutOfRange."""
    found = _ground(look, standing, facts)
    credit = None
    if found.model is not None and found.cover is not None and not found.against:
        inputs = found.inputs
        credit = credit_range(found.model, found.cover, inputs.spread, inputs.displacements, found.maps)
    return BaseCredit(found.inputs, found.sediment, found.cover, found.maps, credit, found.against)


def base_credit_spans(look: Look, standing: BaseStanding, facts: RoundFacts) -> BaseCreditSpans:
    """The same credit for a table of many bases: lowest, best and greatest alone.  Raises OutOfRange."""
    found = _ground(look, standing, facts)
    spans = None
    if found.model is not None and found.cover is not None and not found.against:
        inputs = found.inputs
        spans = credit_spans(found.model, found.cover, inputs.spread, inputs.displacements, found.maps)
    return BaseCreditSpans(spans, (*found.against, *found.inputs.missing))


@dataclass(frozen=True, slots=True, eq=False)
class _Ground:
    """What a credit is worked out from; maps only where there can be one."""

    inputs: WorthInputs
    sediment: SedimentMap | NoMap
    cover: Cover | None
    maps: Cover | None
    against: tuple[str, ...]

    @property
    def model(self) -> BaseModel | None:
        return self.inputs.model


def _ground(look: Look, standing: BaseStanding, facts: RoundFacts) -> _Ground:
    inputs = worth_inputs(look, facts, standing.standing)
    sediment = sediment_map(inputs.soundings)
    against = tuple(_against_credit(look, standing, facts))
    cover = measured_cover(facts, inputs.soundings)
    maps = None
    credited = not against and inputs.model is not None and cover is not None
    if credited and not isinstance(sediment, NoMap):
        simulated = simulate(sediment, inputs.draws)
        maps = Cover.of(simulated.thickness_m, simulated.weight)
    return _Ground(inputs, sediment, cover, maps, against)


def stake_of(counted: CountedOn, strength: float | None) -> Stake:
    """What is at stake in a base, with the best credit at strength taken from it where there is one."""
    return at_stake(counted.socket, counted.factors, 1.0 if strength is None else min(1.0, strength))


def _against_credit(look: Look, standing: BaseStanding, facts: RoundFacts) -> list[str]:
    """What keeps the credit from being quantified, in words."""
    found: list[str] = []
    if standing.standing is Standing.NOT_CREDITABLE:
        found.append(said("a base that can be counted: {says}", says=standing.reasons[0].says))
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
