"""Bundles made to deceive: real containers and real keys, with one thing about them that is not true."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import timedelta
from pathlib import Path

from fieldapp.desk.trust.device_key import kept_device_key
from fieldapp.exchange.bundle.signature import SenderSignature
from fieldapp.exchange.bundle.writing import Carried, Sender, write_bundle
from fieldapp.identity.bundles import Sent, sign_bundle
from fieldapp.identity.certificates import Term
from fieldapp.identity.device_keys import DeviceSigner, device_certificate, load_device_key, new_device_key
from fieldapp.record.attesting import DeviceKey
from fieldapp.record.chain import chains_of, heads_of
from fieldapp.record.entry import ChainHead, Draft, Entry, seal
from fieldapp.record.kinds import PROJECT_KINDS, Values
from tests.desk.signed_work import INSPECTOR
from tests.desk.travel.tablets import Tablet

Sign = Callable[[str], SenderSignature]


@dataclass
class Forger:
    """Somebody who holds a copy of a tablet's journal and keys of his own, and packs what he likes."""

    of: Tablet
    device: str = "forger"
    entries: list[Entry] = field(default_factory=list)
    project: str = "larkwater"
    made_by: str = ""
    heads: tuple[ChainHead, ...] | None = None
    lines: list[bytes] | None = None
    sign: Sign | None = None
    signer: DeviceSigner | None = None
    files: list[tuple[str, bytes]] = field(default_factory=list)
    shafts: tuple[str, ...] | None = None

    def __post_init__(self) -> None:
        self.entries = [*self.of.entries(), *self.entries]
        if self.signer is None:
            self.signer = a_key(self.of, self.device)

    def says(self, values: Values, author: str = INSPECTOR, *, device: str = "", **more: object) -> Entry:
        """An entry at the end of a chain, of the forger's own unless another device is named."""
        device = device or self.device
        about = None if values.KIND in PROJECT_KINDS else "P1-1"
        now = self.of.clock.now("UTC")
        number = len(self.entries)
        draft = Draft(f"019e1d46-3180-7fff-904d-{number:012x}", self.project, about, values, now, now, author)
        head = heads_of(self.entries).get(device, ChainHead(device))
        stamp = max((each.stamp for each in self.entries), default=0) + 1
        made = seal(replace(draft, **more), head, stamp)  # type: ignore[arg-type]
        self.entries.append(made)
        return made

    def brings_key(self) -> None:
        assert self.signer is not None
        self.says(DeviceKey(self.signer.certificate))

    def packs(self, name: str = "forged") -> Path:
        """The bundle, on disk."""
        assert self.signer is not None
        heads = self.heads if self.heads is not None else tuple(heads_of(self.entries).values())
        lines = self.lines if self.lines is not None else in_chains(self.entries)
        now = self.of.clock.now("UTC")
        sender = Sender(self.project, self.shafts, now, self.made_by, self.device)
        path = self.of.root / f"{name}.bundle.zip"
        carried = []
        for number, (inside, content) in enumerate(self.files):
            file = self.of.root / f"carried {number}"
            file.write_bytes(content)
            carried.append(Carried(inside, file))
        with path.open("w+b") as out:
            write_bundle(out, sender, (lines, heads, carried), self.sign or self.signs)
        return path

    def signs(self, digest: str) -> SenderSignature:
        assert self.signer is not None
        return SenderSignature(self.signer.certificate, sign_bundle(self.sent(digest), self.signer))

    def sent(self, digest: str) -> Sent:
        return Sent(self.project, self.device, digest)


def as_the_device(tablet: Tablet) -> Forger:
    """Who holds the tablet itself can sign as its device; its chain has brought the key already."""
    with tablet.at_work() as place:
        signer = kept_device_key(place.device)
    assert signer is not None
    return Forger(tablet, tablet.device, signer=signer)


def in_chains(entries: Iterable[Entry]) -> list[bytes]:
    return [each.sealed for chain in chains_of(entries).values() for each in chain]


def a_key(tablet: Tablet, device: str) -> DeviceSigner:
    """A key in the name of a device, that no device has."""
    pkcs8, now = new_device_key(), tablet.clock.now("UTC")
    term = Term(now - timedelta(days=1), now + timedelta(days=900))
    return load_device_key(pkcs8, device_certificate(pkcs8, device, term))


__all__ = ["Forger", "a_key", "as_the_device", "in_chains"]
