"""Which shafts' credit to look at or reduce first: not creditable, then least credited, then not shown.

A shaft belongs here while nobody has settled it: a decision of the designer settles it when it saw all the
evidence and states no more than the estimate.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import Final

from fieldapp.base.stake import Stake
from fieldapp.criteria.finding import Standing
from fieldapp.record.words import Decision, DesignBasis
from reports.summary_facts import SummaryShaft

FULL: Final = 0.995
"""A credit over this is full to the last digit that is told: no reason to look first."""


class Rank(IntEnum):
    """Why a shaft is looked at, the first first."""

    NOT_CREDITABLE = 0
    LESS_CREDITED = 1
    NOT_SHOWN = 2


@dataclass(frozen=True, slots=True)
class LookFirst:
    """One shaft to look at; ``share`` is what the best credit leaves of the force counted on, or None."""

    shaft: SummaryShaft
    rank: Rank
    share: float | None


@dataclass(frozen=True, slots=True)
class Order:
    """All shafts parted: to look at, in order; settled by the designer; not drilled; nothing to reduce."""

    first: tuple[LookFirst, ...]
    settled: tuple[SummaryShaft, ...]
    not_drilled: tuple[SummaryShaft, ...]
    side_only: tuple[SummaryShaft, ...]
    full: tuple[SummaryShaft, ...]


def look_order(shafts: tuple[SummaryShaft, ...]) -> Order:
    """Part the shafts of a project and put those to be looked at in order."""
    parted: dict[str, list[SummaryShaft]] = {name: [] for name in ("settled", "undrilled", "side", "full")}
    first: list[LookFirst] = []
    for each in shafts:
        found = _ranked(each)
        if each.plan is not None and each.plan.design_basis is DesignBasis.SIDE:
            parted["side"].append(each)
        elif found is None:
            parted["full"].append(each)
        elif settled(each):
            parted["settled"].append(each)
        elif found.rank is Rank.NOT_SHOWN and each.base_reached is None and each.concrete_started is None:
            parted["undrilled"].append(each)
        else:
            first.append(found)
    first.sort(key=_place)
    return Order(
        tuple(first),
        tuple(parted["settled"]),
        tuple(parted["undrilled"]),
        tuple(parted["side"]),
        tuple(parted["full"]),
    )


def _ranked(shaft: SummaryShaft) -> LookFirst | None:
    """Where a shaft ranks, or None when its best credit leaves all that the design counts on."""
    share = credited_share(shaft)
    if shaft.standing.standing is Standing.NOT_CREDITABLE:
        return LookFirst(shaft, Rank.NOT_CREDITABLE, share)
    if shaft.credit is None:
        return LookFirst(shaft, Rank.NOT_SHOWN, None)
    if shaft.credit.strength.credit > FULL and shaft.standing.standing is Standing.CLEAN:
        return None
    return LookFirst(shaft, Rank.LESS_CREDITED, share)


def _place(each: LookFirst) -> tuple[int, float, float, str]:
    """The least credited first, the unknown before those; of the same the one with most at stake."""
    stake = each.shaft.at_stake
    share = each.share if each.share is not None else (0.0 if each.rank is not Rank.NOT_SHOWN else 1.0)
    concreted = each.shaft.concrete_started is not None
    own = (1.0 - concreted) if each.rank is Rank.NOT_SHOWN else share
    return each.rank, own, -(stake.factored_base_mn if stake is not None else 0.0), each.shaft.id


def credited_share(shaft: SummaryShaft) -> float | None:
    """What the best credit at strength leaves of the factored resistance that the design counts on, 0 to 1.

    That is side and base, or the base alone where the design counts on it alone.  A base that is not
    creditable leaves nothing of its own.  None where the numbers or the credit are not shown.
    """
    stake = shaft.at_stake
    if stake is None:
        return None
    counted = counted_mn(shaft, stake)
    if shaft.standing.standing is Standing.NOT_CREDITABLE:
        return (counted - stake.factored_base_mn) / counted if counted > 0 else None
    if shaft.credit is None or counted <= 0:
        return None
    return (counted - stake.lost_mn) / counted


def counted_mn(shaft: SummaryShaft, stake: Stake) -> float:
    """The factored resistance that the design counts on [MN]."""
    base_only = shaft.plan is not None and shaft.plan.design_basis is DesignBasis.BASE
    return stake.factored_base_mn if base_only else stake.factored_total_mn


def settled(shaft: SummaryShaft) -> bool:
    """Whether the designer has decided, on all the evidence, and not above the estimate."""
    stated = shaft.stated
    if stated is None or not stated.saw_all:
        return False
    values = stated.line.values
    if values.decision is Decision.NO_CREDIT:
        return True
    if values.decision is Decision.REMEDY or shaft.credit is None:
        return False
    if values.decision is Decision.FULL_CREDIT:
        return shaft.credit.strength.credit > FULL
    return values.credit is not None and float(values.credit.si) <= shaft.credit.strength.credit
