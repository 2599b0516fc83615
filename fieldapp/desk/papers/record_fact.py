"""One thing asked of a paper and the record, with its answer and sentence."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from fieldapp.identity.verification import Answer


class RecordFactName(StrEnum):
    """What is asked of a paper and the record."""

    ATTACHED = "attached journal whole"
    PRINTED = "printed facts there, of this record and moment"
    RECOMPUTED = "printed facts as the attached journal gives them"
    PAGES = "pages as the attached journal gives them"
    SAME_DIGEST = "attached journal gives the digest of pages and signatures"
    IN_PROJECT = "attached journal is the project's, unchanged"
    IN_JOURNAL = "file as in the project's journal"
    LATEST = "not an earlier state of the paper"
    ROLE_THEN = "roles on the roster when signing"
    OWN_ROSTER = "signers vouched for by more than the paper itself"
    RELEASE = "release still holds"
    STATED_DIGESTS = "pages and signatures name the digests that the summary states"
    OF_PROJECT = "summary made of the project's journal"
    AS_PROJECT = "summary states what the project's journal gives"
    PAGES_AS_PROJECT = "pages as the project's journal gives them"
    STILL_SO = "records of the shafts still those of the summary"


FROM_ITS_JOURNAL: Final = frozenset({RecordFactName.PRINTED, RecordFactName.RECOMPUTED, RecordFactName.PAGES})
"""What the attached journal alone tells of the paper around it."""
OF_A_SUMMARY: Final = frozenset(
    {
        RecordFactName.STATED_DIGESTS,
        RecordFactName.OF_PROJECT,
        RecordFactName.AS_PROJECT,
        RecordFactName.PAGES_AS_PROJECT,
        RecordFactName.STILL_SO,
    }
)
"""What is asked of the summary of a project alone, which has no journal attached."""


@dataclass(frozen=True, slots=True)
class RecordFact:
    """One thing asked of the record, its answer and sentence.

    One that does not count leaves the verdict as it is: a paper that shows no release is not false for that.
    """

    name: RecordFactName
    answer: Answer
    says: str
    counts: bool = True
