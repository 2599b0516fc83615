"""The base standing in large letters with its reasons, the release, then every finding held against it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph, Spacer, Table

from fieldapp.criteria.finding import Finding, Outcome, ReleaseState, ReleaseStatus, Work
from reports.facts import ShaftFacts
from reports.fonts import BOLD, markup
from reports.marks import RELEASE_MARK, STANDING_MARK, MarkedWord, StateMark
from reports.quantities import Shown
from reports.sections import heading, stacked
from reports.style import (
    BODY,
    CAPTION,
    CELL,
    CELL_STRONG,
    SMALL,
    STANDING,
    STRONG,
    Passage,
    ruled_table,
    text_width,
    words,
)

ORDER: Final = (Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.MET)
_SHARES: Final = (0.12, 0.15, 0.2, 0.13, 0.13, 0.27)
_NOTHING: Final = "–"
_ROOM_PT: Final = 150.0
_PLAIN: Final = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 4),
    ("TOPPADDING", (0, 0), (-1, -1), 2),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
]


def standing_block(facts: ShaftFacts, shown: Shown, means: str = "") -> list[Flowable]:
    """The standing with its shape and word, the reasons in order of weight, the next step, the release.

    ``means`` says below the word what the standing means, for a reader who does not meet it every day.
    """
    width = text_width(facts.setup.units)
    standing = facts.standing
    word = words(str(standing.standing).capitalize(), STANDING)
    parts = heading("Base standing", 150)
    parts.append(_beside(StateMark(STANDING_MARK[standing.standing], 28), word, width, 38))
    parts += [words(means, BODY), Spacer(1, 3)] if means else []
    parts += [_beside(StateMark(each.outcome, 9), words(each.says, BODY), width) for each in standing.reasons]
    parts += [Spacer(1, 3), _beside(StateMark("due", 9), _labelled("next", standing.next_step.says), width)]
    shape = StateMark(RELEASE_MARK[facts.release.status], 9)
    parts.append(_beside(shape, _labelled("release of concrete", release_text(facts.release, shown)), width))
    return parts


def release_text(release: ReleaseState, shown: Shown) -> str:
    """The decision on concrete in one sentence or a few, with its time, conditions and reason."""
    if release.status is ReleaseStatus.NONE:
        return "none in the record. The resident engineer has not decided."
    parts = [str(release.status)]
    if release.until is not None:
        ended = {ReleaseStatus.RELEASED: "until", ReleaseStatus.LAPSED: "and was to hold until"}
        parts.append(f"{ended.get(release.status, 'until')} {shown.zoned(release.until)}")
    if release.author:
        parts.append(f"by {release.author}")
    text = " ".join(parts) + "."
    text += f" Reason: {release.reason.rstrip('.')}." if release.reason else ""
    text += f" Conditions: {release.conditions.rstrip('.')}." if release.conditions else ""
    return " ".join([text, *release.remarks])


def findings_table(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    """All findings: not met, not shown, met; what the acceptance set does not ask follows in one line."""
    parts = heading("Findings", _ROOM_PT)
    asked = [each for outcome in ORDER for each in facts.findings if each.outcome is outcome]
    if not asked:
        parts.append(words("No requirement was held against this record; nothing is shown to be met.", BODY))
    else:
        width = text_width(facts.setup.units)
        names = ("outcome", "requirement", "measured", "limit", "where and when", "source")
        rows: list[list[Any]] = [[words(name, CAPTION) for name in names]]
        rows += [_row(each, shown) for each in asked]
        parts += [words(_count(asked), STRONG), Spacer(1, 3)]
        parts.append(ruled_table(rows, [width * share for share in _SHARES]))
    left = [each.requirement for each in facts.findings if each.outcome is Outcome.NOT_ASKED]
    if left:
        parts += [Spacer(1, 4), words(f"Not asked by this acceptance set: {', '.join(left)}.", CELL)]
    return parts


def _row(found: Finding, shown: Shown) -> list[Any]:
    when = words(shown.moment(found.when), CELL) if found.when else None
    where = words(found.where, CELL) if found.where else None
    return [
        MarkedWord(found.outcome),
        words(found.requirement, CELL_STRONG),
        _measured(found),
        words(found.limit or no_limit(found), CELL),
        stacked(where, when),
        words(found.source or _NOTHING, SMALL),
    ]


def _measured(found: Finding) -> list[Paragraph]:
    """What was measured; where nothing was, or it is not enough, the sentence of the finding."""
    unknown = found.outcome is Outcome.NOT_SHOWN
    value = found.measured or ("not shown" if unknown else "")
    says = found.says if unknown or not found.measured else ""
    return stacked(
        words(value, CELL) if value else None, words(says, CAPTION if value else CELL) if says else None
    )


def no_limit(found: Finding) -> str:
    """What stands in place of a limit: that it is not entered, or a dash."""
    return "not entered" if found.work is Work.ENTER_LIMIT else _NOTHING


def _count(asked: Iterable[Finding]) -> str:
    everything = list(asked)
    counts = [(sum(each.outcome is outcome for each in everything), outcome) for outcome in ORDER]
    return f"{len(everything)} asked: " + ", ".join(f"{count} {outcome}" for count, outcome in counts)


def _beside(shape: Flowable, text: Paragraph, width: float, column: float = 16) -> Table:
    style = [*_PLAIN, ("TOPPADDING", (0, 0), (0, 0), 3)]
    return Table([[shape, text]], colWidths=[column, width - column], style=style, splitInRow=1)


def _labelled(label: str, text: str, style: ParagraphStyle = BODY) -> Paragraph:
    return Passage(f'<font name="{BOLD}">{markup(label)}:</font> {markup(text)}', style)
