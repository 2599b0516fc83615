"""Who sent a bundle: the device, whose certificate must stand in its chain, and a person of the roster."""

from __future__ import annotations

from dataclasses import dataclass

from fieldapp.criteria.phrasing import clock_of_year
from fieldapp.desk.trust.signatures import OfKinds, Roster
from fieldapp.exchange.bundle.reading import Bundle
from fieldapp.exchange.bundle.refused import BundleRefused
from fieldapp.identity.bundles import Sent, holds
from fieldapp.identity.device_keys import device_named_in
from fieldapp.identity.errors import UnreadableCertificate
from fieldapp.record.attesting import DeviceKey
from fieldapp.record.revoked import fingerprint_of, revoked_since
from fieldapp.record.said import said
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.shaft import ProjectRecord


@dataclass(frozen=True, slots=True)
class BundleSender:
    """The device and, where a person's key signed too, the person; fingerprints are of the certificates."""

    device: str
    device_fingerprint: str
    person: str = ""
    person_fingerprint: str = ""


def check_signatures(bundle: Bundle) -> None:
    """Hold the signatures against the bytes of the bundle.  Raises BundleRefused.

    That the certificates are whose they say is asked of the entries, see `sender_of`.
    """
    check_device_signature(bundle)
    check_person_signature(bundle)


def check_device_signature(bundle: Bundle) -> None:
    """Hold the signature of the sending device against the bytes.  Raises BundleRefused."""
    manifest, signature = bundle.manifest, bundle.signature
    try:
        named = device_named_in(signature.device_certificate)
    except UnreadableCertificate:
        named = ""
    held = holds(_sent(bundle), signature.device_signature, signature.device_certificate)
    if named != manifest.device or not held:
        raise BundleRefused(
            bundle.name,
            said(
                "The signature of device {device} does not hold: it was changed or damaged on the way.",
                device=manifest.device,
            ),
        )


def check_person_signature(bundle: Bundle) -> None:
    """Hold the signature of the person who sent it, if one did, against the bytes.  Raises BundleRefused."""
    manifest, signature = bundle.manifest, bundle.signature
    if bool(signature.person_signature) != bool(manifest.made_by):
        raise BundleRefused(bundle.name, said("Its manifest and its signatures name different senders."))
    if signature.person_signature and not holds(
        _sent(bundle), signature.person_signature, signature.person_certificate
    ):
        raise BundleRefused(
            bundle.name,
            said(
                "The signature of {person} does not hold: it was changed or damaged on the way.",
                person=manifest.made_by,
            ),
        )


def sender_of(bundle: Bundle, journal: OfKinds) -> BundleSender:
    """Who sent a bundle, by entries that were checked.  Raises BundleRefused for somebody nobody knows."""
    manifest, signature = bundle.manifest, bundle.signature
    check_device_key(bundle, journal)
    check_person_pinned(bundle, journal)
    mark = fingerprint_of(signature.person_certificate)
    return BundleSender(manifest.device, fingerprint_of(signature.device_certificate), manifest.made_by, mark)


def check_device_key(bundle: Bundle, journal: OfKinds) -> None:
    """Look for the key of the sending device in its chain.  Raises BundleRefused where it is not there."""
    device = bundle.manifest.device
    keys = (each.values for each in journal.of_kinds((DeviceKey.KIND,)) if each.device == device)
    known = next((each.certificate for each in keys if isinstance(each, DeviceKey)), "")
    if known != bundle.signature.device_certificate:
        raise BundleRefused(
            bundle.name,
            said("Its key is not the one with which device {device} signs its chain.", device=device),
        )


def check_person_pinned(bundle: Bundle, journal: OfKinds) -> None:
    """Look for the person's certificate on a roster in this journal.  Raises BundleRefused."""
    manifest, signature = bundle.manifest, bundle.signature
    mark = fingerprint_of(signature.person_certificate)
    roster = Roster.of(journal.of_kinds((ProjectSetup.KIND,)))
    pinned = roster.certificate(manifest.made_by, mark) if manifest.made_by else ""
    if pinned is None or (pinned and not holds(_sent(bundle), signature.person_signature, pinned)):
        raise BundleRefused(
            bundle.name,
            said("The certificate of {person} is not on the roster.", person=manifest.made_by),
        )


def _sent(bundle: Bundle) -> Sent:
    return Sent(bundle.manifest.project, bundle.manifest.device, bundle.digest)


def cautions_about(sender: BundleSender, record: ProjectRecord) -> tuple[str, ...]:
    """Revocations of the sender's certificates, as sentences.

    They refuse no bundle, since parts may arrive in any order; what was recorded since counts for nothing.
    """
    found = []
    for who, mark in (
        (sender.device, sender.device_fingerprint),
        (sender.person, sender.person_fingerprint),
    ):
        since = revoked_since(record, who, mark)
        if since is not None:
            found.append(
                said(
                    "The certificate of {who} is revoked since {since}. Ask how this bundle "
                    "came; what was recorded with it since then does not count.",
                    who=who,
                    since=clock_of_year(since),
                )
            )
    return tuple(found)
