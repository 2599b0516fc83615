"""Another device, and what is refused of what it sends."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import timedelta

import pytest

from fieldapp.desk.trust.receiving import receive
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.certificates import Term
from fieldapp.identity.device_keys import (
    DeviceSigner,
    device_certificate,
    load_device_key,
    new_device_key,
)
from fieldapp.identity.keys import UnlockedKey
from fieldapp.identity.stretches import Stretch, sign_stretch_bytes
from fieldapp.record.attesting import DeviceKey, StretchSigned
from fieldapp.record.chain import heads_of
from fieldapp.record.decisions import Basis, Position
from fieldapp.record.entry import ChainHead, Draft, Entry, seal
from fieldapp.record.kinds import PROJECT_KINDS, Values
from fieldapp.record.shaft import digest_of
from fieldapp.store.problems import EntryRefused
from tests.desk.signed_work import INSPECTOR


@dataclass
class Second:
    """Another device, that knows what the project holds and writes its own chain in memory."""

    place: Workplace
    device: str = "tablet east"
    made: list[Entry] = field(default_factory=list)
    signer: DeviceSigner | None = None

    def say(self, values: Values, author: str = INSPECTOR, **more: object) -> Entry:
        stamp = more.pop("stamp", None) or self.stamp
        entry = seal(self.draft(values, author, **more), self.head, int(str(stamp)))
        self.made.append(entry)
        return entry

    def draft(self, values: Values, author: str, **more: object) -> Draft:
        about = None if values.KIND in PROJECT_KINDS else "P1-1"
        now = self.place.now()
        made = Draft(self.place.clock.new_id(), "larkwater", about, values, now, now, author)
        return replace(made, **more)  # type: ignore[arg-type]

    @property
    def stamp(self) -> int:
        return max(each.stamp for each in (*self.place.entries(), *self.made)) + 1

    @property
    def head(self) -> ChainHead:
        return heads_of(self.made).get(self.device, ChainHead(self.device))

    def key(self, device: str = "") -> DeviceSigner:
        pkcs8, now = new_device_key(), self.place.now()
        term = Term(now, now + timedelta(days=9))
        return load_device_key(pkcs8, device_certificate(pkcs8, device or self.device, term))

    def bring_key(self, author: str = INSPECTOR) -> DeviceSigner:
        self.signer = self.key()
        self.say(DeviceKey(self.signer.certificate), author)
        return self.signer

    def signed(self, person: UnlockedKey | None = None) -> StretchSigned:
        assert self.signer is not None
        stretch = Stretch("larkwater", self.device, self.head.seq, self.head.hash)
        return StretchSigned(
            stretch.seq,
            stretch.hash,
            sign_stretch_bytes(stretch, self.signer),
            person.certificate.fingerprint if person else "",
            sign_stretch_bytes(stretch, person) if person else "",
        )

    @property
    def sealed(self) -> list[bytes]:
        return [each.sealed for each in self.made]


def refused(east: Second, *, sealed: list[bytes] | None = None) -> EntryRefused:
    """Taking over is refused, names the last entry, and nothing was written."""
    writer = east.place.writer()
    before = (tuple(writer.entries()), writer.heads(), writer.devices())
    with pytest.raises(EntryRefused) as said:
        receive(east.place, east.sealed if sealed is None else sealed)
    assert (tuple(writer.entries()), writer.heads(), writer.devices()) == before
    assert "Nothing was taken over" in str(said.value)
    if sealed is None:
        last = east.made[-1]
        named = f"Entry {last.seq} of device {last.device}, a {last.kind} by {last.draft.author},"
        assert str(said.value).startswith(named)
    return said.value


def at(east: Second, kind: type[Values]) -> Entry:
    return next(each for each in east.place.entries() if isinstance(each.values, kind))


def a_basis(east: Second) -> Basis:
    mine = [each for each in east.place.entries() if each.shaft == "P1-1"]
    return Basis((Position("tablet north", 2),), digest_of(mine))
