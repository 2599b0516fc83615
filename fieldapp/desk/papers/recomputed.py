"""What a paper says, held against its attached journal alone: recomputed and never trusted.

Three facts: that the paper states its findings as data, of this record and moment; that they are those which
the journal gives; that every page is what this program lays out from it.  Pages of another version cannot be
told from false ones here, so they are unknown and never right.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Final

from fieldapp.desk.papers.anew import Held, NotWorkedOut, pages_anew, stated_anew
from fieldapp.desk.papers.differences import Difference, differences
from fieldapp.desk.papers.enclosed import Enclosed
from fieldapp.desk.papers.record_fact import RecordFact, RecordFactName
from fieldapp.identity.errors import UnreadablePdf
from fieldapp.identity.pages_compared import PagesCompared, compare_pages
from fieldapp.identity.sign_request import FieldPlace
from fieldapp.identity.verification import Answer
from fieldapp.record.said import said, said_of
from fieldapp.record.said_lists import listed, sentences
from reports.facts import Report
from reports.layout import UNKNOWN, layout_version, worked_out_by

MOST_NAMED: Final = 8
LONGEST_LAYOUT: Final = 120
NOT_COMPARED: Final = said("What the paper says could not be compared with its attached journal.")


def from_its_journal(inside: Enclosed, pdf: bytes) -> tuple[RecordFact, ...]:
    """Hold what a paper says against its attached journal; empty where that cannot be read.

    Parameters
    ----------
    inside
        What is enclosed in the paper.
    pdf
        The whole file; its pages are read as they are when it is opened.
    """
    journal, printed = inside.journal, inside.printed
    if inside.printed_fact is not None:
        return (inside.printed_fact, *_not_compared())
    if journal is None:
        return ()
    if printed is None:
        return _without()
    held = Held(inside.digest, journal, printed)
    return (_of_this_record(held), _recomputed(held), _pages(held, pdf))


def _without() -> tuple[RecordFact, ...]:
    says = said("The paper does not state as data what it says; a paper with an attached journal does.")
    return (RecordFact(RecordFactName.PRINTED, Answer.NO, says), *_not_compared())


def _not_compared() -> tuple[RecordFact, ...]:
    return tuple(
        RecordFact(each, Answer.UNKNOWN, NOT_COMPARED)
        for each in (RecordFactName.RECOMPUTED, RecordFactName.PAGES)
    )


def _of_this_record(held: Held) -> RecordFact:
    name, journal, printed = RecordFactName.PRINTED, held.journal, held.printed
    stated = (
        (said("project"), printed.project, journal.project),
        (said("shaft"), printed.shaft, journal.shaft),
        (said("record digest"), printed.record_digest, journal.record_digest),
        (said("moment"), _utc(printed.moment), _utc(journal.as_of)),
    )
    for what, by_paper, by_journal in stated:
        if by_paper != by_journal:
            says = said(
                "The paper states the {what} {printed}, and its attached journal has {attached}.",
                what=what,
                printed=by_paper[:LONGEST_LAYOUT],
                attached=by_journal,
            )
            return RecordFact(name, Answer.NO, says)
    says = said("The paper states as data what it says, of the record and the moment of its journal.")
    return RecordFact(name, Answer.YES, says)


def _utc(at: datetime) -> str:
    try:
        return at.astimezone(UTC).isoformat()
    except OverflowError:  # a moment on the edge of the calendar
        return at.isoformat()


def _recomputed(held: Held) -> RecordFact:
    name = RecordFactName.RECOMPUTED
    try:
        found = differences(held.printed, stated_anew(held))
    except NotWorkedOut as problem:
        return RecordFact(name, Answer.UNKNOWN, said_of(problem))
    if not found:
        says = said(
            "Findings, standing, release and credits, worked out anew from the attached journal, are those "
            "that the paper states."
        )
        return RecordFact(name, Answer.YES, says)
    theirs, ours = held.printed.layout, layout_version()
    if worked_out_by(theirs) == worked_out_by(ours) and UNKNOWN not in worked_out_by(ours):
        return RecordFact(name, Answer.NO, sentences(_named(found)))
    other = said(
        "The paper is by {theirs}, and this is {ours}, whose rules or words may be others.",
        theirs=theirs[:LONGEST_LAYOUT],
        ours=ours,
    )
    return RecordFact(name, Answer.UNKNOWN, sentences((other, *_named(found))))


def _named(found: tuple[Difference, ...]) -> list[str]:
    says: list[str] = [
        said(
            "{what}: the paper states {printed}, its journal gives {anew}.",
            what=each.what,
            printed=each.printed,
            anew=each.anew,
        )
        for each in found[:MOST_NAMED]
    ]
    if len(found) > MOST_NAMED:
        says.append(said("Further differences: {count}.", count=len(found) - MOST_NAMED))
    return says


def _pages(held: Held, pdf: bytes) -> RecordFact:
    asked = (RecordFactName.PAGES, said("attached journal"))
    return pages_fact(asked, pdf, held.printed.layout, lambda: pages_anew(held))


def pages_fact(
    asked: tuple[RecordFactName, str], pdf: bytes, layout: str, lays_out: Callable[[], Report]
) -> RecordFact:
    """Whether every page of a paper is what is laid out anew, where it was by the same layout version.

    ``asked`` names the fact, and what the pages are laid out from; ``lays_out`` may raise NotWorkedOut.
    """
    (name, source), ours = asked, layout_version()
    if layout != ours or UNKNOWN in ours:
        says = said(
            "The pages were laid out by {theirs}, and this is {ours}: they cannot be laid out alike here.",
            theirs=layout[:LONGEST_LAYOUT],
            ours=ours,
        )
        return RecordFact(name, Answer.UNKNOWN, says)
    try:
        report = lays_out()
    except NotWorkedOut as problem:
        return RecordFact(name, Answer.UNKNOWN, said_of(problem))
    fields = tuple(FieldPlace(each.name, each.page_index, each.box_pt) for each in report.fields)
    try:
        found = compare_pages(pdf, report.pdf, fields)
    except UnreadablePdf:
        says = said("The pages cannot be read, or are not written as this program writes them.")
        return RecordFact(name, Answer.NO, says)
    if not found.same:
        return RecordFact(name, Answer.NO, sentences(_what_differs(found, source)))
    says = said(
        "All {count} pages are those that the {source} gives, laid out anew.",
        count=found.found,
        source=source,
    )
    return RecordFact(name, Answer.YES, says)


def _what_differs(found: PagesCompared, source: str) -> list[str]:
    says: list[str] = []
    if found.differing:
        says.append(
            said(
                "Laid out anew from the {source}, these pages are others: {pages}.",
                source=source,
                pages=listed(map(str, found.differing)),
            )
        )
    if found.found != found.expected:
        says.append(
            said(
                "The paper has {found} pages, and the {source} gives {expected}.",
                source=source,
                found=found.found,
                expected=found.expected,
            )
        )
    if found.strange:
        says.append(said("The file holds something that may be shown in place of its pages."))
    return says
