"""Signed stretches: the device's key signs its chain after each decision, with the person's if unlocked.

A decision is durable before it is signed; one that could not be signed stands, and is said to be unsigned.
A chain has one key: a device that lost it signs nothing any more until it records under a new name.
"""

from __future__ import annotations

from contextlib import suppress
from typing import Final

from fieldapp.criteria.phrasing import clock_in_full, clock_seen
from fieldapp.desk.device import kept_name, take_new_name
from fieldapp.desk.inspector import refuse_or_ask
from fieldapp.desk.trust.device_key import device_key, kept_device_key
from fieldapp.desk.trust.signatures import Roster
from fieldapp.desk.trust.witness import Seen, remember
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.device_keys import DeviceKeyLost, DeviceSigner, same_key
from fieldapp.identity.errors import NotThisPerson, OutsideValidity, RevokedKey
from fieldapp.identity.keys import UnlockedKey
from fieldapp.identity.stretches import Stretch, sign_stretch_bytes
from fieldapp.record.attesting import DeviceKey, StretchSigned
from fieldapp.record.entry import ChainHead, Draft, Entry, seal
from fieldapp.record.kinds import Values
from fieldapp.record.objections import objections
from fieldapp.record.revoked import fingerprint_of, revoked_since
from fieldapp.record.said import said
from fieldapp.store.problems import WrongStretch

_TRIES: Final = 5  # a thread that records at the same instant may take the place that was to be signed


def sign_stretch(place: Workplace, author: str, key: UnlockedKey | None = None) -> Entry:
    """Sign the chain of this device up to its last entry, and return the entry that says so.

    Call it right after a decision.  ``author`` made that decision; ``key`` is the author's, when unlocked.
    The first signature of a chain brings the device's key into it, in the same transaction.

    Raises DeviceKeyLost, and RevokedKey, OutsideValidity or NotThisPerson about ``key``; Refused for
    somebody who is not on the roster; StoreProblem.  Then the decision stands, unsigned.
    """
    check_can_sign(place, author, key)
    entry = _append_signed(place, author, key)
    mark = fingerprint_of(_key_in_chain(place, entry.device))
    seen = {entry.device: Seen(entry.seq, entry.hash, mark)}
    remember(place.folder, place.project_id, seen, place.record().entries)
    return entry


def check_can_sign(place: Workplace, author: str, key: UnlockedKey | None = None) -> None:
    """Raise what would keep `sign_stretch` from signing; ask it before a decision is recorded."""
    _signer(place, _key_in_chain(place, place.device))
    if key is None:
        return
    mark, now = key.certificate.fingerprint, place.now()
    if Roster.of(each.original for each in place.record().lines).certificate(author, mark) is None:
        raise NotThisPerson(
            said(
                "The unlocked key is not that of {author} on this project's roster. Nothing "
                "was signed; unlock the key of {author}, or have its certificate put on the "
                "roster first.",
                author=author,
            )
        )
    since = revoked_since(place.record(), author, mark)
    if since is not None and since <= now:
        raise RevokedKey(
            said(
                "The certificate of {author} is revoked since {since}. Nothing "
                "was signed; make a new key and have its certificate put on the roster.",
                author=author,
                since=clock_seen(since, now),
            )
        )
    if not key.certificate.covers(now):
        raise OutsideValidity(
            said(
                "The certificate of {author} is good from {first} until {last}. Nothing was signed; check "
                "the clock or make a new key.",
                author=author,
                first=clock_in_full(key.certificate.valid_from, now),
                last=clock_in_full(key.certificate.valid_until, now),
            )
        )


def _append_signed(place: Workplace, author: str, key: UnlockedKey | None) -> Entry:
    for _ in range(_TRIES - 1):
        with suppress(WrongStretch):
            return place.append(_drafts(place, author, key))[-1]
    return place.append(_drafts(place, author, key))[-1]


def _drafts(place: Workplace, author: str, key: UnlockedKey | None) -> list[Draft]:
    """The signature of the chain's last entry, after the key of the device where that is not in it yet."""
    device = place.device
    head = place.writer().heads().get(device, ChainHead(device))
    known = _key_in_chain(place, device)
    signer = _signer(place, known)
    drafts = []
    if not known:
        first = _draft(place, author, DeviceKey(signer.certificate))
        head = _as_sealed_next(place, first, head)
        drafts.append(first)
    drafts.append(_draft(place, author, _signed(place.project_id, head, signer, key)))
    for each in drafts:
        refuse_or_ask(objections(place.record(), each), ())
    return drafts


def _as_sealed_next(place: Workplace, draft: Draft, head: ChainHead) -> ChainHead:
    entry = seal(draft, head, place.writer().highest_stamp() + 1)
    return ChainHead(entry.device, entry.seq, entry.hash)


def _key_in_chain(place: Workplace, device: str) -> str:
    """The certificate of the key that a chain is signed with, empty before its first signature."""
    own = place.record().entries
    keys = (each.values for each in own if each.device == device and isinstance(each.values, DeviceKey))
    return next((each.certificate for each in keys), "")


def _signer(place: Workplace, known: str) -> DeviceSigner:
    """The key of the device in hand: that of its chain, or one for a chain that has none yet."""
    device = place.device
    if not known:
        signer = device_key(device, place.now())
    else:
        signer = kept_device_key(device)
        signer = signer if signer is not None and same_key(signer.certificate, known) else None
    if signer is not None and _is_trusted(place, known):
        return signer
    why = said("is revoked") if signer else said("is not on this device any more")
    if device != kept_name():
        then = said("Take a new device name for what is recorded from now on.")
    else:
        place.device = take_new_name()
        then = said(
            "From now on this device records as {device}: decide anew there to have it signed.",
            device=place.device,
        )
    raise DeviceKeyLost(
        said(
            "The key of device {device} {why}, and a chain never gets a second one. "
            "Everything that is recorded is safe; nothing was signed. {then}",
            device=device,
            why=why,
            then=then,
        )
    )


def _is_trusted(place: Workplace, known: str) -> bool:
    since = revoked_since(place.record(), place.device, fingerprint_of(known))
    return since is None or since > place.now()


def _signed(project: str, head: ChainHead, signer: DeviceSigner, key: UnlockedKey | None) -> StretchSigned:
    stretch = Stretch(project, head.device, head.seq, head.hash)
    return StretchSigned(
        seq=head.seq,
        hash=head.hash,
        device_signature=sign_stretch_bytes(stretch, signer),
        person_fingerprint=key.certificate.fingerprint if key else "",
        person_signature=sign_stretch_bytes(stretch, key) if key else "",
    )


def _draft(place: Workplace, author: str, values: Values) -> Draft:
    now = place.now()
    return Draft(place.clock.new_id(), place.project_id, None, values, now, now, author)
