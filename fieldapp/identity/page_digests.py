"""The digests that the pages of a PDF show as text, read in bounded memory.

It reads what the pages draw, not what an eye sees: a digest drawn in white counts.  The first signature
certifies the pages; this only tells whether the pages and the signatures speak of the same record.
"""

from __future__ import annotations

import base64
import io
import re
import zlib
from typing import Any

from pyhanko.pdf_utils.misc import PdfError
from pyhanko.pdf_utils.reader import PdfFileReader

from fieldapp.identity.pdf_layout import entry, read_layout, unreadable

HOSTILE = (
    PdfError,
    zlib.error,
    ValueError,
    KeyError,
    IndexError,
    TypeError,
    AttributeError,
    RecursionError,
)
LARGEST_BYTES = 64 * 2**20
MOST_PAGES = 2000
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
    read_layout(pdf)
    try:
        root = PdfFileReader(io.BytesIO(pdf), strict=True).root
        left, found = largest_bytes, []
        for page in _pages(root["/Pages"]):
            drawn = _unpacked(page["/Contents"], left)
            left -= len(drawn)
            found.append(frozenset(each.decode("ascii") for each in SHOWN.findall(drawn)))
    except HOSTILE:
        raise unreadable() from None
    return tuple(found)


def _pages(top: Any) -> list[Any]:
    waiting: list[Any] = [top]
    pages: list[Any] = []
    for _ in range(2 * MOST_PAGES):
        if not waiting:
            return pages
        node = waiting.pop()
        if "/Kids" in node:
            waiting.extend(reversed([each.get_object() for each in node["/Kids"]]))
        else:
            pages.append(node)
    raise unreadable()


def _unpacked(stream: Any, limit: int) -> bytes:
    filters = entry(stream, "/Filter", None)
    names = [] if filters is None else [filters] if isinstance(filters, str) else list(filters)
    data: bytes = stream.encoded_data
    if names and names[0] == "/ASCII85Decode":
        data = base64.a85decode(data.strip().removesuffix(b"~>"))
        del names[0]
    if names == ["/FlateDecode"]:
        data = zlib.decompressobj().decompress(data, limit + 1)
    elif names:
        raise unreadable()
    if len(data) > limit:
        raise unreadable()
    return data
