"""What is enclosed in a paper: the journal of its shaft, and what its pages say of it; read with care."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

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
from fieldapp.desk.papers.printed_summary import PrintedSummary, read_summary, tells_of_summary
from fieldapp.desk.papers.record_fact import RecordFact, RecordFactName
from fieldapp.identity.attachments import AttachedFile, attached_files
from fieldapp.identity.errors import UnreadableAttachment, UnreadablePdf
from fieldapp.identity.verification import Answer
from fieldapp.record.entry import Entry
from fieldapp.record.said import said, sayable
from fieldapp.record.words import PaperKind

NEWER: Final = sayable("What the paper says of its record cannot be read by this program: {problem}.")
NOT_WHOLE: Final = sayable("What the paper says of its record is not whole: {problem}.")


@dataclass(frozen=True, slots=True)
class Enclosed:
    """The files inside a paper, None where they are not there or not whole, and what was found of them.

    ``printed_fact`` says why there are no printed facts, None where they are there or were never asked for;
    ``digest`` (SHA-256, hex) names the content of both files.  ``summary`` is what the summary of a project
    states; such a paper has no journal attached, and ``is_summary`` also where that cannot be read.
    """

    journal: PaperJournal | None
    printed: PrintedFacts | None
    fact: RecordFact
    printed_fact: RecordFact | None = None
    digest: str = ""
    summary: PrintedSummary | None = None
    is_summary: bool = False

    @property
    def kind(self) -> PaperKind:
        """What the paper calls itself."""
        if self.is_summary:
            return PaperKind.PROJECT_SUMMARY
        return self.printed.paper if self.printed is not None else PaperKind.SHAFT_LOG


def enclosed(pdf: bytes, known: Mapping[str, Entry] | None = None) -> Enclosed:
    """Take out of a PDF what our papers enclose; ``known`` are entries by hash that were opened already."""
    try:
        files = attached_files(pdf)
    except (UnreadablePdf, UnreadableAttachment) as problem:
        return Enclosed(None, None, _fact(Answer.NO, str(problem)))
    if [each.name for each in files] == [PRINTED_NAME] and tells_of_summary(files[0].data):
        summary, fact = _summary(files[0].data)
        return Enclosed(None, None, fact, None, _digest(files), summary, is_summary=True)
    printed, wrong = _printed(files)
    journal, fact = _journal(files, known or {})
    return Enclosed(journal, printed, fact, wrong, _digest(files))


def _summary(data: bytes) -> tuple[PrintedSummary | None, RecordFact]:
    name = RecordFactName.PRINTED
    try:
        summary = read_summary(data)
    except NewerPrinted as problem:
        return None, RecordFact(name, Answer.UNKNOWN, said(NEWER, problem=problem))
    except UnreadablePrinted as problem:
        return None, RecordFact(name, Answer.NO, said(NOT_WHOLE, problem=problem))
    says = said("The summary states as data what it says, with the digests of journal and records.")
    return summary, RecordFact(name, Answer.YES, says)


def _digest(files: tuple[AttachedFile, ...]) -> str:
    held = [hashlib.sha256(each.name.encode() + b"\0" + each.data).digest() for each in files]
    return hashlib.sha256(b"".join(held)).hexdigest()


def _printed(files: tuple[AttachedFile, ...]) -> tuple[PrintedFacts | None, RecordFact | None]:
    name = RecordFactName.PRINTED
    found = [each.data for each in files if each.name == PRINTED_NAME]
    if not found:
        return None, None
    if len(found) > 1:
        says = said(
            "The paper states {count} times what it says as data, and has to do so once.", count=len(found)
        )
        return None, RecordFact(name, Answer.NO, says)
    try:
        return read_printed(found[0]), None
    except NewerPrinted as problem:
        return None, RecordFact(name, Answer.UNKNOWN, said(NEWER, problem=problem))
    except UnreadablePrinted as problem:
        return None, RecordFact(name, Answer.NO, said(NOT_WHOLE, problem=problem))


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
