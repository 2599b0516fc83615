"""What a signature needs to be asked for: the place of its field, and the request itself.

Both are plain data, hold nothing secret, and load no signing library.  They refuse a field without a size,
a time without an offset, a signature without a meaning, a digest that is not whole.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime

from fieldapp.identity.drawn import Drawing, check_drawing
from fieldapp.identity.errors import FieldProblem, UnfitText
from fieldapp.identity.people import SignerIdentity
from fieldapp.identity.reasons import SignedReason

DIGEST = re.compile(r"[0-9a-f]{64}")
DIGEST_SHOWN = 16


@dataclass(frozen=True, slots=True)
class FieldPlace:
    """A signature field to be: its name, its page (from 0), its box.

    ``box_pt`` is left, bottom, right, top in points from the lower left corner of the page.  Signing a field
    that ``closes`` the document ends it: no other field can be filled after that one.
    """

    name: str
    page_index: int
    box_pt: tuple[float, float, float, float]
    closes: bool = False

    def __post_init__(self) -> None:
        left, bottom, right, top = self.box_pt
        if left >= right or bottom >= top:
            raise FieldProblem(f"The box of the signature field {self.name!r} has no size.")
        if not self.name or "." in self.name:
            raise FieldProblem(f"A signature field cannot be called {self.name!r}: use a name without dots.")


@dataclass(frozen=True, slots=True)
class SignRequest:
    """What is to be signed, by whom, and what it means; it holds nothing secret.

    ``meaning`` is what both the file and the paper say ("Inspector: recorded as seen").
    ``record_digest`` is the SHA-256 of the record that the document shows, 64 hex digits; the file carries
    it whole under the signature, the paper shows 16.  ``lines`` are shown below.  The first signature of a
    document has ``certify``.  ``drawn`` holds the strokes of a signature by hand, in a unit square.
    """

    field_name: str
    signer: SignerIdentity
    meaning: str
    signed_at: datetime
    record_digest: str
    location: str = ""
    certify: bool = False
    lines: tuple[str, ...] = ()
    drawn: Drawing = ()

    def __post_init__(self) -> None:
        if self.signed_at.utcoffset() is None:
            raise UnfitText("The time of a signature needs an offset from UTC.")
        if not self.meaning.strip():
            raise UnfitText("A signature must say what it means, for example 'Inspector: recorded as seen'.")
        if not DIGEST.fullmatch(self.record_digest):
            raise UnfitText("The digest of the record must be 64 lower-case hex digits.")
        check_drawing(self.drawn)

    @property
    def reason(self) -> SignedReason:
        """What the file says under the signature: meaning, role and the whole digest."""
        return SignedReason(self.meaning, self.signer.role, self.record_digest)

    @property
    def shown(self) -> tuple[str, ...]:
        """The lines of the visible signature, before they are fitted to the box."""
        time = self.signed_at.isoformat(sep=" ", timespec="seconds")
        return (
            self.signer.name,
            self.signer.role.value.capitalize(),
            self.meaning,
            f"{time[:19]} UTC{time[19:]}",
            f"Record {self.record_digest[:DIGEST_SHOWN]}",
            *self.lines,
        )
