"""What came into the record since a paper was made, as a person counts it."""

from __future__ import annotations

from collections import Counter

from fieldapp.desk.papers.journal import PaperJournal
from fieldapp.desk.papers.printed_summary import PrintedSummary
from fieldapp.record.said import said
from fieldapp.record.said_lists import first_few, listed, word
from fieldapp.record.shaft import ProjectRecord, ShaftRecord


def since_said(journal: PaperJournal | None, shaft: ShaftRecord) -> str:
    """``2 entries since: sounding round, fluid test``; empty where the paper's journal cannot tell."""
    if journal is None:
        return ""
    known = {each.hash for each in journal.entries}
    new = [each.kind for each in shaft.entries if each.hash not in known]
    kinds = listed(
        word(kind) if count == 1 else said("{kind} ({count})", kind=word(kind), count=count)
        for kind, count in Counter(new).items()
    )
    if len(new) == 1:
        return said("1 entry since: {kinds}.", kinds=kinds)
    return said("{count} entries since: {kinds}.", count=len(new), kinds=kinds) if new else ""


def shafts_since_said(summary: PrintedSummary, record: ProjectRecord) -> str:
    """Which shafts have another record than a summary shows; empty where it is the project's own entries."""
    then = {each.shaft: each.record_digest for each in summary.shafts}
    other = [name for name, each in record.shafts.items() if then.get(name) != each.digest]
    return said("The record is another for: {names}.", names=first_few(other)) if other else ""
