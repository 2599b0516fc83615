"""The parts of a release sheet beside its findings: which shaft, standing, release, clocks, cautions."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any, Final

from reportlab.platypus import Flowable, Paragraph, Table

from fieldapp.criteria.finding import Finding, Outcome, ReleaseStatus
from fieldapp.criteria.phrasing import clock
from fieldapp.criteria.release_limit import VALID_FOR, ReleaseLimit
from fieldapp.units import show_feet_inch
from reports.facts import FieldPlace, ShaftFacts
from reports.fonts import BOLD, markup
from reports.identification import UNKNOWN
from reports.marks import RELEASE_MARK, STANDING_MARK, mark
from reports.quantities import Shown
from reports.signatures import BOX_PT, SAYS, Fields, boxes
from reports.style import (
    BODY,
    CAPTION,
    CELL,
    HAIR,
    INK,
    SMALL,
    STANDING,
    STRONG,
    SUBHEADING,
    Passage,
    sized,
    words,
)

_COLUMNS: Final = 5
_GAP_PT: Final = 14.0
_MOST_REASONS: Final = 3
_MOST_CLOCKS: Final = 7
_LONG_LETTERS: Final = 330
_ENDLESS_LETTERS: Final = 1500
_HEAD: Final = 2  # the caption and the word
_HALF: Final = 0.5
_LESS: Final = 0.37
_AGAINST: Final = (Outcome.NOT_MET, Outcome.NOT_SHOWN)
_PLAIN: Final[list[tuple[Any, ...]]] = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 1),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
]

_GUTTERS: Final = [*_PLAIN, ("RIGHTPADDING", (0, 0), (1, 0), _GAP_PT)]


def which_shaft(facts: ShaftFacts, shown: Shown, width: float) -> Table:
    """Project, place, size, depth and the moment that the sheet is of, in one row."""
    plan, reached = facts.record.scheduled, facts.record.base_reached
    depth = reached.values.drilled_depth if reached else None
    planned = ""
    if plan is not None:
        in_us = shown.unit_of("length")[0] == "ft"
        planned = show_feet_inch(plan.plan_depth_m) if in_us else f"{float(plan.plan_depth_m):.2f} m"
    pairs = (
        ("project", f"{facts.setup.name} ({facts.project_id})"),
        ("location", plan.location if plan else UNKNOWN),
        ("diameter, method, fluid", _plan_text(facts, shown)),
        ("drilled, planned depth", f"{shown.reading(depth) if depth else UNKNOWN}, {planned or UNKNOWN}"),
        ("as of", shown.zoned(facts.at)),
    )
    row = [[words(name, CAPTION), words(value, sized(BODY, 8.5))] for name, value in pairs]
    style = [*_PLAIN, ("RIGHTPADDING", (0, 0), (-1, -1), 8)]
    style += [("LINEABOVE", (0, 0), (-1, 0), 1.2, INK), ("LINEBELOW", (0, 0), (-1, -1), 0.5, HAIR)]
    return Table([row], colWidths=[width / _COLUMNS] * _COLUMNS, style=style, splitInRow=1)


def _plan_text(facts: ShaftFacts, shown: Shown) -> str:
    plan = facts.record.scheduled
    if plan is None:
        return "not scheduled: " + UNKNOWN
    fluid = plan.fluid if plan.fluid != "none" else "no fluid"
    return f"{shown.reading(plan.diameter)}, {plan.method}, {fluid}"


def stands_and_release(facts: ShaftFacts, shown: Shown, width: float) -> list[Flowable]:
    """The standing and the release side by side; one below the other where they have very much to say."""
    stands, release = _stands(facts), _release(facts, shown)
    marks = (STANDING_MARK[facts.standing.standing], RELEASE_MARK[facts.release.status])
    letters = sum(len(each.text) for each in release if isinstance(each, Paragraph))
    if letters > _ENDLESS_LETTERS:
        heads = [_marked(marks[1], release[:_HEAD], width), *release[_HEAD:]]
        return [_marked(marks[0], stands, width), *heads]
    share = _LESS if letters > _LONG_LETTERS else _HALF
    left, right = (width - _GAP_PT) * share, (width - _GAP_PT) * (1 - share)
    cells = [_marked(marks[0], stands, left), _marked(marks[1], release, right)]
    return [Table([cells], colWidths=[left + _GAP_PT, right], style=_PLAIN)]


def _marked(state: str, texts: list[Flowable], width: float) -> Table:
    """A sign with its words beside it."""
    return Table([[mark(state, 26), texts]], colWidths=[36, width - 36], style=_PLAIN, splitInRow=1)


def _stands(facts: ShaftFacts) -> list[Flowable]:
    standing = facts.standing
    parts: list[Flowable] = [
        words("base standing", CAPTION),
        words(str(standing.standing).capitalize(), sized(STANDING, 20)),
    ]
    first = standing.reasons[:_MOST_REASONS]
    parts += [_reason(each) for each in first]
    more = sum(each.outcome in _AGAINST for each in facts.findings) - len(first)
    if more > 0:
        parts.append(words(f"and {more} more: all of them stand below", CAPTION))
    parts.append(_labelled("next", standing.next_step.says))
    return parts


def _reason(found: Finding) -> Table:
    style = [*_PLAIN, ("TOPPADDING", (0, 0), (0, 0), 2)]
    return Table([[mark(found.outcome, 7.5), words(found.says, CELL)]], colWidths=[12, None], style=style)


def _release(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    release = facts.release
    word = "Not decided" if release.status is ReleaseStatus.NONE else str(release.status).capitalize()
    parts: list[Flowable] = [words("release of concrete", CAPTION), words(word, sized(STANDING, 20))]
    return [*parts, *_release_said(facts, shown)]


def _release_said(facts: ShaftFacts, shown: Shown) -> Iterator[Flowable]:
    release = facts.release
    if release.status is ReleaseStatus.NONE:
        yield words("The resident engineer has not decided on this record.", CELL)
    if release.author:
        yield _labelled("by", f"{release.author}{_decided_at(facts, shown)}")
    if release.until is not None:
        yield from _until(facts, release.until, shown)
    if release.reason:
        yield _labelled("why", release.reason)
    if release.status in {ReleaseStatus.RELEASED, ReleaseStatus.LAPSED}:
        yield from _on_what(facts)
    elif release.remarks:
        yield words(" ".join(release.remarks), CELL)
    started = facts.record.concrete_started_at
    if started is not None:
        yield _labelled("concrete started", shown.zoned(started))


def _until(facts: ShaftFacts, until: datetime, shown: Shown) -> Iterator[Flowable]:
    """Until when and why then; a reason for its lapse that says the same is not said twice."""
    lapsed = facts.release.status is ReleaseStatus.LAPSED
    yield _labelled("was to hold until" if lapsed else "until", shown.zoned(until))
    if facts.until_why:
        if facts.until_why not in facts.release.reason:
            yield _labelled("why then", facts.until_why)
    elif facts.released is not None:
        yield _labelled("why then", "as the resident engineer decided; no limit ends it sooner")


def _on_what(facts: ShaftFacts) -> Iterator[Flowable]:
    """Conditions, what the release passes over, and the reason given where that does not say it."""
    remarks = " ".join(facts.release.remarks)
    given = facts.released.values.reason.strip() if facts.released is not None else ""
    yield _labelled("conditions", facts.release.conditions or "none")
    yield _labelled("passes over", remarks or "nothing")
    if given and given.rstrip(".") not in remarks:
        yield _labelled("reason given", given)


def _decided_at(facts: ShaftFacts, shown: Shown) -> str:
    line = next((each for each in facts.record.lines if each.id == facts.release.entry), None)
    return f", {shown.zoned(line.observed_at)}" if line is not None else ""


def _labelled(label: str, text: str) -> Paragraph:
    return Passage(f'<font name="{BOLD}">{markup(label)}:</font> {markup(text)}', CELL)


def clocks(facts: ShaftFacts, shown: Shown, width: float) -> list[Flowable]:
    """Until when what is shown stays shown, the soonest first; nothing runs once concrete has started."""
    parts: list[Flowable] = [words("Until when this stays shown", SUBHEADING)]
    started = facts.record.concrete_started_at
    if started is not None:
        return [*parts, words(f"Concrete started {shown.zoned(started)}: no clock runs any more.", CELL)]
    if not facts.clocks:
        says = "The acceptance set names no time after which what is shown now would not be."
        return [*parts, words(says, CELL)]
    told, left = facts.clocks[:_MOST_CLOCKS], facts.clocks[_MOST_CLOCKS:]
    moment = sized(STRONG, 7.2)
    rows: list[list[Any]] = [[words(clock(shown.local(each.until)), moment), _clock(each)] for each in told]
    style = [*_PLAIN, ("LINEBELOW", (0, 0), (-1, -1), 0.5, HAIR)]
    parts.append(Table(rows, colWidths=[70, width - 70], style=style))
    if left:
        last = clock(shown.local(left[-1].until))
        parts.append(words(f"and {len(left)} later, the last at {last}", SMALL))
    return parts


def _clock(limit: ReleaseLimit) -> Paragraph:
    text = limit.requirement
    if text == VALID_FOR.replace("_", " "):
        text = "a release made now would end"
    elif limit.watched:
        text += ", unless read again"
    return words(text, sized(CELL, 7.2))


def foot(facts: ShaftFacts, shown: Shown, places: list[FieldPlace], fields: Fields, width: float) -> Table:
    """The clocks, the cautions that matter at the hole, and the box of the one who signs, side by side."""
    side = (width - BOX_PT[0] - 2 * _GAP_PT) / 2
    warned: list[Flowable] = [words("Cautions", SUBHEADING)]
    warned += [words(each, sized(CELL, 7.2)) for each in facts.cautions]
    signed: list[Flowable] = [words("Signature", SUBHEADING), words(SAYS, SMALL), *boxes(places, fields)]
    row = [clocks(facts, shown, side), warned, signed]
    return Table([row], colWidths=[side + _GAP_PT, side + _GAP_PT, BOX_PT[0]], style=_GUTTERS)
