"""What the summary of a project says, held against the project: worked out anew and never trusted.

A summary has no journal attached.  With the project the journal is taken as it was, up to the chain heads on
the summary, and what it states and every page are made of that anew.  Without the project all of this is
unknown: its pages and its data are whatever whoever made it wanted.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields
from pathlib import Path
from typing import Final

from fieldapp.desk.given_entries import GivenEntries
from fieldapp.desk.papers.anew import NotWorkedOut, guarded
from fieldapp.desk.papers.attached import StandingClock
from fieldapp.desk.papers.facts import not_everywhere
from fieldapp.desk.papers.printed_summary import PrintedSummary, printed_summary
from fieldapp.desk.papers.recomputed import LONGEST_LAYOUT, MOST_NAMED, pages_fact
from fieldapp.desk.papers.record_fact import RecordFact, RecordFactName
from fieldapp.desk.papers.summary import summary_facts
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.verification import Answer, Verification
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.entry import Entry
from fieldapp.record.said import said, said_of
from fieldapp.record.said_lists import listed, sentences, word
from reports.layout import UNKNOWN, layout_version, worked_out_by
from reports.summary_facts import SummaryFacts

_NAME = RecordFactName
ALONE: Final = said("The summary has no journal attached: what its pages say the project alone can tell.")


def stated_digests(
    printed: PrintedSummary, found: Verification, pages: tuple[frozenset[str], ...] | None
) -> RecordFact:
    """Whether pages and signatures name the digests that the summary states as data."""
    name, digest = _NAME.STATED_DIGESTS, printed.journal_digest
    lead = said("The summary states the journal {digest}", digest=digest)
    wrong = not_everywhere(lead, digest, found, pages)
    if wrong:
        return RecordFact(name, Answer.NO, wrong)
    shown = frozenset[str]().union(*pages or ())
    lacking = [each.shaft for each in printed.shafts if each.record_digest not in shown]
    if lacking:
        says = said("No page shows the record digest stated of {names}.", names=_some(lacking))
        return RecordFact(name, Answer.NO, says)
    says = said(
        "Every page and signature names the journal {digest}; the pages show the record digest that is "
        "stated of each of {count} shafts.",
        digest=digest,
        count=len(printed.shafts),
    )
    return RecordFact(name, Answer.YES, says)


def alone(printed: PrintedSummary) -> tuple[RecordFact, ...]:
    """What stays unknown of a summary without its project."""
    still = said(
        "Whether the records of its {count} shafts are still those the project alone can tell.",
        count=len(printed.shafts),
    )
    return (
        RecordFact(_NAME.OF_PROJECT, Answer.UNKNOWN, ALONE),
        RecordFact(_NAME.STILL_SO, Answer.UNKNOWN, still),
    )


def with_project(printed: PrintedSummary, pdf: bytes, place: Workplace) -> tuple[RecordFact, ...]:
    """A summary held against the project's journal: as it was, what it gave, its pages, and what changed."""
    wrong = _not_of_project(printed, place)
    if wrong:
        return (RecordFact(_NAME.OF_PROJECT, Answer.NO, wrong),)
    says = said(
        "The project's journal, up to the chain heads on the summary, gives the digest that it states."
    )
    of_project = RecordFact(_NAME.OF_PROJECT, Answer.YES, says)
    try:
        facts = guarded(lambda: _facts_anew(printed, place))
    except NotWorkedOut as problem:
        stated, pages = (
            RecordFact(each, Answer.UNKNOWN, said_of(problem))
            for each in (_NAME.AS_PROJECT, _NAME.PAGES_AS_PROJECT)
        )
    else:
        stated, pages = _as_project(printed, facts), _pages(printed, pdf, facts)
    return (of_project, stated, pages, still_so(printed, place))


def _seen(printed: PrintedSummary, entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """The entries that were there when the summary was made."""
    reach, until = {each.device: each.seq for each in printed.heads}, printed.recorded_until
    return tuple(
        each
        for each in entries
        if each.seq <= reach.get(each.device, 0) and (until is None or each.draft.recorded_at <= until)
    )


def _not_of_project(printed: PrintedSummary, place: Workplace) -> str:
    if printed.project != place.project_id:
        return said(
            "The summary is of the project {project}, not of {project_id}.",
            project=printed.project[:LONGEST_LAYOUT],
            project_id=place.project_id,
        )
    known = {each.hash for each in place.at_places((each.device, each.seq) for each in printed.heads)}
    for head in printed.heads:
        if head.hash not in known:
            return said(
                "The chain of {device} does not go through entry {seq} as the summary states. If entries "
                "have not arrived here, take them over.",
                device=head.device[:LONGEST_LAYOUT],
                seq=head.seq,
            )
    given = GivenEntries(_seen(printed, place.entries())).digest(PaperSigned.KIND)
    if given != printed.journal_digest:
        return said(
            "The project's journal, up to the chain heads on the summary, gives the digest {given}, and the "
            "summary states {stated}.",
            given=given,
            stated=printed.journal_digest,
        )
    return ""


def _facts_anew(printed: PrintedSummary, place: Workplace) -> SummaryFacts:
    clock = StandingClock(printed.printed_at)
    held = GivenEntries(_seen(printed, place.entries()))
    then = Workplace(Path(), held, clock, "", printed.recorded_until)
    return summary_facts(then, printed.moment, printed.printed_by)


def _as_project(printed: PrintedSummary, facts: SummaryFacts) -> RecordFact:
    name, anew = _NAME.AS_PROJECT, printed_summary(facts, printed.recorded_until)
    differing = _differing(printed, anew)
    if not differing:
        says = said(
            "Digests, standings, releases and credits of all {count} shafts, worked out anew from the "
            "project's journal, are those that the summary states.",
            count=len(printed.shafts),
        )
        return RecordFact(name, Answer.YES, says)
    theirs, ours = worked_out_by(printed.layout), worked_out_by(layout_version())
    says = said("Worked out anew from the project's journal, these differ: {names}.", names=_some(differing))
    if theirs == ours and UNKNOWN not in ours:
        return RecordFact(name, Answer.NO, says)
    other = said(
        "The paper is by {theirs}, and this is {ours}, whose rules or words may be others.",
        theirs=printed.layout[:LONGEST_LAYOUT],
        ours=layout_version(),
    )
    return RecordFact(name, Answer.UNKNOWN, sentences((other, says)))


def _differing(printed: PrintedSummary, anew: PrintedSummary) -> list[str]:
    """What of which shaft is another; one that is on one side alone is named whole."""
    theirs, ours = ({each.shaft: each for each in one.shafts} for one in (printed, anew))
    found: list[str] = []
    for shaft in dict.fromkeys((*ours, *theirs)):
        one, other = theirs.get(shaft), ours.get(shaft)
        if one is None or other is None:
            found.append(word(shaft[:LONGEST_LAYOUT]))
            continue
        found += [
            said("{part} of {shaft}", part=word(each.name.replace("_", " ")), shaft=shaft)
            for each in fields(other)
            if getattr(one, each.name) != getattr(other, each.name)
        ]
    if not found and printed.shafts != anew.shafts:
        found.append(said("the order of the shafts"))
    return found


def _pages(printed: PrintedSummary, pdf: bytes, facts: SummaryFacts) -> RecordFact:
    from reports.project_summary import project_summary  # noqa: PLC0415 - paper is slow to import

    asked = (_NAME.PAGES_AS_PROJECT, said("project's journal"))
    return pages_fact(asked, pdf, printed.layout, lambda: guarded(lambda: project_summary(facts)))


def still_so(printed: PrintedSummary, place: Workplace) -> RecordFact:
    """Whether each shaft's record is still the one of the summary; that it grew makes no summary false."""
    name, shafts = _NAME.STILL_SO, place.record().shafts
    then = {each.shaft: each.record_digest for each in printed.shafts}
    changed = [each for each, digest in then.items() if each not in shafts or shafts[each].digest != digest]
    added = [each for each in shafts if each not in then]
    if not changed and not added:
        says = said(
            "The records of all {count} shafts are still those of the summary.", count=len(printed.shafts)
        )
        return RecordFact(name, Answer.YES, says)
    told = []
    if changed:
        told.append(said("Since then the record has changed of {names}.", names=_some(changed)))
    if added:
        told.append(said("Since then these shafts were added: {names}.", names=_some(added)))
    return RecordFact(name, Answer.NO, sentences(told), counts=False)


def _some(names: list[str]) -> str:
    """The first of some names, and how many more there are."""
    shown = names[:MOST_NAMED]
    if len(names) > MOST_NAMED:
        shown.append(said("{count} more", count=len(names) - MOST_NAMED))
    return listed(shown)
