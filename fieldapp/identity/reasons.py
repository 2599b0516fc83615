"""The reason of a signature: what it means, as what the person signed, and the digest of the record.

It stands in the signature dictionary, so it is under the signature, and every PDF viewer shows it: who
has only the file can compare the whole digest with the pages.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from fieldapp.record.words import Role

WRITTEN = re.compile(
    r"(?P<meaning>.+) \(signed as (?P<role>[a-z ]+), record SHA-256 (?P<digest>[0-9a-f]{64})\)", re.DOTALL
)


@dataclass(frozen=True, slots=True)
class SignedReason:
    """Meaning, role and record digest (SHA-256, 64 hex digits) of one signature."""

    meaning: str
    role: Role
    record_digest: str

    @property
    def text(self) -> str:
        """As it is written into the file."""
        return f"{self.meaning} (signed as {self.role.value}, record SHA-256 {self.record_digest})"


def read_reason(text: str) -> SignedReason | None:
    """What a reason says, or None when it was not written here."""
    found = WRITTEN.fullmatch(text)
    if found is None or found["role"] not in list(Role):
        return None
    return SignedReason(found["meaning"], Role(found["role"]), found["digest"])
