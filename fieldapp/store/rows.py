"""Entries as rows of their table, and back through their sealed bytes alone."""

from __future__ import annotations

from functools import lru_cache
from typing import Final, TypeAlias

from fieldapp.record.codec import UnknownKind
from fieldapp.record.entry import DamagedEntry, Entry, open_sealed
from fieldapp.record.reading import Impossible

# Opening is strict and slow beside reading; an entry never changes, so the same bytes are the same entry.
# Some 2.7 kB each: all of a usual project, and 45 MB of a large one.
open_once = lru_cache(maxsize=16_384)(open_sealed)
_KEPT_OPEN: Final = 16_384
"""Bytes of the largest entry that is kept open: somebody may send a thousand of a megabyte each."""

UNREADABLE: Final = (DamagedEntry, UnknownKind, Impossible)
"""What a sealed text that is no entry raises."""

Place: TypeAlias = tuple[str, int]
"""Where an entry stands: the device of its chain, and its number."""


def row_of(entry: Entry) -> dict[str, str | int | None]:
    """The row of an entry: its sealed text, and copies of its fields for questions."""
    draft = entry.draft
    return {
        "id": entry.id,
        "device": entry.device,
        "seq": entry.seq,
        "stamp": entry.stamp,
        "project": draft.project,
        "shaft": draft.shaft,
        "kind": entry.kind,
        "version": entry.version,
        "observed_at": draft.observed_at.isoformat(),
        "recorded_at": draft.recorded_at.isoformat(),
        "author": draft.author,
        "sealed": entry.sealed.decode("utf-8"),
        "prev": entry.prev,
        "hash": entry.hash,
    }


COLUMNS: Final = (
    "id", "device", "seq", "stamp", "project", "shaft", "kind", "version", "observed_at", "recorded_at",
    "author", "sealed", "prev", "hash",
)  # fmt: skip


def entry_from(sealed: object) -> Entry:
    """Entry from the text of its row.  Raises DamagedEntry, or UnknownKind.

    What was sealed could be: a value that cannot be was damaged since.
    """
    try:
        return opened(text_of(sealed))
    except Impossible as problem:
        raise DamagedEntry(str(problem)) from problem


def opened(sealed: bytes) -> Entry:
    """Entry from its sealed bytes, kept for the next time unless it is large.  Raises as `open_sealed`."""
    return open_once(sealed) if len(sealed) <= _KEPT_OPEN else open_sealed(sealed)


def text_of(sealed: object) -> bytes:
    """The bytes of a sealed text.  Raises DamagedEntry for what is no text."""
    if not isinstance(sealed, str):
        raise DamagedEntry("the row does not hold a text")
    return sealed.encode("utf-8")
