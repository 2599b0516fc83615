"""What is at stake in a base: forces in both unit systems, and the socket that would replace it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Final

from reportlab.platypus import Flowable, Spacer

from fieldapp.base.factored import AgainstDemand
from fieldapp.base.stake import Stake
from fieldapp.record.words import UnitSystem
from fieldapp.units import show
from reports.style import CAPTION, CELL, CELL_STRONG, ruled_table, text_width, words
from reports.worth_facts import WorthFacts
from reports.worth_words import WorthWords

_HEAD: Final = ("", "kip", "MN", "share of the shaft", "socket that would replace it")
_SHARES: Final = (0.34, 0.12, 0.12, 0.16, 0.26)
_NOTHING: Final = "–"


def stake_table(worth: WorthFacts, units: UnitSystem) -> list[Flowable]:
    """Nominal and factored base, what the credit takes away, side and demand; nothing without them."""
    if worth.stake is None:
        return []
    rows: list[list[Any]] = [[words(each, CAPTION) for each in _HEAD]]
    for name, load_mn, share, length_m in _rows(worth, worth.stake):
        told = f"{share:.0%}".replace("%", " %") if share is not None else _NOTHING
        cells = (_number(load_mn, "kip", 0), _number(load_mn, "MN", 2), told, _socket(length_m))
        rows.append([words(name, CELL_STRONG), *(words(each, CELL) for each in cells)])
    width = text_width(units)
    return [ruled_table(rows, [width * share for share in _SHARES]), Spacer(1, 2)]


def _rows(worth: WorthFacts, stake: Stake) -> Iterator[tuple[str, float, float | None, float | None]]:
    yield "nominal base", stake.nominal_base_mn, stake.share_of_nominal, stake.replaces_nominal_m
    yield "factored base", stake.factored_base_mn, stake.share_of_factored, stake.replaces_factored_m
    yield "of it taken away by the best credit at strength", stake.lost_mn, None, stake.replaces_lost_m
    yield "nominal side", stake.nominal_side_mn, None, None
    yield "factored side", stake.factored_side_mn, None, None
    yield "factored shaft with the best credit", stake.factored_credited_mn, None, None
    if worth.demand is not None and worth.demand.demand_mn > 0:
        yield "factored demand", worth.demand.demand_mn, None, None


def _number(load_mn: float, unit: str, digits: int) -> str:
    return show(load_mn, unit, digits).removesuffix(unit).strip()


def _socket(length_m: float | None) -> str:
    if length_m is None:
        return _NOTHING
    if math.isinf(length_m):
        return "no length of it"
    return f"{show(length_m, 'ft', 1)} ({show(length_m, 'm', 2)})"


def stake_said(worth: WorthFacts, units: UnitSystem) -> list[str]:
    """What is at stake and whether the demand is reached, in sentences."""
    say = WorthWords(units)
    said = [] if worth.stake is None else [_stake(worth.stake, say)]
    if worth.demand is not None and worth.demand.demand_mn > 0:
        said.append(_demand(worth.demand, worth, say))
    return said


def _stake(stake: Stake, say: WorthWords) -> str:
    text = (
        f"At stake: a factored base of {say.load(stake.factored_base_mn)}, "
        f"{stake.share_of_factored:.0%} of the factored shaft".replace("%", " %")
        + "; "
    )
    if math.isinf(stake.replaces_factored_m):
        return text + "no length of socket would replace it."
    text += f"{say.long(stake.replaces_factored_m)} more of socket would replace it. "
    text += (
        f"At the strength displacement the best credit takes {say.load(stake.lost_mn)} of it away, as much "
    )
    return text + f"as {say.long(stake.replaces_lost_m)} of socket. Resistance factors {stake.edition}."


def _demand(demand: AgainstDemand, worth: WorthFacts, say: WorthWords) -> str:
    asked = f"The factored demand of {say.load(demand.demand_mn)}"
    if demand.from_head_m is not None:
        return f"{asked} is reached as built from {say.short(demand.from_head_m)} at the head."
    end_m = float(worth.heads.as_built.head_m[-1]) if worth.heads is not None else 0.0
    clean = bool((demand.clean_mn >= demand.demand_mn).any())
    other = "; a clean base would reach it" if clean else ", nor would a clean base reach it"
    return f"{asked} is not reached as built up to {say.short(end_m)} at the head{other}."
