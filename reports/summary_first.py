"""Which shafts' credit to look at or reduce first, with why, how, and how much is at stake."""

from __future__ import annotations

from typing import Any, Final

from reportlab.platypus import Flowable, Spacer

from fieldapp.criteria.finding import Standing
from fieldapp.units import rounded_down
from reports.fonts import BOLD, markup
from reports.quantities import Shown
from reports.sections import heading
from reports.style import BODY, CAPTION, CELL, CELL_STRONG, ruled_table, text_width, words
from reports.summary_cells import cell, head, marked_cell
from reports.summary_facts import SummaryFacts, SummaryShaft
from reports.summary_order import FULL, LookFirst, Rank, look_order
from reports.summary_table import standing_cells, weightiest, widths
from reports.summary_words import (
    NOT_SHOWN,
    credit_at,
    lost_words,
    stake_words,
    stated_words,
    why_no_credit,
)
from reports.worth_words import WorthWords, credit_text, listed

_HEAD: Final = ("shaft", "", "standing", "why, and how", "left of what the design counts on", "at stake")
_SHARES: Final = (0.10, 0.11, 0.44, 0.15, 0.20)
_SAID: Final = (
    "In this order: bases that cannot be counted; then the least share that the best credit leaves of the "
    "factored resistance which the design counts on (side and base, or the base alone); then bases whose "
    "credit is not shown, the ones with concrete in first. At stake: the factored base, and the length of "
    "socket that would replace it."
)
_NAMES: Final = 40


def look_first(facts: SummaryFacts, shown: Shown) -> list[Flowable]:
    """The table in order, then the shafts that are not in it and why."""
    parts = heading("Credit to look at or reduce first", 150)
    order = look_order(facts.shafts)
    say = WorthWords(facts.setup.units)
    if order.first:
        rows: list[list[Any]] = [head(*_HEAD)]
        rows += [_row(each, number, say) for number, each in enumerate(order.first, start=1)]
        width = text_width(facts.setup.units)
        table = [cell(_SAID, CAPTION), Spacer(1, 3), ruled_table(rows, widths(width, _SHARES))]
    else:
        table = [words("No shaft that was drilled to its base waits for a decision on its credit.", BODY)]
    for text, group in (
        ("Settled by the designer on all the evidence, not above the estimate", order.settled),
        ("Base not reached, so nothing is shown of it yet", order.not_drilled),
        ("The design counts on the side alone", order.side_only),
        (f"Clean, and the best credit at strength is over {FULL:g}", order.full),
    ):
        if group:
            parts.append(words(f"{text}: {_names(group)}.", BODY))
    return [*parts, Spacer(1, 3), *table]


def _names(group: tuple[SummaryShaft, ...]) -> str:
    names = [each.id for each in group]
    rest = len(names) - _NAMES
    return f"{', '.join(names[:_NAMES])} and {rest} more" if rest > 0 else listed(names)


def _row(each: LookFirst, number: int, say: WorthWords) -> list[Any]:
    shaft = each.shaft
    return [
        cell(f"{number}. {shaft.id}", CELL_STRONG),
        *standing_cells(shaft),
        marked_cell(f'{_why(each)}<br/><font name="{BOLD}">{markup(_how(each, say))}</font>', CELL),
        cell(_left(each)),
        cell(_stake(each, say)),
    ]


def _why(each: LookFirst) -> str:
    shaft, reason = each.shaft, weightiest(each.shaft)
    told = [f"{reason.outcome}: {reason.says}"] if reason is not None else []
    if each.rank is Rank.NOT_SHOWN:
        told.append(f"Credit {why_no_credit(shaft)}.".replace("..", "."))
    if shaft.credit is not None:
        service, strength = shaft.credit.service, shaft.credit.strength
        told.append(f"Credit at service {credit_at(service)}, at strength {credit_at(strength)}.")
    if shaft.stated is not None:
        told.append(f"Stated: {stated_words(shaft)}.")
    return markup(" ".join(told))


def _how(each: LookFirst, say: WorthWords) -> str:
    """What the designer can do; a proposal out of the estimate, never a decision."""
    shaft = each.shaft
    if each.rank is Rank.NOT_CREDITABLE:
        return "State no credit, or ask for a remedy."
    if shaft.concrete_started is None:
        return f"Hole open: {shaft.standing.next_step.says}."
    if each.rank is Rank.NOT_SHOWN:
        return "State no credit, or ask for what would show it."
    assert shaft.credit is not None
    strength = shaft.credit.strength
    low, best = credit_text(strength.lowest), credit_text(strength.credit)
    within = f"{low} to {best}" if low != best else best
    where = say.short(strength.displacement_m)
    if shaft.standing.standing is Standing.CLEAN:
        return f"Limits met; accept, or state a credit of {within} at {where}."
    return f"State a credit of {within} at {where}."


def _left(each: LookFirst) -> str:
    if each.share is None:
        return NOT_SHOWN
    left = f"{rounded_down(each.share * 100, 1):.1f} %"
    return f"{left}, the side alone" if each.rank is Rank.NOT_CREDITABLE else f"{left} with the best credit"


def _stake(each: LookFirst, say: WorthWords) -> str:
    stake = each.shaft.at_stake
    whole = stake_words(stake, say)
    if stake is None or each.rank is Rank.NOT_SHOWN:
        return whole
    if each.rank is Rank.NOT_CREDITABLE:
        return f"{whole}: all of it"
    return f"{whole}; of it taken away {lost_words(stake, say)}"
