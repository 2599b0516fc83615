"""What is asked of a bundle, each with its answer and sentence, and the verdict made of them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Final

from fieldapp.identity.verification import Answer, Verdict
from fieldapp.record.said import said


class BundleFactName(StrEnum):
    """What is asked of a bundle."""

    WHOLE = "bundle whole, every file that of its hash"
    DEVICE = "signature of the sending device"
    PERSON = "signature of the person who sent it"
    CHAINS = "chains whole, from their first entries to their heads"
    DEVICE_KEY = "sending device's key in its chain"
    STRETCHES = "signatures of the chains"
    ROLES = "everybody made what he may make"
    FILES = "files that entries name"
    VOUCHED = "sender vouched for by more than the bundle itself"
    FITS = "entries fit the project's journal"


@dataclass(frozen=True, slots=True)
class BundleFact:
    """One thing asked of a bundle, its answer, and the sentence for it."""

    name: BundleFactName
    answer: Answer
    says: str


@dataclass(frozen=True, slots=True)
class PaperInside:
    """A signed paper inside a bundle: its name there, what it is of, and what was found of it."""

    name: str
    paper: str
    shaft: str
    verdict: Verdict
    says: str


@dataclass(frozen=True, slots=True)
class BundleInside:
    """What a bundle says that it is, and how much is in it.

    Attributes
    ----------
    shafts
        Those that its entries are about.
    chosen
        Those whose pictures and papers it carries; None for all.
    missing
        Pictures and papers that its entries name and that did not come along.
    new_entries
        Those that the project in hand has not; None without a project, or where they do not fit it.
    """

    project: str
    device: str
    person: str
    made_at: datetime
    chosen: tuple[str, ...] | None
    shafts: tuple[str, ...] = ()
    entries: int = 0
    pictures: int = 0
    papers: int = 0
    missing: int = 0
    new_entries: int | None = None


@dataclass(frozen=True, slots=True)
class BundleVerdict:
    """Everything found of a bundle.

    The papers inside are judged one by one and are not part of the verdict: a bundle is right to carry an
    earlier state of a paper, or one that somebody made falsely.
    """

    file: str
    facts: tuple[BundleFact, ...]
    inside: BundleInside | None = None
    papers: tuple[PaperInside, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """Rejected with one no, unknown with one unknown, valid else."""
        answers = {each.answer for each in self.facts}
        if Answer.NO in answers:
            return Verdict.REJECTED
        return Verdict.UNKNOWN if Answer.UNKNOWN in answers else Verdict.VALID

    @property
    def says(self) -> str:
        """The verdict in one sentence."""
        return BUNDLE_SAYS[self.verdict]

    def answer(self, name: BundleFactName) -> Answer:
        """The answer to one question; unknown when it was not asked."""
        return next((each.answer for each in self.facts if each.name is name), Answer.UNKNOWN)


BUNDLE_SAYS: Final = {
    Verdict.VALID: said("This bundle is valid: everything that was asked of it holds."),
    Verdict.UNKNOWN: said(
        "Nothing speaks against this bundle, but not all could be verified; see what is unknown."
    ),
    Verdict.REJECTED: said("This bundle is rejected; do not take it over. See what does not hold."),
}
