"""The pages of a PDF as our papers have them, read in bounded memory: what each draws, and with what."""

from __future__ import annotations

import base64
import io
import zlib
from dataclasses import dataclass
from typing import Any, Final

from pyhanko.pdf_utils.misc import PdfError
from pyhanko.pdf_utils.reader import PdfFileReader

from fieldapp.identity.pdf_layout import entry, read_layout, unreadable

HOSTILE: Final = (
    PdfError,
    zlib.error,
    ArithmeticError,
    ValueError,
    KeyError,
    IndexError,
    TypeError,
    AttributeError,
    RecursionError,
)
LARGEST_BYTES: Final = 64 * 2**20
MOST_PAGES: Final = 2000
INHERITED: Final = ("/Resources", "/MediaBox", "/CropBox", "/Rotate")


@dataclass(frozen=True, slots=True)
class Page:
    """A page: its entries with those that it inherits, as the library reads them, and its annotations."""

    entries: dict[str, Any]
    marks: tuple[Any, ...]


def open_pages(pdf: bytes) -> tuple[Any, tuple[Page, ...]]:
    """The catalogue of a document and its pages in their order.

    Raises UnreadablePdf, or one of ``HOSTILE``, which the caller turns into it.
    """
    read_layout(pdf)
    root = PdfFileReader(io.BytesIO(pdf), strict=True).root
    return root, tuple(map(_page, _leaves(root["/Pages"])))


def unpacked(stream: Any, limit: int) -> bytes:
    """The content of a stream, packed as our papers pack one.

    Raises UnreadablePdf for another way, and for more than ``limit`` bytes, before they fill the memory.
    """
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


def _leaves(top: Any) -> list[tuple[Any, dict[str, Any]]]:
    waiting: list[tuple[Any, dict[str, Any]]] = [(top, {})]
    pages: list[tuple[Any, dict[str, Any]]] = []
    for _ in range(2 * MOST_PAGES):
        if not waiting:
            return pages
        node, above = waiting.pop()
        if "/Kids" in node:
            given = {**above, **{key: node.raw_get(key) for key in INHERITED if key in node}}
            waiting.extend(reversed([(each.get_object(), given) for each in node["/Kids"]]))
        else:
            pages.append((node, above))
    raise unreadable()


def _page(leaf: tuple[Any, dict[str, Any]]) -> Page:
    node, above = leaf
    own = {key: node.raw_get(key) for key in node if key not in {"/Parent", "/Annots"}}
    marks = tuple(each.get_object() for each in entry(node, "/Annots", ()))
    return Page({**above, **own}, marks)
