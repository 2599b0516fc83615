"""Where the revisions of a PDF begin and end, read from its cross-reference tables and nothing else.

A Basenote paper keeps plain tables: no compressed object or table streams, in which a file can hide
objects or blow up when it is opened.  Such a file is refused here, before any library unpacks it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from fieldapp.identity.errors import UnreadablePdf
from fieldapp.record.said import said

HEADER = re.compile(rb"%PDF-[12]\.\d")
POINTER = re.compile(rb"startxref\s+(\d{1,12})\s+%%EOF")
TRAILER = re.compile(rb"trailer\s*<<(.*?)>>\s*startxref\s+(\d{1,12})\s+%%EOF", re.DOTALL)
EARLIER = re.compile(rb"/Prev\s+(\d{1,12})\b")
COMMENT = re.compile(rb"%[^\r\n]*")
HIDING = re.compile(rb"[#(]|/XRefStm|stream")  # escapes and strings could hide a pointer from this reading
MOST_REVISIONS = 64


@dataclass(frozen=True, slots=True)
class Layout:
    """The revisions of a file, oldest first, each given by the offset just after its ``%%EOF``."""

    ends: tuple[int, ...]
    size: int

    @property
    def trailing(self) -> int:
        """How many bytes follow the last revision and the one line end after it."""
        return max(0, self.size - self.ends[-1] - 2)

    def revision_ending_at(self, offset: int) -> int | None:
        """Which revision (from 0) ends at this offset, up to one line end, or None."""
        for index, end in enumerate(self.ends):
            if end <= offset <= end + 2:
                return index
        return None


def read_layout(pdf: bytes) -> Layout:
    """Follow the tables from the last to the first.

    Parameters
    ----------
    pdf
        The whole file.

    Returns
    -------
    Layout
        The ends of its revisions.

    Raises
    ------
    UnreadablePdf
        When there is no whole chain of plain tables.
    """
    if HEADER.match(pdf) is None:
        raise unreadable()
    found = POINTER.search(pdf, max(0, pdf.rfind(b"startxref")))
    if found is None:
        raise unreadable()
    ends: list[int] = []
    offset, above = int(found[1]), len(pdf)
    while True:
        if offset >= above or len(ends) >= MOST_REVISIONS:
            raise unreadable()
        end, earlier = _section(pdf, offset)
        ends.append(end)
        if earlier is None:
            break
        offset, above = earlier, offset
    ends.reverse()
    if ends != sorted(set(ends)) or ends[-1] != found.end():
        raise unreadable()
    return Layout(tuple(ends), len(pdf))


def _section(pdf: bytes, offset: int) -> tuple[int, int | None]:
    if pdf[offset : offset + 4] != b"xref":
        raise unreadable()
    start = pdf.find(b"trailer", offset)
    found = TRAILER.match(pdf, start) if start >= 0 else None
    if found is None or int(found[2]) != offset:
        raise unreadable()
    entries = COMMENT.sub(b"", found[1])
    earlier = EARLIER.findall(entries)
    if HIDING.search(entries) is not None or len(earlier) > 1 or entries.count(b"/Prev") != len(earlier):
        raise unreadable()
    return found.end(), int(earlier[0]) if earlier else None


def entry(dictionary: Any, key: str, otherwise: Any) -> Any:
    """An entry of a dictionary as the library reads it, with a reference followed."""
    found = dictionary.get(key, otherwise)  # get() gives the bare reference, [...] follows it
    return found.get_object() if hasattr(found, "get_object") else found


def unreadable() -> UnreadablePdf:
    """The one sentence for a file that is cut, damaged, or laid out as our papers never are."""
    return UnreadablePdf(
        said(
            "This is not a whole PDF as Basenote writes them, so nothing was read from it "
            "or changed. Take the file from where it was made, or make the document again "
            "from the record."
        )
    )
