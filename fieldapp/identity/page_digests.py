"""The digests that the pages of a PDF show as text, read in bounded memory.

It reads what the pages draw, not what an eye sees: a digest drawn in white counts.  The first signature
certifies the pages; this only tells whether the pages and the signatures speak of the same record.
"""

from __future__ import annotations

import re

from fieldapp.identity.pdf_layout import unreadable
from fieldapp.identity.pdf_pages import HOSTILE, LARGEST_BYTES, open_pages, unpacked

SHOWN = re.compile(rb"\(([0-9a-f]{64})\)\s*Tj")


def digests_on_pages(pdf: bytes, largest_bytes: int = LARGEST_BYTES) -> tuple[frozenset[str], ...]:
    """The 64-digit digests that each page shows, in the order of the pages.

    Parameters
    ----------
    pdf
        The whole file; whether anybody signed it is `verify_pdf`'s question.
    largest_bytes
        How much all pages together may unpack to.

    Raises
    ------
    UnreadablePdf
        The bytes are not a whole PDF, or its pages are not written as ours are.
    """
    try:
        _, pages = open_pages(pdf)
        left, found = largest_bytes, []
        for page in pages:
            drawn = unpacked(page.entries["/Contents"].get_object(), left)
            left -= len(drawn)
            found.append(frozenset(each.decode("ascii") for each in SHOWN.findall(drawn)))
    except HOSTILE:
        raise unreadable() from None
    return tuple(found)
