"""The attacker's list: what is done to the file of a journal, and what shows it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from fieldapp.record.attesting import DeviceKey
from fieldapp.record.decisions import Strike
from tests.desk import attackers
from tests.desk.attackers import Body, Keys
from tests.desk.audit.forged_work import (
    CHAINS,
    MAKERS,
    MEMORY,
    PAPER,
    SIGNED,
    Job,
    a_device_key,
    a_draft,
    a_paper,
    a_release,
    appended,
    detail,
    forged_keys,
    number,
    reworded,
    unsigned,
    with_pin,
    without_people,
    wrong,
)
from tests.desk.signed_work import ENGINEER, INSPECTOR, NORTH, SOUTH


def without(kind: str) -> Callable[[list[Body]], list[Body]]:
    return lambda bodies: [each for each in bodies if each["kind"] != kind]


def swapped_notes(bodies: list[Body]) -> list[Body]:
    first, second = (at for at, each in enumerate(bodies) if each["kind"] == "note")
    bodies[first], bodies[second] = bodies[second], bodies[first]
    return bodies


def swapped_shafts(bodies: list[Body]) -> list[Body]:
    for each in bodies:
        if each["kind"] in {"note", "head reading"}:
            each["shaft"] = {"P1-1": "P1-2", "P1-2": "P1-1"}[each["shaft"]]
    return bodies


# What is done, which finding of the audit shows it, and the device and entry that it names.


def test_a_sound_project_has_nothing_wrong_and_says_how_far_it_is_signed(job: Job) -> None:
    said = detail(job.folder, SIGNED)
    assert f"{SOUTH}: signed through entry {number(job.folder, 'hold')} by key" in said
    assert "1 after that not signed" in said
    assert f"{NORTH}: none of its 2 entries is signed" in said
    assert detail(job.folder, "whose key vouches for decisions") == (
        "2 by the certificate of who made it, 1 by the device only"
    )
    assert detail(job.folder, MEMORY) == ""


def test_an_edited_text_is_named(job: Job) -> None:
    place = number(job.folder, "head reading")
    attackers.edit_alone(job.folder, SOUTH, place, '"2.0"', '"9.9"')
    found = wrong(job.folder)
    assert (
        f"entry {place} of device {SOUTH}: hash differ" in found["every entry opens and equals its columns"]
    )
    assert f"chain of device {SOUTH}, entry {place + 1}: it does not follow" in found[CHAINS]


def test_an_edited_text_in_a_chain_that_was_computed_anew_is_shown_by_the_signature(job: Job) -> None:
    attackers.rewrite(job.folder, SOUTH, reworded)
    found = wrong(job.folder)
    assert set(found) == {SIGNED, MEMORY}
    place = number(job.folder, "stretch signed")
    assert f"entry {place} of device {SOUTH}, a stretch signed by {INSPECTOR}" in found[SIGNED]
    assert f"not a signature of the key of device {SOUTH}" in found[SIGNED]
    assert f"of device {SOUTH} is another one than this device has seen" in found[MEMORY]


def test_a_deleted_entry_is_named(job: Job) -> None:
    place = number(job.folder, "head reading")
    attackers.delete_alone(job.folder, SOUTH, place)
    said = f"chain of device {SOUTH}, entry {place + 1}: entries {place} to {place} are missing"
    assert said in wrong(job.folder)[CHAINS]


@pytest.mark.parametrize(
    "change",
    [without("head reading"), swapped_notes, swapped_shafts, without("log signed")],
    ids=["deleted", "two in another order", "two shafts changed over", "a decision deleted"],
)
def test_a_chain_that_was_computed_anew_does_not_carry_its_signatures(
    job: Job, change: Callable[[list[Body]], list[Body]]
) -> None:
    attackers.rewrite(job.folder, SOUTH, change)
    found = wrong(job.folder)
    place = number(job.folder, "stretch signed")
    assert f"entry {place} of device {SOUTH}, a stretch signed" in found[SIGNED]
    assert set(found) <= {SIGNED, MEMORY, "what decisions rest on is here"}


def test_a_tail_cut_off_with_its_head_is_shown_by_this_device(job: Job) -> None:
    last = number(job.folder, "stretch signed", -1)
    attackers.cut_tail(job.folder, SOUTH, last - 2)
    assert wrong(job.folder) == {
        MEMORY: f"this device has seen entry {last} of device {SOUTH}, it ends at {last - 2}"
    }


def test_a_signature_cut_off_alone_is_shown_by_this_device(job: Job) -> None:
    last = number(job.folder, "stretch signed", -1)
    attackers.cut_tail(job.folder, SOUTH, last - 1)
    assert f"entry {last} of device {SOUTH}, it ends at {last - 1}" in wrong(job.folder)[MEMORY]


def test_another_picture_under_the_same_name_is_named(job: Job) -> None:
    (picture,) = (job.folder / "pictures").iterdir()
    picture.write_bytes(b"another base")
    place = number(job.folder, "photo")
    said = f"picture {picture.stem} is changed (entry {place} of device {SOUTH})"
    assert wrong(job.folder) == {"every picture is here, unchanged": said}


def test_a_chain_signed_anew_with_another_device_key_is_shown_by_this_device(job: Job) -> None:
    keys, _ = forged_keys(job)
    forged = replace(keys, people=())
    attackers.rewrite(job.folder, SOUTH, lambda bodies: without_people(reworded(bodies)), forged)
    found = wrong(job.folder)
    assert set(found) == {MEMORY}
    assert f"the chain of device {SOUTH} has another key than this device has seen" in found[MEMORY]
    assert f"entry {number(job.folder, 'stretch signed', -1)} of device {SOUTH}" in found[MEMORY]


def test_a_persons_signature_does_not_go_over_to_a_chain_with_another_device_key(job: Job) -> None:
    keys, _ = forged_keys(job)
    attackers.rewrite(job.folder, SOUTH, reworded, replace(keys, people=()))
    found = wrong(job.folder)
    place = number(job.folder, "stretch signed")
    assert f"entry {place} of device {SOUTH}" in found[SIGNED]
    assert f"not a signature of {INSPECTOR}'s certificate" in found[SIGNED]


def test_signatures_taken_out_are_shown_by_this_device(job: Job) -> None:
    attackers.rewrite(job.folder, SOUTH, lambda bodies: unsigned(reworded(bodies)))
    found = wrong(job.folder)
    assert f"of device {SOUTH}" in found[MEMORY]
    assert f"{SOUTH}: none of its" in detail(job.folder, SIGNED)


def test_another_certificate_on_the_roster_does_not_pass_with_the_old_device_key(job: Job) -> None:
    keys, engineer = forged_keys(job)
    attackers.rewrite(job.folder, SOUTH, with_pin(engineer), Keys(people=keys.people))
    place = number(job.folder, "stretch signed")
    assert f"entry {place} of device {SOUTH}" in wrong(job.folder)[SIGNED]


def test_another_certificate_on_the_roster_and_another_device_key_are_shown_by_this_device(job: Job) -> None:
    keys, engineer = forged_keys(job)
    attackers.rewrite(job.folder, SOUTH, lambda bodies: with_pin(engineer)(only_of(ENGINEER, bodies)), keys)
    found = wrong(job.folder)
    assert set(found) == {MEMORY}
    assert f"the chain of device {SOUTH} has another key" in found[MEMORY]


def only_of(author: str, bodies: list[Body]) -> list[Body]:
    return [each for each in bodies if each["kind"] != "stretch signed" or each["author"] == author]


@pytest.mark.parametrize(
    ("author", "why"),
    [("Somebody", "is not on the project's roster"), (INSPECTOR, "may not make a release")],
)
def test_a_release_by_somebody_who_may_not_is_named(job: Job, author: str, why: str) -> None:
    appended(job, a_release(job, author))
    place = number(job.folder, "release", -1)
    found = wrong(job.folder)
    assert set(found) == {MAKERS}
    assert f"entry {place} of device {SOUTH}, a release by {author}: {author} {why}" in found[MAKERS]


def test_a_signed_stretch_does_not_go_over_to_another_project(job: Job) -> None:
    def of_another(bodies: list[Body]) -> list[Body]:
        return [{**each, "project": "another"} for each in bodies]

    for device in attackers.devices(job.folder):
        attackers.rewrite(job.folder, device, of_another)
    place = number(job.folder, "stretch signed")
    assert f"entry {place} of device {SOUTH}, a stretch signed" in wrong(job.folder)[SIGNED]


def test_an_earlier_signature_does_not_stand_for_a_later_stretch(job: Job) -> None:
    def replayed(bodies: list[Body]) -> list[Body]:
        first, *later = (each for each in bodies if each["kind"] == "stretch signed")
        for each in later:
            each["values"]["device_signature"] = first["values"]["device_signature"]
        return bodies

    attackers.rewrite(job.folder, SOUTH, replayed)
    place = number(job.folder, "stretch signed", 1)
    assert f"entry {place} of device {SOUTH}" in wrong(job.folder)[SIGNED]


def test_a_second_device_key_in_a_chain_is_a_break(job: Job) -> None:
    other = a_device_key(job)
    appended(job, a_draft(job, DeviceKey(other.certificate), INSPECTOR))
    place = number(job.folder, "device key", -1)
    said = f"chain of device {SOUTH}, entry {place}: it brings a second device key into the chain"
    assert wrong(job.folder)[CHAINS] == said


def test_the_key_of_another_device_in_a_chain_is_named(job: Job) -> None:
    other = a_device_key(job, "tablet east")
    keys = Keys(other, other.certificate)
    attackers.rewrite(job.folder, SOUTH, without_people, keys)
    place = number(job.folder, "device key")
    assert f"entry {place} of device {SOUTH}, a device key" in wrong(job.folder)[SIGNED]


@pytest.mark.parametrize("content", [None, PAPER + b" "], ids=["missing", "changed"])
def test_a_signed_paper_that_is_not_as_it_was_signed_is_named(job: Job, content: bytes | None) -> None:
    paper = job.folder / "reports" / "p1-1.pdf"
    paper.unlink() if content is None else paper.write_bytes(content)
    (said,) = wrong(job.folder).values()
    assert said.startswith("p1-1.pdf is missing" if content is None else "p1-1.pdf was changed")
    assert f"entry {number(job.folder, 'paper signed')} of device {SOUTH}" in said


def test_a_paper_that_leads_out_of_the_reports_is_not_looked_at(job: Job) -> None:
    appended(job, a_draft(job, replace(a_paper(job.inspector), file_name="../journal.db"), INSPECTOR))
    assert (
        "../journal.db lies outside of the reports" in wrong(job.folder)["signed papers are here, unchanged"]
    )


def test_a_change_of_an_entry_of_an_unknown_kind_is_named(job: Job) -> None:
    note = next(each for each in attackers.chain(job.folder, SOUTH) if each["kind"] == "note")
    strike = a_draft(job, Strike(note["id"], "twice"), INSPECTOR, shaft=note["shaft"], parents=(note["id"],))
    appended(job, strike)
    attackers.edit_alone(job.folder, SOUTH, note["seq"], '"kind":"note"', '"kind":"nota"')
    assert "is not in the record of this shaft" in wrong(job.folder)[MAKERS]
