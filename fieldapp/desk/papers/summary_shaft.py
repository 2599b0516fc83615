"""What the summary tells of one shaft: findings, credit, what is at stake, rounds, fluid, limits, delays.

Findings and credit are those of the shaft's own papers, asked of one look: nothing is worked out twice.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Final

from fieldapp.criteria.finding import BaseStanding, Outcome
from fieldapp.criteria.findings import findings_and_release
from fieldapp.criteria.fluid_limits import last_set
from fieldapp.criteria.fluid_sets import (
    DENSITY,
    FUNNEL,
    SAND,
    Property,
    answer_of,
    limits_of,
    salt_add,
    samples_that_count,
)
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import Quantity, at_least, at_most
from fieldapp.criteria.rounds import latest_round, round_facts
from fieldapp.criteria.rules import look_at
from fieldapp.criteria.standing import base_standing, disposition_of, rests_on_all
from fieldapp.desk.papers.summary_rounds import recleaned, round_seen
from fieldapp.desk.worth.base_credit import base_credit_spans, stake_of
from fieldapp.desk.worth.inputs import counted_on
from fieldapp.record.concrete import ConcreteFinished
from fieldapp.record.hole import Delay
from fieldapp.record.said import said, said_of
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.record.words import Fluid, FluidStage
from fieldapp.units import OutOfRange
from reports.summary_facts import FluidRead, LimitSeen, Stated, SummaryCredit, SummaryShaft

_COUNTED: Final = (Outcome.MET, Outcome.NOT_MET, Outcome.NOT_SHOWN)
_FLUID: Final = (DENSITY, SAND, FUNNEL)
# Limits of a base and its time, by what the summary calls them: parameter, quantity, whether a lower one.
_LIMITS: Final = (
    ("share", "area_fraction_min", Quantity.SHARE, True),
    ("largest", "max_thickness_anywhere", Quantity.THICKNESS, False),
    ("largest", "flat_cap_thickness", Quantity.THICKNESS, False),
    ("mean", "mean_thickness_limit", Quantity.THICKNESS, False),
    ("hours", "max_hours_inspect_to_concrete", Quantity.HOURS, False),
)


def summary_shaft(project: ProjectRecord, shaft: ShaftRecord, at: datetime) -> SummaryShaft:
    """One shaft as of a moment; a shaft that is not scheduled shows nothing but that."""
    look = look_at(project, shaft, at)
    found, release = findings_and_release(project, shaft, at, look)
    standing = base_standing(project, shaft, found, release)
    finished = shaft.of(ConcreteFinished)
    credit, missing = _credit(look, standing)
    counted = counted_on(look, standing.standing) if look is not None else None
    line = latest_round(look) if look is not None else None
    return SummaryShaft(
        id=shaft.id,
        plan=shaft.scheduled,
        digest=shaft.digest,
        standing=standing,
        counts={each: sum(one.outcome is each for one in found) for each in _COUNTED},
        release=release,
        base_reached=look.base_reached_at[0] if look is not None and look.base_reached_at else None,
        concrete_started=shaft.concrete_started_at,
        concrete_finished=finished[-1].observed_at if finished else None,
        credit=credit,
        missing=missing,
        at_stake=stake_of(counted, credit.strength.credit if credit is not None else None)
        if counted is not None
        else None,
        stated=_stated(project, shaft),
        last_round=round_seen(look, line) if look is not None and line is not None else None,
        recleaned=recleaned(look) if look is not None else (),
        fluid=tuple(_fluid(look)) if look is not None else (),
        limits=tuple(_limits(look)) if look is not None else (),
        delays=tuple(each.values for each in shaft.of(Delay)),
    )


def _credit(look: Look | None, standing: BaseStanding) -> tuple[SummaryCredit | None, tuple[str, ...]]:
    """The estimate, and what it lacks in words."""
    if look is None:
        return None, (said("a schedule: the shaft is not scheduled"),)
    line = latest_round(look)
    if line is None:
        return None, (said("a round of soundings: the base was not sounded"),)
    try:
        found = base_credit_spans(look, standing, round_facts(look, line))
    except OutOfRange as problem:
        return None, (said_of(problem),)
    return SummaryCredit(*found.spans) if found.spans is not None else None, found.missing


def _stated(project: ProjectRecord, shaft: ShaftRecord) -> Stated | None:
    line = disposition_of(project, shaft)
    return None if line is None else Stated(line, rests_on_all(project, line.values.basis, shaft))


def _fluid(look: Look) -> Iterator[FluidRead]:
    found = last_set(look) if look.scheduled.fluid is not Fluid.NONE else None
    for sample in samples_that_count(look, found) if found is not None else ():
        for what in _FLUID:
            answer, reading = answer_of(look, sample, what), what.read(sample.values)
            value = reading.si if reading is not None else None
            yield FluidRead(str(what.name), answer.outcome, value, sample.observed_at, answer.why)


def _limits(look: Look) -> Iterator[LimitSeen]:
    if look.scheduled.fluid is not Fluid.NONE:
        for what in _FLUID:
            yield from _fluid_limits(look, what)
    for name, parameter, quantity, lower in _LIMITS:
        limit = look.limit(parameter)
        if limit is not None and limit.reading is not None:
            text = look.phrases.say(quantity, limit.reading.si)
            told = (at_least if lower else at_most)(text, limit.strict)
            yield LimitSeen(name, limit.reading.si, told, lower, limit.strict)


def _fluid_limits(look: Look, what: Property) -> Iterator[LimitSeen]:
    least, most = limits_of(look, what, FluidStage.BEFORE_CONCRETE)
    for limit, lower in ((least, True), (most, False)):
        if limit is not None and limit.reading is not None:
            value = limit.reading.si + salt_add(look, what, limit)
            text = look.phrases.say(what.quantity, value)
            told = (at_least if lower else at_most)(text, limit.strict)
            yield LimitSeen(str(what.name), value, told, lower, limit.strict)
