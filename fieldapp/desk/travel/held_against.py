"""A bundle held against a project: who vouches for its sender, and whether its entries fit the journal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

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
from fieldapp.store.kept import KeptJournal

_VOUCHED = BundleFactName.VOUCHED


def vouched(bundle: Bundle, journal: KeptJournal, place: Workplace | None) -> BundleFact:
    """Whether somebody else than the bundle itself vouches for who sent it."""
    if place is None or place.project_id != bundle.manifest.project:
        return BundleFact(_VOUCHED, Answer.UNKNOWN, _own_word(bundle, journal))
    revoked = cautions_about(_claimed(bundle), place.record())
    if revoked:
        return BundleFact(_VOUCHED, Answer.UNKNOWN, sentences(revoked))
    device, person = bundle.manifest.device, bundle.manifest.made_by
    if device not in place.heads():
        says = said(
            "The project does not know device {device} yet; its key {mark} stands in its own chain alone.",
            device=device,
            mark=_claimed(bundle).device_fingerprint[:16],
        )
        return BundleFact(_VOUCHED, Answer.UNKNOWN, says)
    try:
        check_device_key(bundle, place)
    except BundleRefused as problem:
        return _not_by(bundle, journal, problem)
    try:
        check_person_pinned(bundle, place)
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


def _not_by(bundle: Bundle, journal: KeptJournal, problem: BundleRefused) -> BundleFact:
    """The project has the chain without that key: a device may have brought its key since."""
    try:
        check_device_key(bundle, journal)
    except BundleRefused:
        return BundleFact(_VOUCHED, Answer.NO, problem.rule)
    says = said(
        "The project knows device {device}, and not yet the key with which it signs.",
        device=bundle.manifest.device,
    )
    return BundleFact(_VOUCHED, Answer.UNKNOWN, says)


def _own_word(bundle: Bundle, journal: KeptJournal) -> str:
    """What the roster inside says; it is never trust."""
    person = bundle.manifest.made_by
    try:
        check_person_pinned(bundle, journal)
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


def fits(bundle: Bundle, journal: KeptJournal, place: Workplace) -> tuple[BundleFact, int | None]:
    """Whether the entries could be taken over into the project's journal, and how many of them are new."""
    name, project, found = BundleFactName.FITS, place.project_id, bundle.manifest.project
    if project not in {"", found}:
        says = said("It is of project {found}, and this is project {known}.", found=found, known=project)
        return BundleFact(name, Answer.NO, says), None
    here, there = place.heads(), journal.heads()
    for device in sorted(here.keys() & there.keys()):
        seq = _first_other(place, journal, device, min(here[device].seq, there[device].seq))
        if seq is not None:
            says = said(
                "Entry {seq} of {device} is another one in the project's journal.", seq=seq, device=device
            )
            return BundleFact(name, Answer.NO, says), None
    before = {device: head.seq for device, head in here.items()}
    new = sum(max(0, head.seq - before.get(device, 0)) for device, head in there.items())
    twice = next((each for each in _new(journal, before) if place.entry(each.id) is not None), None)
    if twice is not None:
        says = said(
            "Entry {seq} of {device} has the number of another entry in the project's journal.",
            seq=twice.seq,
            device=twice.device,
        )
        return BundleFact(name, Answer.NO, says), None
    count = len(journal.entries())
    says = (
        said("Of its {count} entries {new} are new to the project.", count=count, new=new)
        if new
        else said("The project has all of its {count} entries.", count=count)
    )
    return BundleFact(name, Answer.YES, says), new


def _first_other(place: Workplace, journal: KeptJournal, device: str, last: int) -> int | None:
    """The first entry of a chain that is not the same in both, up to a number.

    Each names the one before it by its hash: where the last is the same, all before it are.
    """
    low, high = 0, last + 1  # the same up to ``low``, another one at ``high``
    while high - low > 1:
        middle = (low + high) // 2
        mine, theirs = (each.at_places([(device, middle)]) for each in (place, journal))
        if {each.hash for each in mine} == {each.hash for each in theirs}:
            low = middle
        else:
            high = middle
    return high if high <= last else None


def _new(journal: KeptJournal, before: Mapping[str, int]) -> Iterator[Entry]:
    return (each for each in journal.entries() if each.seq > before.get(each.device, 0))
