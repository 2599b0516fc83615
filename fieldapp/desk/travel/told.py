"""What a bundle brought, in sentences; shafts are told one by one, see `ShaftChange`."""

from __future__ import annotations

from fieldapp.desk.travel.arriving import Arrived
from fieldapp.record.said import said


def told_of(arrived: Arrived) -> tuple[str, ...]:
    """From whom it came, how much is new, what is not here yet, and what to know of it."""
    sender = arrived.sender
    found = [
        said("Taken over from device {device}, sent by {person}.", device=sender.device, person=sender.person)
        if sender.person
        else said("Taken over from device {device}; no person signed it.", device=sender.device)
    ]
    if arrived.first_seen:
        found.append(
            said(
                "That device is new here; its key {mark} stands in its own chain.",
                mark=sender.device_fingerprint[:16],
            )
        )
    if arrived.new or arrived.files:
        found.append(
            said(
                "New entries: {new}. New files: {files}. Entries known before: {known}.",
                new=arrived.new,
                files=arrived.files,
                known=arrived.known,
            )
        )
    else:
        found.append(said("Everything in it was here already."))
    if arrived.missing:
        found.append(
            said(
                "Pictures and attached files that are not here yet: {count}. "
                "A bundle of all shafts brings them.",
                count=arrived.missing,
            )
        )
    return (*found, *arrived.cautions)
