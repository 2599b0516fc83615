"""What can still be read of a project folder whose journal may be damaged.  Nothing is ever written there.

SQLite is not asked: even a reader of SQLite's makes files beside a journal.  The bytes are read as they
stand, page by page and, for what stands in no page that can be read, by the look of sealed entries.
"""

from __future__ import annotations

import mmap
import re
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from fieldapp.record.entry import hash_of
from fieldapp.record.proved import Named, ProvedChain, proved
from fieldapp.record.strict_json import NotStrict, read_strict
from fieldapp.store.opening import JOURNAL
from fieldapp.store.pages import Row, page_size_of, pages_ahead, pages_of, rows_in
from fieldapp.store.problems import NotAProject, in_plain_words
from fieldapp.store.read_tables import TIMELINE
from fieldapp.store.rows import COLUMNS

_HASH: Final = re.compile(r"[0-9a-f]{64}")
_HASHES: Final = re.compile(rb"[0-9a-f]{128}")
_BEGINS: Final = re.compile(rb'\{"author":"')
_ENDS: Final = re.compile(rb'\},"version":[0-9]{1,4}\}')
_LARGEST_ENTRY: Final = 2**20
_ENDS_TRIED: Final = 200  # an entry that holds another has its end inside


@dataclass(frozen=True, slots=True)
class Told:
    """What a row beside an entry says of it; no evidence, but a name for what was lost."""

    kind: str
    shaft: str
    author: str
    recorded_at: str

    def __str__(self) -> str:
        about = f" of {self.shaft}" if self.shaft else ""
        return f"{self.kind}{about} by {self.author}, {self.recorded_at[:16].replace('T', ' ')}"


@dataclass
class Remains:
    """What was read: sealed bytes, the hashes that something names, heads, and what rows tell of entries."""

    sealed: set[bytes] = field(default_factory=set)
    named: set[Named] = field(default_factory=set)
    heads: set[Named] = field(default_factory=set)
    told: dict[tuple[str, int], Told] = field(default_factory=dict)

    def chains(self) -> tuple[ProvedChain, ...]:
        """What of it proves itself."""
        return proved(self.sealed, self.named, self.heads)

    def take(self, other: Remains) -> None:
        """Take what another look found; what this one tells of an entry stays."""
        self.sealed |= other.sealed
        self.named |= other.named
        self.heads |= other.heads
        self.told = {**other.told, **self.told}

    def name(self, sealed: bytes, stated: str) -> None:
        """Take sealed bytes, and the hash that stands beside them where it is theirs."""
        self.sealed.add(sealed)
        if stated and stated == hash_of(sealed) and (place := _place(sealed)) is not None:
            self.named.add((*place, stated))

    def take_lines(self, content: bytes | mmap.mmap) -> None:
        """Take whatever looks like a sealed entry out of any bytes, such as those of a journal file."""
        for sealed, stated in _entries_in(content):
            self.name(sealed, stated)

    def take_rows(self, rows: Iterable[Row]) -> None:
        """Take what rows of a journal hold, whichever table they are of."""
        for row in rows:
            if len(row) == len(COLUMNS) + 1:
                self._entry_row(dict(zip(COLUMNS, row[1:], strict=True)))
            elif len(row) == len(TIMELINE.columns):
                self._tell(dict(zip(TIMELINE.column_names, row, strict=True)))
            elif len(row) == 4 and row[1] in {"here", "received"}:
                self._head(*row)

    def _entry_row(self, row: Mapping[str, object]) -> None:
        sealed, digest = row["sealed"], row["hash"]
        if isinstance(sealed, str):
            self.name(sealed.encode("utf-8"), str(digest))
        self._tell(row)

    def _tell(self, row: Mapping[str, object]) -> None:
        device, seq = row["device"], row["seq"]
        said = [row[each] or "" for each in ("kind", "shaft", "author", "recorded_at")]
        if isinstance(device, str) and isinstance(seq, int) and all(isinstance(each, str) for each in said):
            self.told.setdefault((device, seq), Told(*map(str, said)))

    def _head(self, device: object, _: object, seq: object, digest: object) -> None:
        if isinstance(device, str) and isinstance(seq, int) and _HASH.fullmatch(str(digest)):
            (self.heads if 0 < seq < 2**53 else set()).add((device, seq, str(digest)))


def remains_of(folder: Path) -> Remains:
    """Read what can be read of the journal in a project folder.

    Raises NotAProject when there is no journal.db at all, StoreProblem for what cannot be opened.
    """
    found = Remains()
    journal, ahead = folder / JOURNAL, folder / f"{JOURNAL}-wal"
    with in_plain_words(folder):
        if not journal.is_file():
            from fieldapp.record.said import said  # noqa: PLC0415 - the board is read without the record

            raise NotAProject(folder=folder, why=said("there is no journal.db in it"))
        with _bytes_of(journal) as data, _bytes_of(ahead) as wal:
            size = page_size_of(bytes(data[:100]))
            pages = pages_of(memoryview(data), size)
            found.take_rows(rows_in(pages, size))
            newer = pages_ahead(memoryview(wal), size)
            if newer:
                found.take_rows(rows_in({**pages, **newer}, size))
            found.take_lines(data)
            found.take_lines(wal)
            pages, newer = {}, {}  # views of the files keep them from being closed
    return found


@contextmanager
def _bytes_of(path: Path) -> Iterator[bytes | mmap.mmap]:
    """The bytes of a file without reading them all into memory; none of a file that is not there."""
    if not path.is_file() or not path.stat().st_size:
        yield b""
        return
    with path.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as mapped:
        yield mapped


def _entries_in(data: bytes | mmap.mmap) -> Iterator[tuple[bytes, str]]:
    """Sealed bytes as they look, each with the hash that stands behind it as in a row, or none."""
    for begin in _BEGINS.finditer(data):
        start = begin.start()
        for tried, end in enumerate(_ENDS.finditer(data, start, start + _LARGEST_ENTRY)):
            sealed = bytes(data[start : end.end()])
            if _place(sealed) is not None:
                behind = _HASHES.match(data, end.end())
                yield sealed, behind[0][64:].decode() if behind else ""
                break
            if tried >= _ENDS_TRIED or sealed.find(b'{"author":"', 1) > 0:
                break


def _place(sealed: bytes) -> tuple[str, int] | None:
    """Device and number that bytes say, or None where they are no strict JSON of an entry."""
    try:
        body = read_strict(sealed)
    except NotStrict:
        return None
    if not isinstance(body, dict):
        return None
    device, seq = body.get("device"), body.get("seq")
    return (device, seq) if isinstance(device, str) and type(seq) is int else None
