"""Revisions added to a PDF without a time of day or random bits: the same file in, the same file out.

They are written before anybody signs.  The second half of the document's identifier is drawn from what the
revision is made of, so that different files still have different identifiers.
"""

from __future__ import annotations

import hashlib
import io

from pyhanko.pdf_utils.generic import ArrayObject, ByteStringObject
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.misc import PdfError

from fieldapp.identity.pdf_layout import read_layout, unreadable

ID_BYTES = 16


class RepeatableWriter(IncrementalPdfFileWriter):  # pyHanko stamps the time of day in a method of its own
    """Writes one more revision and leaves title, dates and producer of the document as they were."""

    def _update_meta(self) -> None:
        """The document's own date stays: a revision before signing is part of its making."""


def repeatable_writer(pdf: bytes, made_of: bytes) -> RepeatableWriter:
    """A writer whose output depends on the document and on ``made_of`` alone.  Raises UnreadablePdf."""
    if read_layout(pdf).trailing:
        raise unreadable()
    try:
        writer = RepeatableWriter(io.BytesIO(pdf), strict=True)
    except (PdfError, ValueError):
        raise unreadable() from None
    first, _ = writer.document_id
    second = hashlib.sha256(hashlib.sha256(pdf).digest() + made_of).digest()[:ID_BYTES]
    writer._document_id = ArrayObject([ByteStringObject(first), ByteStringObject(second)])  # no other way in
    return writer


def written(writer: RepeatableWriter) -> bytes:
    """The document with the revision that was made."""
    out = io.BytesIO()
    writer.write(out)  # type: ignore[no-untyped-call]  # pyHanko leaves this one untyped
    return out.getvalue()
