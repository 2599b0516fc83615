"""Whose key vouches for what: device keys and signed stretches of a journal, verified.

A signature that holds vouches for every entry before it in its chain, and no further.  What nobody signed
is said to be unsigned, never taken for good; what the certificates are worth, the project's roster says.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Protocol

from fieldapp.identity.certificates import is_issued_by, load
from fieldapp.identity.device_keys import device_named_in
from fieldapp.identity.elsewhere import read_any
from fieldapp.identity.errors import UnreadableCertificate
from fieldapp.identity.stretches import Stretch, verify
from fieldapp.record.attesting import DeviceKey, StretchSigned
from fieldapp.record.chain import Break
from fieldapp.record.decisions import DECISIONS
from fieldapp.record.entry import ChainHead, Entry
from fieldapp.record.revoked import fingerprint_of
from fieldapp.record.said import said
from fieldapp.record.setup import ProjectSetup


class SignedBy(StrEnum):
    """Whose key vouches for a decision."""

    PERSON = "the person's certificate"
    DEVICE = "the device only"
    NOBODY = "not signed"


@dataclass(frozen=True, slots=True)
class Attribution:
    """A decision, whose key vouches for it (SHA-256 of that certificate), and one sentence that says so."""

    decision: Entry
    by: SignedBy
    fingerprint: str
    says: str


@dataclass(frozen=True, slots=True)
class SignedThrough:
    """How far the chain of a device is signed: entry ``seq`` of ``last``, 0 where nothing is signed.

    ``signed_at`` is the entry that holds the signature, ``fingerprint`` is of the device's certificate.
    """

    device: str
    seq: int
    last: int
    fingerprint: str
    signed_at: Entry | None = None


@dataclass(frozen=True, slots=True)
class Checked:
    """One signed stretch: whether the person's signature holds too, and what is wrong, if anything."""

    entry: Entry
    by_person: bool
    wrong: str


@dataclass(frozen=True, slots=True)
class Signatures:
    """Every device key and signed stretch of a journal, verified once.

    ``keys`` (certificates) are by device.  ``wrong`` names each key or signature that does not hold.
    ``sound`` are the signatures that hold and stand before the first broken place of their chain.
    """

    keys: dict[str, str]
    wrong: tuple[tuple[Entry, str], ...]
    sound: dict[str, list[Checked]]

    def fingerprint(self, device: str) -> str:
        """SHA-256 of the certificate of a device's key, empty for a chain without one."""
        return fingerprint_of(self.keys.get(device, ""))


class OfKinds(Protocol):
    """A journal, as far as it is asked here."""

    def of_kinds(self, kinds: Collection[str], /) -> Iterable[Entry]:
        """Entries of these kinds in the order of folding."""
        ...


@dataclass
class Roster:
    """The certificates that any set-up of the project names, and its authorities."""

    pinned: dict[tuple[str, str], str] = field(default_factory=dict)
    named: dict[str, str] = field(default_factory=dict)
    authorities: set[str] = field(default_factory=set)

    @classmethod
    def of(cls, entries: Iterable[Entry]) -> Roster:
        """The certificates in these entries; set-ups alone have any."""
        roster = cls()
        for setup in (each.values for each in entries if isinstance(each.values, ProjectSetup)):
            for person in setup.people:
                mark = fingerprint_of(person.certificate)
                roster.pinned[person.name, mark] = person.certificate
                roster.named[mark] = person.certificate
            roster.authorities.add(setup.authority)
        roster.authorities.discard("")
        return roster

    def certificate(self, author: str, fingerprint: str) -> str | None:
        """The certificate of this fingerprint, or None when it is not known to be the author's.

        Known are those that the roster pins for a person, or that an authority signed for that name.
        """
        if (author, fingerprint) in self.pinned:
            return self.pinned[author, fingerprint]
        pem = self.named.get(fingerprint)
        try:
            if pem is None or read_any(pem).name != author:
                return None
            signed = any(is_issued_by(load(pem), load(each)) for each in self.authorities)
        except UnreadableCertificate:
            return None
        return pem if signed else None


def signatures_in(
    journal: OfKinds, breaks: Iterable[Break], asked: Callable[[Entry], bool] = lambda _: True
) -> Signatures:
    """Verify the device keys and signed stretches of a journal, each once, or those that are asked for.

    ``breaks`` are the places where its chains do not hold.
    """
    roster = Roster.of(journal.of_kinds((ProjectSetup.KIND,)))
    keys: dict[str, str] = {}
    stretches: list[Checked] = []
    wrong: list[tuple[Entry, str]] = []
    for each in _along_chains(journal.of_kinds((DeviceKey.KIND, StretchSigned.KIND))):
        if isinstance(each.values, DeviceKey):
            keys.setdefault(each.device, each.values.certificate)
            if asked(each) and not _names(each.values.certificate, each.device):
                says = said("its certificate is not one of a key of device {device}.", device=each.device)
                wrong.append((each, says))
        elif isinstance(each.values, StretchSigned) and asked(each):
            stretches.append(_checked(each, each.values, keys.get(each.device), roster))
    wrong += [(each.entry, each.wrong) for each in stretches if each.wrong]
    return Signatures(keys, tuple(wrong), _sound(stretches, breaks))


def how_far(found: Signatures, heads: Mapping[str, ChainHead]) -> dict[str, SignedThrough]:
    """How far every chain is signed, given the last entry of each.

    A signature behind a broken place of its chain vouches for nothing.
    """
    far = {}
    for device, head in sorted(heads.items()):
        signed = [each.entry for each in found.sound.get(device, ())]
        last = max(signed, key=lambda each: each.seq, default=None)
        seq = last.seq - 1 if last else 0
        far[device] = SignedThrough(device, seq, head.seq, found.fingerprint(device), last)
    return far


def attributions(
    journal: OfKinds, found: Signatures, heads: Mapping[str, ChainHead]
) -> tuple[Attribution, ...]:
    """Whose key vouches for each decision, in the order of folding, from signatures that were verified.

    In a damaged file a chain may have no end that was reached; then nothing vouches for it.
    """
    far = how_far(found, heads)
    telling = tuple(journal.of_kinds((*(each.KIND for each in DECISIONS), StretchSigned.KIND)))
    by_person = dict(_personal(found, telling))
    return tuple(
        _attributed(each, by_person.get(each.id, ""), far.get(each.device, _unsigned(each)))
        for each in telling
        if isinstance(each.values, DECISIONS)
    )


def _unsigned(each: Entry) -> SignedThrough:
    return SignedThrough(each.device, 0, each.seq, "")


def _along_chains(entries: Iterable[Entry]) -> list[Entry]:
    return sorted(entries, key=lambda each: (each.device, each.seq))


def _attributed(decision: Entry, mark: str, far: SignedThrough) -> Attribution:
    who, device = decision.draft.author, decision.device
    if mark:
        says = said(
            "Signed with the certificate of {who} (fingerprint {mark}) on device {device}.",
            who=who,
            mark=mark[:16],
            device=device,
        )
        return Attribution(decision, SignedBy.PERSON, mark, says)
    if decision.seq <= far.seq:
        says = said(
            "Signed by device {device} only; that it was {who} is what was typed there.",
            device=device,
            who=who,
        )
        return Attribution(decision, SignedBy.DEVICE, far.fingerprint, says)
    says = said(
        "Not signed: typed on device {device} as a decision of {who}, from paper perhaps.",
        device=device,
        who=who,
    )
    return Attribution(decision, SignedBy.NOBODY, "", says)


def _personal(found: Signatures, telling: Iterable[Entry]) -> Iterator[tuple[str, str]]:
    """Decisions that a person's signature is for: the author's last one before it in the chain."""
    signed = {each.entry.id for sound in found.sound.values() for each in sound if each.by_person}
    last: dict[tuple[str, str], Entry] = {}
    for each in _along_chains(telling):
        made = (each.device, each.draft.author)
        if isinstance(each.values, DECISIONS):
            last[made] = each
        elif each.id in signed and isinstance(each.values, StretchSigned) and made in last:
            yield last.pop(made).id, each.values.person_fingerprint


def _sound(stretches: Iterable[Checked], breaks: Iterable[Break]) -> dict[str, list[Checked]]:
    broken: dict[str, int] = {}
    for each in breaks:
        broken[each.device] = min(each.seq, broken.get(each.device, each.seq))
    sound: dict[str, list[Checked]] = {}
    for checked in stretches:
        device, seq = checked.entry.device, checked.entry.seq
        if not checked.wrong and seq < broken.get(device, seq + 1):
            sound.setdefault(device, []).append(checked)
    return sound


def _checked(entry: Entry, signed: StretchSigned, certificate: str | None, roster: Roster) -> Checked:
    stretch = Stretch(entry.draft.project, entry.device, signed.seq, signed.hash)
    if certificate is None:
        return Checked(entry, False, said("no key of device {device} stands before it.", device=entry.device))
    if not verify(stretch, signed.device_signature, certificate):
        says = said(
            "it is not a signature of the key of device {device} for the entries before it.",
            device=entry.device,
        )
        return Checked(entry, False, says)
    if not signed.person_signature:
        return Checked(entry, False, "")
    author = entry.draft.author
    pinned = roster.certificate(author, signed.person_fingerprint)
    if pinned is None:
        says = said(
            "the project knows no certificate {person_fingerprint} of {author}.",
            person_fingerprint=signed.person_fingerprint[:16],
            author=author,
        )
        return Checked(entry, False, says)
    if not verify(stretch, signed.person_signature, pinned):
        says = said(
            "it is not a signature of {author}'s certificate for the entries before it.", author=author
        )
        return Checked(entry, False, says)
    return Checked(entry, True, "")


def _names(certificate: str, device: str) -> bool:
    try:
        return device_named_in(certificate) == device
    except UnreadableCertificate:
        return False
