"""Whether a paper's pages are those that were laid out anew: content, fonts, size, and what lies on them.

The paper is read as it is opened, with all that was added later.  Empty or filled signature fields count for
nothing where they were planned; anywhere else they would cover what the page says.  The last digit of a
coordinate may differ, since machines round differently; letters may not.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Final

from pyhanko.pdf_utils.generic import (
    ArrayObject,
    DictionaryObject,
    FloatObject,
    IndirectObject,
    NumberObject,
    StreamObject,
)

from fieldapp.identity.pdf_layout import entry, unreadable
from fieldapp.identity.pdf_pages import HOSTILE, Page, open_pages, unpacked
from fieldapp.identity.sign_request import FieldPlace

SAME_WITHIN: Final = 1e-4
"""Numbers in drawings nearer than this are the same (in points, or parts of a colour)."""
BOX_WITHIN_PT: Final = 0.51
"""The writer of signature fields rounds to whole points."""
LARGEST_STREAM: Final = 64 * 2**20
_STRING: Final = re.compile(rb"(\((?:[^()\\]|\\.)*\))", re.DOTALL)
_NUMBER: Final = re.compile(rb"-?(\d{1,12}\.?\d{0,12}|\.\d{1,12})")
_LATER: Final = frozenset(
    {"/AcroForm", "/Names", "/AF", "/Perms", "/Version", "/Extensions", "/Metadata", "/DSS"}
)
"""What attached files, signatures and timestamps add to the catalogue; nothing of it is shown."""
_PACKING: Final = frozenset({"/Length", "/Filter"})


@dataclass(frozen=True, slots=True)
class PagesCompared:
    """How many pages there are and should be, which differ (from 1), and what else the document brings."""

    found: int
    expected: int
    differing: tuple[int, ...]
    strange: tuple[str, ...] = ()

    @property
    def same(self) -> bool:
        """Whether it is the same document to the eye."""
        return self.found == self.expected and not self.differing and not self.strange


def compare_pages(pdf: bytes, laid_out: bytes, fields: tuple[FieldPlace, ...]) -> PagesCompared:
    """Hold the pages of a paper against those laid out anew, with the places of their signature fields.

    Raises UnreadablePdf when the bytes are not a whole PDF, or packed in another way than ours.
    """
    try:
        root, pages = open_pages(pdf)
        own_root, own = open_pages(laid_out)
        same = _Same({})
        differing = tuple(
            number
            for number, (page, mine) in enumerate(zip(pages, own, strict=False), 1)
            if not same.pages(page, mine) or not _marks_fit(page, number - 1, fields)
        )
        return PagesCompared(len(pages), len(own), differing, _strange(root, own_root))
    except HOSTILE:
        raise unreadable() from None


def _strange(root: Any, own: Any) -> tuple[str, ...]:
    """What the catalogue has that ours has not and that can show something else: scripts, other forms."""
    form, names = entry(root, "/AcroForm", {}), entry(root, "/Names", {})
    found = [key for key in root if key not in own and key not in _LATER]
    found += [key for key in form if key == "/XFA"]
    found += [key for key in names if key not in entry(own, "/Names", {}) and key != "/EmbeddedFiles"]
    return tuple(map(str, found))


def _marks_fit(page: Page, index: int, fields: tuple[FieldPlace, ...]) -> bool:
    """Whether nothing lies on the page but signature fields in their places, each once."""
    planned = {each.name: each.box_pt for each in fields if each.page_index == index}
    for mark in page.marks:
        box = planned.pop(str(entry(mark, "/T", "")), None)
        shown = [float(each) for each in entry(mark, "/Rect", ())]
        fits = box is not None and len(shown) == 4
        if not fits or entry(mark, "/FT", None) != "/Sig" or entry(mark, "/Subtype", None) != "/Widget":
            return False
        if any(not abs(a - b) <= BOX_WITHIN_PT for a, b in zip(shown, box or (), strict=True)):
            return False
    return True


def _followed(reference: Any) -> Any:
    return reference.get_object()


@dataclass(frozen=True, slots=True)
class _Same:
    """Compares objects of two documents; ``known`` pairs of references are compared once."""

    known: dict[tuple[Any, Any], bool]

    def pages(self, page: Page, own: Page) -> bool:
        """Whether a page draws the same with the same fonts on the same paper.  Raises one of HOSTILE."""
        return set(page.entries) == set(own.entries) and all(
            self.objects(page.entries[key], each) for key, each in own.entries.items()
        )

    def objects(self, one: Any, own: Any) -> bool:
        """Whether two objects are the same, wherever they stand in their files."""
        if isinstance(one, IndirectObject) and isinstance(own, IndirectObject):
            pair = (one.reference, own.reference)
            if pair not in self.known:
                self.known[pair] = True  # on the way round a ring
                self.known[pair] = self.objects(_followed(one), _followed(own))
            return self.known[pair]
        if isinstance(one, IndirectObject) or isinstance(own, IndirectObject):
            return False
        if isinstance(own, StreamObject):
            return isinstance(one, StreamObject) and self._dicts(one, own, _PACKING) and _streams(one, own)
        if isinstance(own, DictionaryObject):
            return isinstance(one, DictionaryObject) and self._dicts(one, own, frozenset())
        if isinstance(own, ArrayObject):
            alike = isinstance(one, ArrayObject) and len(one) == len(own)
            return alike and all(self.objects(one.raw_get(i), own.raw_get(i)) for i in range(len(own)))
        if isinstance(own, NumberObject | FloatObject):
            alike = isinstance(one, NumberObject | FloatObject)
            return alike and abs(float(one) - float(own)) <= SAME_WITHIN
        return type(one) is type(own) and bool(one == own)

    def _dicts(self, one: Any, own: Any, aside: frozenset[str]) -> bool:
        keys = set(own) - aside
        return set(one) - aside == keys and all(
            self.objects(one.raw_get(key), own.raw_get(key)) for key in keys
        )


def _streams(one: Any, own: Any) -> bool:
    if one.encoded_data == own.encoded_data and entry(one, "/Filter", None) == entry(own, "/Filter", None):
        return True
    mine = unpacked(own, LARGEST_STREAM)
    # what is longer than ours by more than rounding can make it is another content, and is not unpacked
    theirs = unpacked(one, 2 * len(mine) + 1000)
    return theirs == mine or _drawn_alike(theirs, mine)


def _drawn_alike(one: bytes, own: bytes) -> bool:
    """Whether two contents have the same operators and letters, and numbers that round to the same."""
    parts, mine = _STRING.split(one), _STRING.split(own)
    if len(parts) != len(mine):
        return False
    return all(
        a == b or (index % 2 == 0 and _tokens_alike(a.split(), b.split()))
        for index, (a, b) in enumerate(zip(parts, mine, strict=True))
    )


def _tokens_alike(one: list[bytes], own: list[bytes]) -> bool:
    return len(one) == len(own) and all(
        a == b
        or (
            _NUMBER.fullmatch(a) is not None
            and _NUMBER.fullmatch(b) is not None
            and abs(float(a) - float(b)) <= SAME_WITHIN
        )
        for a, b in zip(one, own, strict=True)
    )
