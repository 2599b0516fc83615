"""What was cleaned again and why: passes after a round, what it broke, what the next round shows."""

from __future__ import annotations

from typing import Any, Final

from reportlab.platypus import Flowable, Spacer

from reports.quantities import Shown
from reports.sections import heading, stacked
from reports.style import BODY, CAPTION, CELL_STRONG, ruled_table, text_width, words
from reports.summary_cells import cell, head
from reports.summary_facts import Recleaned, RoundSeen, SummaryFacts, SummaryShaft
from reports.summary_words import NOT_SHOWN, round_words, thickness_words

_HEAD: Final = ("shaft", "cleaned again", "why", "before", "what it brought")
_SHARES: Final = (0.09, 0.20, 0.27, 0.20, 0.24)
_SAID: Final = (
    "Passes over the base that came after a round of soundings, up to the next round. Why: what that round "
    "broke, or left open, by the limits that hold now, on the record as it stood then."
)
_MET: Final = "the round met every limit on the base; the record does not say why"


def recleaned_part(facts: SummaryFacts, shown: Shown) -> list[Flowable]:
    """A row for each time that a base was cleaned again."""
    parts = heading("Cleaned again, and why", 110)
    found = [(shaft, each) for shaft in facts.shafts for each in shaft.recleaned]
    if not found:
        return [*parts, words("No cleanout pass after a round of soundings is in the record.", BODY)]
    rows: list[list[Any]] = [head(*_HEAD)]
    rows += [_row(shaft, each, shown) for shaft, each in found]
    width = text_width(facts.setup.units)
    table = ruled_table(rows, [width * share for share in _SHARES])
    return [*parts, words(_count(facts), BODY), cell(_SAID, CAPTION), Spacer(1, 3), table]


def _count(facts: SummaryFacts) -> str:
    found = [each for shaft in facts.shafts for each in shaft.recleaned]
    shafts = sum(bool(shaft.recleaned) for shaft in facts.shafts)
    failed = sum(bool(each.before.broken) for each in found)
    silent = sum(each.after is None or each.after.mean_m is None for each in found)
    return (
        f"Cleaned again after a round: {len(found)}, on {shafts} of {len(facts.shafts)} shafts. The round "
        f"had broken a limit: {failed}. What it brought is not shown: {silent}."
    )


def _row(shaft: SummaryShaft, each: Recleaned, shown: Shown) -> list[Any]:
    return [
        cell(shaft.id, CELL_STRONG),
        cell("; ".join(each.passes)),
        cell(_why(each.before)),
        stacked(cell(f"round {each.before.number}", CAPTION), cell(round_words(each.before, shown))),
        _brought(each, shown),
    ]


def _why(before: RoundSeen) -> str:
    told = [f"not met: {text}" for text in before.broken] + [f"not shown: {text}" for text in before.open]
    return " ".join(told) or before.stale or _MET


def _brought(each: Recleaned, shown: Shown) -> Any:
    if each.after is None:
        return cell(f"{NOT_SHOWN}: the base was not sounded again")
    return stacked(
        cell(f"round {each.after.number}: {_change(each.before, each.after, shown)}", CAPTION),
        cell(round_words(each.after, shown)),
    )


def _change(before: RoundSeen, after: RoundSeen, shown: Shown) -> str:
    if before.mean_m is None or after.mean_m is None:
        return f"change of the mean {NOT_SHOWN}"
    change = after.mean_m - before.mean_m
    if change == 0:
        return "mean unchanged"
    return f"mean {'+' if change > 0 else '-'}{thickness_words(abs(change), shown)}"
