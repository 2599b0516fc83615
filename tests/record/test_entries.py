"""Entries: canonical, sealed, read back the same, and never half understood."""

from __future__ import annotations

import json
from datetime import datetime, timedelta

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.record.codec import LIFTS, UnknownKind, decode, encode
from fieldapp.record.entry import ChainHead, DamagedEntry, Draft, hash_of, open_sealed, seal
from fieldapp.record.hole import Note
from fieldapp.record.kinds import KINDS, PROJECT_KINDS, Values
from fieldapp.record.reading import Impossible, Reading
from tests.support.examples import AN_ID, EXAMPLES, MORNING

HEAD = ChainHead("tablet north", 4, "ab" * 32)


def draft_of(values: Values) -> Draft:
    shaft = None if values.KIND in PROJECT_KINDS else "P1-1"
    return Draft(AN_ID, "larkwater", shaft, values, MORNING, MORNING + timedelta(minutes=1), "Inspector A")


def test_there_is_an_example_of_every_kind() -> None:
    assert {each.KIND for each in EXAMPLES} == set(KINDS)


@pytest.mark.parametrize("values", EXAMPLES, ids=lambda each: each.KIND)
def test_a_sealed_entry_reads_back_the_same(values: Values) -> None:
    entry = seal(draft_of(values), HEAD, 9)
    again = open_sealed(entry.sealed)
    assert again == entry
    assert (again.seq, again.stamp, again.prev) == (5, 9, HEAD.hash)


@pytest.mark.parametrize("values", EXAMPLES, ids=lambda each: each.KIND)
def test_what_is_hashed_holds_no_float_and_is_canonical(values: Values) -> None:
    sealed = seal(draft_of(values), HEAD, 9).sealed
    body = json.loads(sealed, parse_float=lambda text: pytest.fail(f"float {text}"))
    assert rfc8785.dumps(body) == sealed


def test_the_hash_is_the_sha256_of_the_canonical_bytes_as_openssl_gives_it() -> None:
    # printf '' | openssl dgst -sha256
    assert hash_of(b"") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"


@given(st.integers(0, 10_000), st.integers(1, 255))
def test_a_changed_byte_is_never_read_as_the_same_entry(place: int, flip: int) -> None:
    entry = seal(draft_of(EXAMPLES[4]), HEAD, 9)
    changed = bytearray(entry.sealed)
    changed[place % len(changed)] ^= flip
    try:
        other = open_sealed(bytes(changed))
    except (DamagedEntry, Impossible, UnknownKind):
        return
    assert other.hash != entry.hash
    assert other != entry


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"[]",
        b"{}",
        b'{"a":1,"a":2}',
        b'{"a":NaN}',
        b'{"a":1.5}',
        b"[" * 100_000,
        b'{"a":"\\ud800"}',
        b"\xff\xfe",
    ],
)
def test_bytes_that_are_no_entry_are_refused(text: bytes) -> None:
    with pytest.raises(DamagedEntry):
        open_sealed(text)


def test_the_same_content_in_other_order_is_refused_as_not_canonical() -> None:
    body = json.loads(seal(draft_of(Note("x")), HEAD, 9).sealed)
    shuffled = json.dumps(dict(reversed(body.items())), separators=(",", ":")).encode()
    with pytest.raises(DamagedEntry, match="canonical"):
        open_sealed(shuffled)


def test_an_unknown_field_is_refused_and_named() -> None:
    with pytest.raises(Impossible, match="colour"):
        decode("note", 1, {"text": "x", "colour": "red"})


def test_a_missing_field_is_refused_and_named() -> None:
    with pytest.raises(Impossible, match="text"):
        decode("note", 1, {})


def test_a_kind_from_a_newer_program_is_not_guessed() -> None:
    with pytest.raises(UnknownKind, match="newer"):
        decode("laser survey", 1, {})
    with pytest.raises(UnknownKind, match="newer"):
        decode("note", 99, {})


def test_an_older_version_is_lifted_while_reading(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Note, "VERSION", 2)
    monkeypatch.setitem(LIFTS, ("note", 1), lambda body: {"text": body["words"]})
    assert decode("note", 1, {"words": "as it was"}) == Note("as it was")


def test_fields_at_their_default_are_left_out() -> None:
    assert encode(Note("x")) == {"text": "x"}


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"id": "7"}, "id"),
        ({"shaft": "../P1"}, "shaft"),
        ({"shaft": None}, "shaft"),
        ({"observed_at": datetime(2026, 5, 12)}, "observed at"),  # noqa: DTZ001 - the mistake that is refused
        ({"author": " "}, "author"),
    ],
)
def test_a_draft_that_cannot_be_is_refused(change: dict[str, object], named: str) -> None:
    good = {
        "id": AN_ID,
        "project": "larkwater",
        "shaft": "P1-1",
        "values": Note("x"),
        "observed_at": MORNING,
        "recorded_at": MORNING,
        "author": "Inspector A",
    }
    with pytest.raises(Impossible, match=named):
        Draft(**(good | change))  # type: ignore[arg-type]


@pytest.mark.parametrize("read", ["nan", "inf", "1e3", "", "1,234.5", "²", "0x10", "1/0"])
def test_a_reading_that_nobody_could_read_is_refused(read: str) -> None:
    with pytest.raises(Impossible):
        Reading(read, "m")
