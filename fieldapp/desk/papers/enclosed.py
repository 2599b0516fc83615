"""What is enclosed in a paper: the journal of its shaft, and what its pages say of it; read with care.

A shaft log of the first versions has no printed facts and is a shaft log all the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fieldapp.desk.papers.journal import (
    FILE_NAME,
    NewerJournal,
    PaperJournal,
    UnreadableJournal,
    read_paper_journal,
)
from fieldapp.desk.papers.printed import (
    PRINTED_NAME,
    NewerPrinted,
    PrintedFacts,
    UnreadablePrinted,
    read_printed,
)
from fieldapp.desk.papers.record_fact import RecordFact, RecordFactName
from fieldapp.identity.attachments import AttachedFile, attached_files
from fieldapp.identity.errors import UnreadableAttachment, UnreadablePdf
from fieldapp.identity.verification import Answer
from fieldapp.record.entry import Entry
from fieldapp.record.said import said
from fieldapp.record.words import PaperKind


@dataclass(frozen=True, slots=True)
class Enclosed:
    """The files inside a paper, None where they are not there or not whole, and what was found of them."""

    journal: PaperJournal | None
    printed: PrintedFacts | None
    fact: RecordFact

    @property
    def kind(self) -> PaperKind:
        """What the paper calls itself."""
        return self.printed.paper if self.printed is not None else PaperKind.SHAFT_LOG


def enclosed(pdf: bytes, known: Mapping[str, Entry]) -> Enclosed:
    """Take out of a PDF what our papers enclose; ``known`` are entries by hash that were opened already."""
    try:
        files = attached_files(pdf)
    except (UnreadablePdf, UnreadableAttachment) as problem:
        return Enclosed(None, None, _fact(Answer.NO, str(problem)))
    printed, wrong = _printed(files)
    journal, fact = _journal(files, known)
    return Enclosed(journal, printed, wrong if wrong is not None and fact.answer is Answer.YES else fact)


def _printed(files: tuple[AttachedFile, ...]) -> tuple[PrintedFacts | None, RecordFact | None]:
    found = [each.data for each in files if each.name == PRINTED_NAME]
    if not found:
        return None, None
    try:
        return read_printed(found[0]), None
    except NewerPrinted as problem:
        says = said(
            "What the paper says of its record cannot be read by this program: {problem}.", problem=problem
        )
        return None, _fact(Answer.UNKNOWN, says)
    except UnreadablePrinted as problem:
        says = said("What the paper says of its record is not whole: {problem}.", problem=problem)
        return None, _fact(Answer.NO, says)


def _journal(
    files: tuple[AttachedFile, ...], known: Mapping[str, Entry]
) -> tuple[PaperJournal | None, RecordFact]:
    found = [each.data for each in files if each.name == FILE_NAME]
    if len(found) != 1:
        says = said(
            "The paper holds {count} attached journals; a paper of a shaft holds one.", count=len(found)
        )
        return None, _fact(Answer.NO, says)
    try:
        journal = read_paper_journal(found[0], known)
    except NewerJournal as problem:
        says = said("The attached journal cannot be read by this program: {problem}.", problem=problem)
        return None, _fact(Answer.UNKNOWN, says)
    except UnreadableJournal as problem:
        says = said("The attached journal is not whole: {problem}.", problem=problem)
        return None, _fact(Answer.NO, says)
    says = said(
        "The attached journal of shaft {shaft} is whole: {count} entries, every hash "
        "right, as of {as_of:%Y-%m-%d %H:%M %z}.",
        shaft=journal.shaft,
        count=len(journal.everything),
        as_of=journal.as_of,
    )
    return journal, _fact(Answer.YES, says)


def _fact(answer: Answer, says: str) -> RecordFact:
    return RecordFact(RecordFactName.ATTACHED, answer, says)
