"""What the writer may not write, and what the reader does not take from whoever writes it all the same."""

from __future__ import annotations

import hashlib
import io
import struct
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldapp.exchange.bundle import reading, writing
from fieldapp.exchange.bundle.limits import LEAST_ENTRY
from fieldapp.exchange.bundle.reading import read_bundle
from fieldapp.exchange.bundle.refused import BundleRefused
from fieldapp.exchange.bundle.writing import Carried, ChangedMeanwhile, Sender, TooLarge, write_bundle
from fieldapp.record.entry import ChainHead, Draft, seal
from fieldapp.record.hole import Note
from fieldapp.record.strict_json import NotStrict, read_strict, written_one_way
from tests.exchange.bundle.packing import (
    ENTRIES,
    MADE_AT,
    NAME,
    entry_lines,
    good_bundle,
    packed_by_hand,
    read_whole,
    sealed,
    signed_for_tests,
)

SENDER = Sender("larkwater", None, MADE_AT, "", "tablet")


def written(entries: list[bytes], files: list[Carried]) -> bytes:
    out = io.BytesIO()
    write_bundle(out, SENDER, (entries, (), files), signed_for_tests)
    return out.getvalue()


def carried(folder: Path, content: bytes, named: bytes | None = None) -> Carried:
    path = folder / "carried"
    path.write_bytes(content)
    digest = hashlib.sha256(content if named is None else named).hexdigest()
    return Carried(f"pictures/{digest}.jpg", path)


def test_the_shortest_entry_is_longer_than_what_is_taken_for_none():
    draft = Draft(
        "019e1d46-3180-75b4-904d-000000000001", "a", "b", Note("x"), datetime(2026, 5, 1, tzinfo=UTC),
        datetime(2026, 5, 1, tzinfo=UTC), "A",
    )  # fmt: skip
    assert len(seal(draft, ChainHead("d"), 1).sealed) > LEAST_ENTRY


@pytest.mark.parametrize("lines", [b"\n" * 1000, b"{}\n" * 1000, entry_lines() + b"\n"])
def test_lines_that_are_no_entries_are_refused_before_there_are_many(lines):
    with pytest.raises(BundleRefused, match="a line that is no entry"):
        read_whole(packed_by_hand([(ENTRIES, lines)]))


def test_more_entries_than_a_tablet_holds_are_neither_written_nor_read(monkeypatch, tmp_path):
    content = packed_by_hand([(ENTRIES, entry_lines())])
    monkeypatch.setattr(reading, "LARGEST_ENTRIES", 1000)
    with pytest.raises(BundleRefused, match="is larger than 1000 bytes"):
        read_whole(content)
    monkeypatch.setattr(writing, "LARGEST_ENTRIES", 1000)
    with pytest.raises(TooLarge, match=r"more than one bundle holds \(1000 bytes\), whichever shafts"):
        written(list(sealed()), [])


def test_a_file_larger_than_a_reader_takes_is_not_written(monkeypatch, tmp_path):
    monkeypatch.setattr(writing, "LARGEST_FILE", 10)
    with pytest.raises(TooLarge):
        written(list(sealed()), [carried(tmp_path, b"x" * 11)])


def test_all_files_together_are_stopped_before_the_one_that_is_too_much(monkeypatch, tmp_path):
    monkeypatch.setattr(writing, "MOST_BYTES", writing.LARGEST_MANIFEST + len(entry_lines()) + 15)
    written(list(sealed()), [carried(tmp_path, b"x" * 15)])
    with pytest.raises(TooLarge):
        written(list(sealed()), [carried(tmp_path, b"x" * 16)])


def test_a_file_that_changed_since_it_was_looked_at_is_not_sent(tmp_path):
    with pytest.raises(ChangedMeanwhile, match="is not what it was when it was recorded"):
        written(list(sealed()), [carried(tmp_path, b"another picture", b"a picture")])


def test_nothing_hides_between_the_directory_and_the_end(tmp_path):
    """A second, larger end of the directory (ZIP64, APPNOTE 4.3.14 and 4.3.15) that says the same."""
    good = good_bundle(tmp_path)
    end = len(good) - 22
    count, length, start = struct.unpack("<HLL", good[end + 10 : end + 20])
    larger = struct.pack("<4sQHHLLQQQQ", b"PK\x06\x06", 44, 20, 20, 0, 0, count, count, length, start)
    locator = struct.pack("<4sLQL", b"PK\x06\x07", 0, end, 1)
    more = larger + locator
    tail = good[end : end + 12] + struct.pack("<LL", length + len(more), start) + good[end + 20 :]
    with pytest.raises(BundleRefused):
        read_whole(good[:end] + more + tail)


class Exchanged(io.BytesIO):
    """A file that somebody exchanges for another one as soon as its first ``count`` reads are done."""

    def __init__(self, content: bytes, other: bytes, count: int) -> None:
        super().__init__(content)
        self.other, self.left = other, count

    def read(self, size: int | None = -1) -> bytes:
        self.left -= 1
        if self.left == 0:
            here = self.tell()
            self.seek(0)
            self.truncate()
            self.write(self.other)
            self.seek(here)
        return super().read(size)


def test_a_file_exchanged_while_it_is_read_is_never_other_than_what_was_signed(tmp_path):
    """Two bundles: whatever comes out is one of them whole, under its own digest."""
    one, two = (good_bundle(tmp_path, content) for content in (b"a picture", b"b picture"))
    known = {}
    for each in (one, two):
        _, files, signature, digest = read_whole(each)
        known[digest, signature] = files
    came = 0
    for count in range(1, 60):
        file = Exchanged(one, two, count)
        try:
            bundle = read_bundle(NAME, file)
            list(bundle.entries())
            files = [b"".join(bundle.content(each)) for each in bundle.files]
        except BundleRefused:
            continue
        if (bundle.digest, bundle.signature) in known:  # else the signature does not hold, and it is refused
            assert files == known[bundle.digest, bundle.signature]
            came += 1
    assert came


@pytest.mark.parametrize("depth", [500, 900, 980, 5000, 200_000])
def test_endless_nesting_is_refused_and_nothing_else_happens(depth):
    try:
        body = read_strict(b"[" * depth + b"]" * depth)
        written_one_way(body)
    except NotStrict as problem:
        assert "nested too deeply" in str(problem)
