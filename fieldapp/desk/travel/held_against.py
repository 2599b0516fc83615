"""A bundle held against a project: who vouches for its sender, and whether its entries fit the journal."""

from __future__ import annotations

from collections.abc import Collection

from fieldapp.desk.travel.bundle_fact import BundleFact, BundleFactName
from fieldapp.desk.travel.sender import BundleSender, cautions_about, check_device_key, check_person_pinned
from fieldapp.desk.workplace import Workplace
from fieldapp.exchange.bundle.reading import Bundle
from fieldapp.exchange.bundle.refused import BundleRefused
from fieldapp.identity.verification import Answer
from fieldapp.record.entry import Entry
from fieldapp.record.revoked import fingerprint_of
from fieldapp.record.said import said
from fieldapp.record.said_lists import sentences

_VOUCHED = BundleFactName.VOUCHED


def vouched(bundle: Bundle, entries: Collection[Entry], place: Workplace | None) -> BundleFact:
    """Whether somebody else than the bundle itself vouches for who sent it."""
    if place is None or place.project_id != bundle.manifest.project:
        return BundleFact(_VOUCHED, Answer.UNKNOWN, _own_word(bundle, entries))
    known = place.entries()
    revoked = cautions_about(_claimed(bundle), place.record())
    if revoked:
        return BundleFact(_VOUCHED, Answer.UNKNOWN, sentences(revoked))
    device, person = bundle.manifest.device, bundle.manifest.made_by
    if not any(each.device == device for each in known):
        says = said(
            "The project does not know device {device} yet; its key {mark} stands in its own chain alone.",
            device=device,
            mark=_claimed(bundle).device_fingerprint[:16],
        )
        return BundleFact(_VOUCHED, Answer.UNKNOWN, says)
    try:
        check_device_key(bundle, known)
    except BundleRefused as problem:
        return _not_by(bundle, entries, problem)
    try:
        check_person_pinned(bundle, known)
    except BundleRefused as problem:
        return BundleFact(_VOUCHED, Answer.UNKNOWN, problem.rule)
    says = (
        said(
            "The project knows device {device} and the certificate of {person}.", device=device, person=person
        )
        if person
        else said("The project knows device {device} by the same key.", device=device)
    )
    return BundleFact(_VOUCHED, Answer.YES, says)


def _not_by(bundle: Bundle, entries: Collection[Entry], problem: BundleRefused) -> BundleFact:
    """The project has the chain without that key: a device may have brought its key since."""
    try:
        check_device_key(bundle, entries)
    except BundleRefused:
        return BundleFact(_VOUCHED, Answer.NO, problem.rule)
    says = said(
        "The project knows device {device}, and not yet the key with which it signs.",
        device=bundle.manifest.device,
    )
    return BundleFact(_VOUCHED, Answer.UNKNOWN, says)


def _own_word(bundle: Bundle, entries: Collection[Entry]) -> str:
    """What the roster inside says; it is never trust."""
    person = bundle.manifest.made_by
    try:
        check_person_pinned(bundle, entries)
    except BundleRefused:
        inside = said("Not even the bundle's own roster names the certificate of {person}.", person=person)
    else:
        inside = (
            said(
                "The bundle's own roster names the certificate of {person}; that proves nothing by itself.",
                person=person,
            )
            if person
            else said("Only the bundle itself names the key of its device; that proves nothing by itself.")
        )
    further = said("Verify with the project, or compare the fingerprints with their owners.")
    return sentences((inside, further))


def _claimed(bundle: Bundle) -> BundleSender:
    signature, manifest = bundle.signature, bundle.manifest
    marks = fingerprint_of(signature.device_certificate), fingerprint_of(signature.person_certificate)
    return BundleSender(manifest.device, marks[0], manifest.made_by, marks[1])


def fits(entries: Collection[Entry], place: Workplace) -> tuple[BundleFact, int | None]:
    """Whether the entries could be taken over into the project's journal, and how many of them are new."""
    name, known = BundleFactName.FITS, {(each.device, each.seq): each.hash for each in place.entries()}
    project = place.project_id
    other = next((each.draft.project for each in entries if project and each.draft.project != project), "")
    if other:
        says = said("It is of project {found}, and this is project {known}.", found=other, known=project)
        return BundleFact(name, Answer.NO, says), None
    new = []
    for each in entries:
        mine = known.get((each.device, each.seq))
        if mine is None:
            new.append(each)
        elif mine != each.hash:
            says = said(
                "Entry {seq} of {device} is another one in the project's journal.",
                seq=each.seq,
                device=each.device,
            )
            return BundleFact(name, Answer.NO, says), None
    ids = {each.id: each.hash for each in place.entries()}
    twice = next((each for each in new if each.id in ids), None)
    if twice is not None:
        says = said(
            "Entry {seq} of {device} has the number of another entry in the project's journal.",
            seq=twice.seq,
            device=twice.device,
        )
        return BundleFact(name, Answer.NO, says), None
    says = (
        said("Of its {count} entries {new} are new to the project.", count=len(entries), new=len(new))
        if new
        else said("The project has all of its {count} entries.", count=len(entries))
    )
    return BundleFact(name, Answer.YES, says), len(new)
