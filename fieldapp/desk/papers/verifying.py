"""Verify a paper: its bytes and signatures by the project's policy, its attached journal by the record.

Separate facts, and a verdict made of them: rejected with one no, unknown with one unknown, valid else.
Without a project trust is unknown, never valid.  Nothing in a file makes this raise.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from fieldapp.desk.papers import facts, summary_checks
from fieldapp.desk.papers.enclosed import Enclosed, enclosed
from fieldapp.desk.papers.journal import PaperJournal
from fieldapp.desk.papers.policy import (
    policy_of,
    signatures_up_to,
    signed_further,
    signed_of,
    stamping,
    with_revoked,
)
from fieldapp.desk.papers.printed import PrintedFacts
from fieldapp.desk.papers.printed_summary import PrintedSummary
from fieldapp.desk.papers.recomputed import from_its_journal
from fieldapp.desk.papers.record_fact import RecordFact, RecordFactName
from fieldapp.desk.settings import read_settings
from fieldapp.desk.workplace import Workplace
from fieldapp.exchange.bounded import read_at_most
from fieldapp.identity.errors import UnreadablePdf
from fieldapp.identity.page_digests import digests_on_pages
from fieldapp.identity.pdf_layout import read_layout
from fieldapp.identity.policy import Policy
from fieldapp.identity.signing_order import MAY_BE_UNSIGNED, ORDERS
from fieldapp.identity.verification import VERDICT_SAYS, Answer, Fact, FactName, Verdict, Verification
from fieldapp.identity.verifying import verify_pdf
from fieldapp.record.entry import Entry
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.record.words import PaperKind
from fieldapp.store.problems import in_plain_words

LARGEST_FILE: Final = 256 * 2**20
A_PDF: Final = said("a PDF of at most {largest_file} MB", largest_file=LARGEST_FILE // 2**20)
PDF_OR_BUNDLE: Final = said(
    "a PDF of at most {largest_file} MB, or a bundle", largest_file=LARGEST_FILE // 2**20
)
BROKEN_RELEASE: Final = said(
    "The paper is what was signed, but the release that it shows holds no more. See the record."
)
UNSIGNED_COPY: Final = said(
    "This is an unsigned copy, which proves nothing by itself: nobody vouches for it. See what it is made of."
)
EARLIER_STATE: Final = said(
    "This is an earlier state of a paper that was signed further; take the later file."
)


@dataclass(frozen=True, slots=True)
class PaperVerdict:
    """Everything found of a paper.

    ``signed`` holds the facts of the file and of each signature, ``record`` those of the attached journal,
    the project's journal and the release.  ``kind`` is what the project's journal calls the paper, else what
    the paper calls itself; ``printed`` what it says of its record, None where it does not say so as data;
    ``summary`` the same of the summary of a project, which has no journal attached.
    """

    file_digest: str
    journal: PaperJournal | None
    signed: Verification
    record: tuple[RecordFact, ...]
    kind: PaperKind = PaperKind.SHAFT_LOG
    printed: PrintedFacts | None = None
    summary: PrintedSummary | None = None

    @property
    def against(self) -> tuple[Fact | RecordFact, ...]:
        """The facts that count and have the answer no."""
        return (*self.signed.failed, *self._counting(Answer.NO))

    @property
    def open(self) -> tuple[Fact | RecordFact, ...]:
        """The facts that count and have the answer unknown."""
        return (*self.signed.open, *self._counting(Answer.UNKNOWN))

    @property
    def verdict(self) -> Verdict:
        """Rejected with one no, unknown with one unknown, valid else."""
        if self.against:
            return Verdict.REJECTED
        return Verdict.UNKNOWN if self.open else Verdict.VALID

    @property
    def says(self) -> str:
        """The verdict in one sentence."""
        wrong = {each.name for each in self.against}
        if wrong == {RecordFactName.RELEASE}:
            return BROKEN_RELEASE
        if wrong and wrong <= {RecordFactName.LATEST, RecordFactName.RELEASE}:
            return EARLIER_STATE
        if wrong == {FactName.SIGNED}:
            return UNSIGNED_COPY
        return VERDICT_SAYS[self.verdict]

    def answer(self, name: RecordFactName) -> Answer:
        """The answer to one question about the record; unknown when it was not asked."""
        return next((each.answer for each in self.record if each.name is name), Answer.UNKNOWN)

    def _counting(self, answer: Answer) -> tuple[RecordFact, ...]:
        return tuple(each for each in self.record if each.counts and each.answer is answer)


def read_paper(path: Path, expected: str = A_PDF) -> bytes:
    """The bytes of a PDF file.

    Raises StoreProblem, or Impossible for a file that is none: it says what was ``expected``.
    """
    with in_plain_words(path):
        pdf = read_at_most(path, LARGEST_FILE)
    if pdf is None or not pdf.startswith(b"%PDF-"):
        raise Impossible("file", str(path), expected)
    return pdf


def verify_file(pdf: bytes, place: Workplace | None = None, at: datetime | None = None) -> PaperVerdict:
    """Hold a paper against the record of a project, or look at it alone.

    Parameters
    ----------
    pdf
        The whole file.
    place
        The project; without it nobody vouches for a signer, and the verdict is at most unknown.
    at
        The moment of verification, with its offset; the present one of the project when it is None.

    Raises
    ------
    Impossible
        The settings of this device, or a journal without a set-up, cannot be used.
    """
    settings = read_settings()
    attached = enclosed(pdf)
    journal, printed = attached.journal, attached.printed
    digest = hashlib.sha256(pdf).hexdigest()
    if place is None:
        policy = Policy(
            at=at,
            fields=ORDERS[attached.kind].fields,
            timestamp_authorities=stamping(settings),
            may_be_unsigned=attached.kind in MAY_BE_UNSIGNED,
        )
        signed = verify_pdf(pdf, policy)
        record = (attached.fact, *from_its_journal(attached, pdf), *_alone(attached, pdf, signed, at))
        return PaperVerdict(digest, journal, signed, record, attached.kind, printed, attached.summary)
    moment = at or place.now()
    signatures, known_bytes = _named(place, pdf, digest)
    kind = signed_of(signatures[-1]).paper if signatures else attached.kind
    signed = _held_against(pdf, place, policy_of(place.record(), signatures, settings, moment, kind))
    found = [attached.fact, *from_its_journal(attached, pdf)]
    if signatures or signed.signatures or signed.answer(FactName.READABLE) is not Answer.YES:
        found += [
            facts.in_journal(attached, signed, signatures, known_bytes),
            facts.latest(signed_further(place.record(), digest)),
            facts.roles_then(place.record(), signatures),
        ]
    if attached.summary is not None:
        found.append(summary_checks.stated_digests(attached.summary, signed, _pages(pdf)))
        found += summary_checks.with_project(attached.summary, pdf, place)
    elif journal is not None:
        theirs = facts.in_project(place, journal)
        found += [facts.same_digest(journal, signed, _pages(pdf)), theirs]
        named = next((each.answer for each in found if each.name is RecordFactName.IN_JOURNAL), Answer.NO)
        if theirs.answer is named is Answer.YES:  # a false paper shows no release at all
            found.append(facts.release_now(place, journal, moment))
    return PaperVerdict(digest, journal, signed, tuple(found), kind, printed, attached.summary)


def _held_against(pdf: bytes, place: Workplace, policy: Policy) -> Verification:
    found = verify_pdf(pdf, policy)
    narrower = with_revoked(place.record(), policy, found)
    return found if narrower is None else verify_pdf(pdf, narrower)


def _alone(
    attached: Enclosed, pdf: bytes, signed: Verification, at: datetime | None
) -> tuple[RecordFact, ...]:
    """What can be said of the record without a project."""
    summary, journal = attached.summary, attached.journal
    if summary is not None:
        stated = summary_checks.stated_digests(summary, signed, _pages(pdf))
        return (stated, *summary_checks.alone(summary))
    if journal is None:
        return ()
    return (
        facts.same_digest(journal, signed, _pages(pdf)),
        facts.own_roster(journal, signed),
        facts.release_alone(journal, at),
    )


def _pages(pdf: bytes) -> tuple[frozenset[str], ...] | None:
    try:
        return digests_on_pages(pdf)
    except UnreadablePdf:
        return None


def _named(place: Workplace, pdf: bytes, digest: str) -> tuple[tuple[Entry, ...], int | None]:
    """The journalled signatures of a file; with a length, those of its beginning of that many bytes."""
    found = signatures_up_to(place.record(), digest)
    if found:
        return found, None
    try:
        ends = read_layout(pdf).ends
    except UnreadablePdf:
        return (), None
    for end in reversed(ends):
        for cut in (end, end + 1, end + 2):
            begun = signatures_up_to(place.record(), hashlib.sha256(pdf[:cut]).hexdigest())
            if begun and cut < len(pdf):
                return begun, cut
    return (), None
