"""One entry of the journal: what was observed or decided, sealed into its device's chain.

The sealed bytes are canonical JSON (RFC 8785) without floats; their SHA-256 is the entry's hash and
stands as ``prev`` in the device's next entry.  Bytes that arrive are hashed as they arrived.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta, timezone
from operator import itemgetter
from typing import Any, Final

import rfc8785

from fieldapp.record.codec import Json, decode, encode, read_time
from fieldapp.record.kinds import PROJECT_KINDS, Values
from fieldapp.record.reading import Impossible, check_text
from fieldapp.record.said import said
from fieldapp.record.said_lists import word
from fieldapp.record.strict_json import NotStrict, read_as_written

NO_ENTRY_BEFORE: Final = "0" * 64
_ID: Final = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
_NAME: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._/+-]{0,39}")
LARGEST_NUMBER: Final = 2**53 - 1
"""Of a number, a stamp or a version: what every reader of JSON takes exactly (RFC 8785)."""
_TEXTS: Final = ("id", "project", "device", "kind", "author", "prev", "observed_at", "recorded_at")
_LISTS: Final = ("parents", "confirmed")
_NUMBERS: Final = ("seq", "stamp", "version")
_texts_of: Final = itemgetter(*_TEXTS)
_FIELDS: Final = frozenset((*_TEXTS, *_LISTS, *_NUMBERS, "shaft", "values"))


class DamagedEntry(ValueError):
    """Bytes that are not an entry, or not the entry that their hash names."""


@dataclass(frozen=True, slots=True)
class Draft:
    """What is to be recorded, before a device gives it a place in its chain.

    ``parents`` are the ids of the entries that an amendment or a decision follows; ``confirmed`` names the
    unlikely things that the author was asked about and confirmed.
    """

    id: str
    project: str
    shaft: str | None
    values: Values
    observed_at: datetime
    recorded_at: datetime
    author: str
    parents: tuple[str, ...] = ()
    confirmed: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not _ID.fullmatch(self.id):
            raise Impossible("id", self.id, said("a UUID of version 7"))
        check_name("project", self.project)
        check_text("author", self.author, 120)
        for name, moment in (("observed_at", self.observed_at), ("recorded_at", self.recorded_at)):
            if moment.utcoffset() is None:
                raise Impossible(name, moment.isoformat(), said("a time with its offset from UTC"))
            object.__setattr__(self, name, at_its_offset(moment))
        if self.shaft is not None:
            check_name("shaft", self.shaft)
        elif self.values.KIND not in {*PROJECT_KINDS, "amend", "strike"}:
            raise Impossible(
                "shaft", said("nothing"), said("the shaft of a {kind}", kind=word(self.values.KIND))
            )
        if self.shaft is not None and self.values.KIND in PROJECT_KINDS:
            raise Impossible(
                "shaft",
                self.shaft,
                said("no shaft: a {kind} belongs to the project", kind=word(self.values.KIND)),
            )


def at_its_offset(moment: datetime) -> datetime:
    """The same moment with its bare offset, as it is read back.

    Times of one named zone are compared by the clock on the wall, which shows an hour twice in autumn.
    """
    if isinstance(moment.tzinfo, timezone):
        return moment
    return moment.replace(tzinfo=timezone(moment.utcoffset() or timedelta(0)), fold=0)


def check_name(what: str, name: str) -> None:
    """Refuse a project, shaft or device name that could not stand in a file name.  Raises Impossible."""
    if not _NAME.fullmatch(name):
        raise Impossible(what, name, said("up to 40 letters, digits, spaces or . _ / + -"))


@dataclass(frozen=True, slots=True)
class Entry:
    """A draft in its place: device, number in the device's chain, Lamport stamp, links and hash."""

    draft: Draft
    device: str
    seq: int
    stamp: int
    prev: str
    version: int
    sealed: bytes
    hash: str

    @property
    def id(self) -> str:
        """Identifier, a UUID of version 7."""
        return self.draft.id

    @property
    def shaft(self) -> str | None:
        """The shaft it is about, or None."""
        return self.draft.shaft

    @property
    def kind(self) -> str:
        """Kind of entry."""
        return self.draft.values.KIND

    @property
    def values(self) -> Values:
        """What it holds."""
        return self.draft.values

    @property
    def order(self) -> tuple[int, str, int]:
        """Place in the order of folding, the same on every device whatever arrived first."""
        return (self.stamp, self.device, self.seq)


@dataclass(frozen=True, slots=True)
class ChainHead:
    """The last entry of a device's chain; ``seq`` 0 before the first."""

    device: str
    seq: int = 0
    hash: str = NO_ENTRY_BEFORE


def seal(draft: Draft, head: ChainHead, stamp: int) -> Entry:
    """Place a draft after ``head`` in its device's chain with the Lamport ``stamp`` (highest seen plus 1).

    The entry says what will be read back, with the bare offsets of its times.
    """
    check_name("device", head.device)
    body: dict[str, Json] = {
        "id": draft.id,
        "project": draft.project,
        "shaft": draft.shaft,
        "device": head.device,
        "seq": head.seq + 1,
        "stamp": stamp,
        "kind": draft.values.KIND,
        "version": draft.values.VERSION,
        "observed_at": draft.observed_at.isoformat(),
        "recorded_at": draft.recorded_at.isoformat(),
        "author": draft.author,
        "parents": list(draft.parents),
        "confirmed": list(draft.confirmed),
        "prev": head.hash,
        "values": encode(draft.values),
    }
    sealed = rfc8785.dumps(body)
    draft = replace(draft, values=decode(draft.values.KIND, draft.values.VERSION, body["values"]))
    return Entry(
        draft, head.device, head.seq + 1, stamp, head.hash, draft.values.VERSION, sealed, hash_of(sealed)
    )


def hash_of(sealed: bytes) -> str:
    """SHA-256 of sealed bytes, in hex."""
    return hashlib.sha256(sealed).hexdigest()


def open_sealed(sealed: bytes) -> Entry:
    """Entry from its sealed bytes.

    Raises DamagedEntry when the bytes are not canonical JSON of an entry, UnknownKind when a newer
    program made it, Impossible when a value cannot be.
    """
    body = _read_json(sealed)
    draft = Draft(
        id=body["id"],
        project=body["project"],
        shaft=body["shaft"],
        values=decode(body["kind"], body["version"], body["values"]),
        observed_at=read_time(body["observed_at"], "observed_at"),
        recorded_at=read_time(body["recorded_at"], "recorded_at"),
        author=body["author"],
        parents=tuple(body["parents"]),
        confirmed=tuple(body["confirmed"]),
    )
    return Entry(
        draft,
        body["device"],
        body["seq"],
        body["stamp"],
        body["prev"],
        body["version"],
        sealed,
        hash_of(sealed),
    )


def _read_json(sealed: bytes) -> dict[str, Any]:
    """The fields of an entry, each of its type.  Raises DamagedEntry."""
    try:
        body, one_way = read_as_written(sealed)
    except NotStrict as problem:
        raise DamagedEntry(f"the bytes are not an entry ({problem})") from None
    if not isinstance(body, dict) or body.keys() != _FIELDS:
        raise DamagedEntry("the bytes do not have the fields of an entry")
    if not one_way:
        raise DamagedEntry("the bytes are not in canonical form")
    _check_types(body)
    return body


def _check_types(body: dict[str, Any]) -> None:
    if not _all_texts(_texts_of(body)):
        wrong = next(name for name in _TEXTS if not isinstance(body[name], str))
        raise DamagedEntry(f"{wrong} is not text")
    if body["shaft"] is not None and not isinstance(body["shaft"], str):
        raise DamagedEntry("shaft is not text")
    for name in _LISTS:
        if not isinstance(body[name], list) or not _all_texts(body[name]):
            raise DamagedEntry(f"{name} is not a list of texts")
    for name in _NUMBERS:
        if type(body[name]) is not int or not 0 <= body[name] <= LARGEST_NUMBER:
            raise DamagedEntry(f"{name} is not a whole number")


def _all_texts(found: Iterable[object]) -> bool:
    """Whether all are texts; nearly all entries are right, so they are looked at without a loop here."""
    return {str}.issuperset(map(type, found))
