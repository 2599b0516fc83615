"""All shafts of the project, one row each: standing, what is against it, credit, decisions, digest."""

from __future__ import annotations

from typing import Any, Final

from reportlab.platypus import Flowable, Spacer

from fieldapp.criteria.finding import Finding, Outcome, Standing
from reports.fonts import BOLD, MONO, markup
from reports.marks import STANDING_MARK, StateMark
from reports.quantities import Shown
from reports.sections import heading
from reports.style import BODY, CAPTION, CELL, CELL_STRONG, Passage, ruled_table, text_width, words
from reports.summary_cells import cell, head, marked_cell
from reports.summary_facts import SummaryFacts, SummaryShaft
from reports.summary_words import concrete_words, credit_at, release_words, stated_words, why_no_credit
from reports.worth_words import WorthWords

_HEAD: Final = (
    "shaft, record",
    "",
    "base standing",
    "against it",
    "base credit low–best–high",
    "concrete",
    "designer",
)
_SHARES: Final = (0.14, 0.12, 0.29, 0.18, 0.14, 0.13)
_DIGEST_LETTERS: Final = 12
MARK_PT: Final = 15.0
"""Width of the column that holds the shape of a state."""
_SAID: Final = (
    "Credits are estimates for the engineer to accept, rounded down, each at its base displacement. Not met "
    "and not shown count the findings; the weightiest reason follows. Under each shaft stand the first "
    f"{_DIGEST_LETTERS} letters of the digest of its record."
)


def shafts_table(facts: SummaryFacts, shown: Shown) -> list[Flowable]:
    """The table; its head row is repeated on every page."""
    parts = heading("All shafts", 120)
    if not facts.shafts:
        return [*parts, words("The record has no shaft.", BODY)]
    say = WorthWords(facts.setup.units)
    rows: list[list[Any]] = [head(*_HEAD)]
    rows += [_row(each, shown, say) for each in facts.shafts]
    width = text_width(facts.setup.units)
    return [
        *parts,
        cell(_SAID, CAPTION),
        Spacer(1, 3),
        ruled_table(rows, widths(width, _SHARES)),
    ]


def widths(width: float, shares: tuple[float, ...]) -> list[float]:
    """Widths of columns [pt] out of shares, with a narrow one for the shape after the first."""
    wide = [(width - MARK_PT) * share for share in shares]
    return [wide[0], MARK_PT, *wide[1:]]


def _row(shaft: SummaryShaft, shown: Shown, say: WorthWords) -> list[Any]:
    return [
        _name(shaft),
        *standing_cells(shaft),
        _against(shaft),
        cell(_credit(shaft, say)),
        [cell(concrete_words(shaft, shown)), cell(release_words(shaft, shown))],
        cell(stated_words(shaft)),
    ]


def _name(shaft: SummaryShaft) -> Passage:
    planned = f"{shaft.plan.purpose}" if shaft.plan is not None and shaft.plan.purpose != "production" else ""
    if shaft.plan is None:
        planned = "not scheduled"
    return marked_cell(
        f'<font name="{BOLD}">{markup(shaft.id)}</font><br/>{f"{markup(planned)}<br/>" if planned else ""}'
        f'<font name="{MONO}" size="6.5">{shaft.digest[:_DIGEST_LETTERS]}</font>',
        CELL,
    )


def standing_cells(shaft: SummaryShaft) -> list[Any]:
    """The standing as shape and word, each a cell."""
    standing = shaft.standing.standing
    return [StateMark(STANDING_MARK[standing]), cell(str(standing), CELL_STRONG)]


def _against(shaft: SummaryShaft) -> Any:
    not_met, not_shown = shaft.counts[Outcome.NOT_MET], shaft.counts[Outcome.NOT_SHOWN]
    counted = f"{not_met} not met, {not_shown} not shown"
    reason = weightiest(shaft)
    if reason is None:
        return cell(f"{counted} of {sum(shaft.counts.values())} asked")
    text = f'<font name="{BOLD}">{markup(counted)}</font><br/>{markup(f"{reason.outcome}: {reason.says}")}'
    return marked_cell(text, CELL)


def weightiest(shaft: SummaryShaft) -> Finding | None:
    """The reason that weighs most; what excludes the base comes before all."""
    reasons = shaft.standing.reasons
    if shaft.standing.standing is Standing.NOT_CREDITABLE:
        return next((each for each in reasons if each.excludes_base), reasons[0] if reasons else None)
    return reasons[0] if reasons else None


def _credit(shaft: SummaryShaft, say: WorthWords) -> str:
    credit = shaft.credit
    if credit is None:
        return why_no_credit(shaft)
    pairs = ((say.short(at.displacement_m), credit_at(at)) for at in (credit.service, credit.strength))
    (service, at_service), (strength, at_strength) = pairs
    return f"service, {service}:\n{at_service}\nstrength, {strength}:\n{at_strength}"
