"""The answer of a verification: separate facts, each with its sentence, and a verdict made of them.

A fact is yes, no or unknown.  The verdict is rejected with one no, unknown with one unknown, valid else;
whoever decides reads the facts and not the verdict alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from fieldapp.record.said import said, sayable
from fieldapp.record.words import Role


class Answer(StrEnum):
    """Whether something that should hold does."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class FactName(StrEnum):
    """What is asked of a paper and of each of its signatures."""

    READABLE = "whole and readable"
    SIGNED = "signed"
    INTACT = "bytes intact"
    CANONICAL = "container written in the one way"
    LATER_CHANGES = "later changes allowed"
    WHOLE_FILE = "last signature covers the whole file"
    CERTIFIED = "certified, and the certification kept"
    FIELDS = "no other signature fields"
    EXPECTED = "expected signatures, in order"
    SIGNER_KNOWN = "signer known to the project"
    ROLE = "signed in a role the signer has"
    IN_TIME = "certificate good at the time"
    NOT_REVOKED = "not revoked before"
    TIME_ORDER = "times in order"
    TIMESTAMP = "timestamp good"
    DIGEST = "record digest as expected"
    FILE_DIGEST = "file as in the journal"


class Changes(StrEnum):
    """What was added to the file after a signature."""

    NONE = "none"
    FORM_FILLING = "form filling"
    OTHER = "other"


class Coverage(StrEnum):
    """How far a signature reaches."""

    WHOLE_FILE = "whole file"
    WHOLE_REVISION = "whole revision"
    PART = "part"


class Trust(StrEnum):
    """Who vouches for the signer."""

    ROSTER = sayable("pinned on the roster")
    AUTHORITY = sayable("signed by the project's authority")
    NOBODY = sayable("not known to the project")
    UNKNOWN = "unknown"


class Verdict(StrEnum):
    """What the facts come to."""

    VALID = "valid"
    UNKNOWN = "unknown"
    REJECTED = "rejected"


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing that was asked, of one field or of the whole paper, its answer, and the sentence for it."""

    name: FactName
    answer: Answer
    says: str
    field_name: str | None = None


@dataclass(frozen=True, slots=True)
class SignatureFacts:
    """What one signature says and what was found of it.

    ``signer`` and ``fingerprint`` are the certificate's, ``signed_at`` is the signer's claim, ``stamped_at``
    a trusted timestamp.  ``known_roles`` are those that certificate and roster both give.
    """

    field_name: str
    order: int
    signer: str | None
    fingerprint: str | None
    role: Role | None
    meaning: str
    record_digest: str | None
    signed_at: datetime | None
    stamped_at: datetime | None
    trust: Trust
    known_roles: tuple[Role, ...]
    coverage: Coverage
    later_changes: Changes
    facts: tuple[Fact, ...]
    time_says: str

    def answer(self, name: FactName) -> Answer:
        """The answer to one question about this signature; unknown when it could not be asked."""
        return next((each.answer for each in self.facts if each.name is name), Answer.UNKNOWN)


@dataclass(frozen=True, slots=True)
class Verification:
    """All facts of a paper: those of the whole, and each signature's in the order of signing."""

    facts: tuple[Fact, ...]
    signatures: tuple[SignatureFacts, ...] = ()

    @property
    def all_facts(self) -> tuple[Fact, ...]:
        """The facts of the paper, then those of each signature."""
        return (*self.facts, *(fact for each in self.signatures for fact in each.facts))

    @property
    def failed(self) -> tuple[Fact, ...]:
        """The facts with the answer no."""
        return tuple(each for each in self.all_facts if each.answer is Answer.NO)

    @property
    def open(self) -> tuple[Fact, ...]:
        """The facts with the answer unknown."""
        return tuple(each for each in self.all_facts if each.answer is Answer.UNKNOWN)

    @property
    def verdict(self) -> Verdict:
        """Rejected with one no, unknown with one unknown, valid else."""
        if self.failed:
            return Verdict.REJECTED
        return Verdict.UNKNOWN if self.open else Verdict.VALID

    @property
    def says(self) -> tuple[str, ...]:
        """A sentence for the verdict, then one for every fact, then one for the time of each signature."""
        times = tuple(each.time_says for each in self.signatures)
        return (VERDICT_SAYS[self.verdict], *(each.says for each in self.all_facts), *times)

    def answer(self, name: FactName) -> Answer:
        """The worst answer to one question, over the paper and its signatures; unknown when never asked."""
        found = {each.answer for each in self.all_facts if each.name is name}
        if Answer.NO in found:
            return Answer.NO
        return Answer.YES if found == {Answer.YES} else Answer.UNKNOWN


VERDICT_SAYS = {
    Verdict.VALID: said("This paper is valid: everything that was asked of it holds."),
    Verdict.UNKNOWN: said(
        "Nothing speaks against this paper, but not all could be verified; see what is unknown."
    ),
    Verdict.REJECTED: said("This paper is rejected; do not rely on it. See what does not hold."),
}
