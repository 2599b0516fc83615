"""A signature on a paper as the journal keeps it, without the paper having been signed."""

from __future__ import annotations

import hashlib

from fieldapp.record.attesting import PaperSigned
from fieldapp.record.words import PaperKind, Role

ZEROS = "0" * 64


def inspectors_signature(content: bytes, fingerprint: str = ZEROS) -> PaperSigned:
    """What the journal says of an inspector's signature on the log of P1-1 whose bytes are ``content``."""
    return PaperSigned(
        paper=PaperKind.SHAFT_LOG,
        about="P1-1",
        file_name="p1-1.pdf",
        file_digest=hashlib.sha256(content).hexdigest(),
        record_digest=ZEROS,
        field="Inspector",
        role=Role.INSPECTOR,
        fingerprint=fingerprint,
    )
