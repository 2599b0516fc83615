"""A bundle is read as it was written, or refused with the file and the rule; nothing in between."""

from __future__ import annotations

import hashlib
import io
import struct
import zipfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.exchange.bundle import container
from fieldapp.exchange.bundle.manifest import written_manifest
from fieldapp.exchange.bundle.refused import BundleRefused
from fieldapp.record.said import Said
from tests.exchange.bundle.packing import (
    ENTRIES,
    MANIFEST,
    SIGNATURE,
    entry_lines,
    good_bundle,
    manifest_of,
    packed_by_hand,
    put,
    read_whole,
    sealed,
    signed_for_tests,
    with_members,
)

PICTURE = b"a picture"
NAMED = f"pictures/{hashlib.sha256(PICTURE).hexdigest()}.jpg"


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    return good_bundle(tmp_path_factory.mktemp("bundle"))


def refused(content: bytes) -> str:
    with pytest.raises(BundleRefused) as problem:
        read_whole(content)
    assert str(problem.value).startswith("arrived.bundle.zip was not taken over. ")
    assert "Nothing was written." in str(problem.value)
    assert isinstance(problem.value.rule, Said), "it is read in the language of the screen"
    return problem.value.rule


def test_what_was_written_is_read_and_any_zip_tool_opens_it(good):
    entries, files, signature, digest = read_whole(good)
    assert tuple(entries) == sealed()
    assert files == [PICTURE]
    assert signature == signed_for_tests(digest)
    with zipfile.ZipFile(io.BytesIO(good)) as whole:  # a reader that is not ours
        assert whole.testzip() is None
        assert whole.namelist() == [ENTRIES, NAMED, MANIFEST, SIGNATURE]
        assert whole.read(ENTRIES) == entry_lines()
        before = whole.getinfo(SIGNATURE).header_offset
    assert digest == hashlib.sha256(good[:before]).hexdigest()


def test_the_same_content_is_the_same_bytes(good, tmp_path):
    assert good_bundle(tmp_path) == good


def test_a_byte_changed_anywhere_is_refused_or_no_longer_what_was_signed(good):
    _, _, signature, digest = read_whole(good)
    accepted = []
    for place in range(len(good)):
        changed = bytearray(good)
        changed[place] ^= 1 << place % 8
        try:
            _, _, other_signature, other_digest = read_whole(bytes(changed))
        except BundleRefused:
            continue
        if (other_signature, other_digest) == (signature, digest):
            accepted.append(place)
    assert accepted == []


@given(st.integers(0, 10**6), st.binary(max_size=40))
@settings(max_examples=300, deadline=None)
def test_a_bundle_cut_off_or_grown_is_refused(good, place, more):
    at = place % len(good)
    refused(good[:at] + more)
    refused(more + good[:at])
    if more:
        refused(good + more)
        refused(more + good)


@given(st.binary(max_size=3000))
@settings(max_examples=300, deadline=None)
def test_bytes_that_are_nothing_are_refused(content):
    refused(content)


@pytest.mark.parametrize(
    "name",
    [
        "../../evil", "/etc/passwd", "C:\\windows\\x", "pictures/../x.jpg", "pictures/", "Entries.jsonl",
        "pictures/" + "0" * 64, "pictures/" + "0" * 63 + ".jpg", "papers/" + "a" * 64 + ".exe", "x" * 99,
        "pictures/" + "G" * 64 + ".jpg", "entries.jsonl\n", ".hidden", "größe.txt",
    ],
)  # fmt: skip
def test_no_name_leads_out_of_a_bundle(name):
    rule = refused(packed_by_hand([(ENTRIES, entry_lines()), (name, PICTURE)]))
    assert "no bundle may hold" in rule or "not that of a bundle" in rule or "not named by its hash" in rule


def test_a_file_is_named_by_the_hash_of_its_content():
    assert "not named by its hash" in refused(
        packed_by_hand([(ENTRIES, entry_lines()), (f"pictures/{'0' * 64}.jpg", PICTURE)])
    )


def test_a_bomb_is_refused_before_it_is_unpacked():
    bomb = packed_by_hand([(ENTRIES, b"a" * 300_000_000)], how=zipfile.ZIP_DEFLATED)
    assert len(bomb) < 400_000
    assert "would unpack to far more" in refused(bomb)


def test_a_member_is_never_larger_than_it_says(good):
    with zipfile.ZipFile(io.BytesIO(good)) as whole:
        info = whole.getinfo(ENTRIES)
    lies = struct.pack("<L", info.file_size - 7)
    local = container._LOCAL_BYTES - 8
    changed = bytearray(good)
    changed[info.header_offset + local : info.header_offset + local + 4] = lies
    start = good.index(b"PK\x01\x02")
    changed[start + 24 : start + 28] = lies
    assert "larger than it says" in refused(bytes(changed)) or "names other files" in refused(bytes(changed))


def test_members_twice_gaps_overlaps_other_packings_and_locks_are_refused(good):
    twice = io.BytesIO()
    with zipfile.ZipFile(twice, "w") as whole, pytest.warns(UserWarning, match="Duplicate"):
        for name in (ENTRIES, ENTRIES):
            put(whole, name, entry_lines())
    assert refused(twice.getvalue()) == "It holds a file twice."
    for how in (zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA):
        assert "packed in a way" in refused(packed_by_hand([(ENTRIES, entry_lines())], how=how))
    first = good.index(b"PK\x01\x02")
    overlap = bytearray(good)
    second = good.index(b"PK\x01\x02", first + 4)
    overlap[second + 42 : second + 46] = good[first + 42 : first + 46]
    assert "not packed as a bundle" in refused(bytes(overlap)) or "ZIP" in refused(bytes(overlap))
    locked = bytearray(good)
    locked[first + 8] |= 1
    assert "directory is not that of a bundle" in refused(bytes(locked))


def test_more_members_than_a_bundle_has_are_refused_before_their_directory_is_read(good):
    end = bytearray(good)
    end[-14:-10] = struct.pack("<HH", 65_535, 65_535)
    assert "directory" in refused(bytes(end))


@pytest.mark.parametrize(
    ("manifest", "rule"),
    [
        (b"[" * 100_000, "nested too deeply"),
        (b'{"format":"basenote bundle","format":"basenote bundle"}', "twice"),
        (b'{"format":NaN}', "not allowed"),
        (b'{"format":1.5}', "not allowed"),
        (b'{"format":' + b"9" * 5000 + b"}", "not allowed"),
        (b'{"format":"\\ud800"}', "not that of a bundle"),
        (b'{"format":"basenote bundle","version":2}', "newer Basenote"),
        (b'{"format":"basenote bundle","version":1}', "not written as"),
        (b"{}", "not that of a bundle"),
        (b"\xff\xfe", "not JSON"),
        (b"", "not JSON"),
    ],
)
def test_a_manifest_is_strict(manifest, rule):
    assert rule in refused(packed_by_hand([(ENTRIES, entry_lines())], manifest=manifest))


def test_a_manifest_names_what_is_there():
    members = [(ENTRIES, entry_lines())]
    true = manifest_of(members)
    assert "names other files" in refused(packed_by_hand(members, manifest=with_members(true, size=1)))
    assert "names other files" in refused(packed_by_hand(members, manifest=with_members(true, name="x.y")))
    wrong = with_members(true, sha256="0" * 64)
    assert "not the file of its hash" in refused(packed_by_hand(members, manifest=wrong))
    pretty = written_manifest(true).replace(b":", b": ", 1)
    assert "not written as" in refused(packed_by_hand(members, manifest=pretty))
    assert "holds no entries" in refused(packed_by_hand([(NAMED, PICTURE)]))


def test_a_last_entry_without_its_end_and_an_endless_one_are_refused():
    assert "cut off" in refused(packed_by_hand([(ENTRIES, entry_lines()[:-1])]))
    assert "an entry of more than" in refused(packed_by_hand([(ENTRIES, b"a" * 3_000_000 + b"\n")]))


def test_a_bundle_larger_than_any_is_refused_by_its_size(tmp_path: Path):
    path = tmp_path / "large.bundle.zip"
    with path.open("wb") as file:
        file.truncate(container.MOST_BYTES + 1)  # a hole; no disk is used
    with path.open("rb") as file, pytest.raises(container.NotAContainer, match="larger than"):
        container.directory(file)
