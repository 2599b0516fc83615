"""The attacker's list: what is done to the file of a journal, what shows it, and what nothing can show."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

import pytest

from fieldapp.desk.audit import audit
from fieldapp.desk.signatures import SignedBy
from fieldapp.desk.stretches import attribution, sign_stretch
from fieldapp.desk.witness import witness_file
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.identity.certificates import Term, to_pem
from fieldapp.identity.device_keys import (
    DeviceSigner,
    device_certificate,
    load_device_key,
    new_device_key,
)
from fieldapp.identity.keys import UnlockedKey, new_person_key
from fieldapp.identity.people import CertifiedPerson
from fieldapp.record.attesting import DeviceKey, PaperSigned, StretchSigned
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.column import HeadReading
from fieldapp.record.decisions import Basis, Hold, LogSigned, Position, Release
from fieldapp.record.entry import Draft
from fieldapp.record.hole import Note, Photo
from fieldapp.record.kinds import PROJECT_KINDS, Values
from fieldapp.record.reading import Reading
from fieldapp.record.words import PaperKind, Role
from fieldapp.store.pictures import save_picture
from tests.desk import attackers
from tests.desk.attackers import Body, Keys
from tests.desk.conftest import SiteClock
from tests.desk.signed_work import ENGINEER, INSPECTOR, NORTH, SOUTH, basis, person_key, pinned, say

SIGNED, MEMORY = "signatures of chains hold", "this device remembers the same"
MAKERS, CHAINS = "everybody made what he may make", "every chain holds"
PAPER = b"%PDF-1.7 as it was signed"


@dataclass(frozen=True)
class Job:
    """A project that was worked on and closed, and the keys of its people."""

    folder: Path
    clock: SiteClock
    inspector: UnlockedKey
    engineer: UnlockedKey


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    return tmp_path / "home" / "basenote"


@pytest.fixture
def job(place: Workplace, clock: SiteClock) -> Job:
    inspector = person_key(place, INSPECTOR, Role.INSPECTOR)
    engineer = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
    say(place, pinned(place.setup(), INSPECTOR, inspector), INSPECTOR)
    say(place, pinned(place.setup(), ENGINEER, engineer), ENGINEER)
    plan = place.shaft("P1-1").scheduled
    assert plan is not None
    say(place, replace(plan, location="pier 1, upstation right"), ENGINEER, "P1-2")
    say(place, Note("rig on the first shaft"))
    say(place, Note("rig on the second shaft"), shaft="P1-2")
    say(place, HeadReading(fluid_level=Reading("2.0", "ft")))
    say(place, Photo(save_picture(place.folder, b"the base", ".jpg"), "the base"))
    say(place, LogSigned(basis(place), "Recorded as seen."))
    sign_stretch(place, INSPECTOR, inspector)
    clock.move(minutes=20)
    say(place, Release(basis(place), clock.at + timedelta(hours=6), reason="soft rim accepted"), ENGINEER)
    sign_stretch(place, ENGINEER, engineer)
    say(place, Hold(basis(place), "tremie late"), ENGINEER)
    sign_stretch(place, ENGINEER)
    (place.folder / "reports" / "p1-1.pdf").write_bytes(PAPER)
    say(place, a_paper(inspector))
    place.writer().close()
    assert wrong(place.folder) == {}
    return Job(place.folder, clock, inspector, engineer)


def a_paper(key: UnlockedKey) -> PaperSigned:
    return PaperSigned(
        paper=PaperKind.SHAFT_LOG,
        about="P1-1",
        file_name="p1-1.pdf",
        file_digest=hashlib.sha256(PAPER).hexdigest(),
        record_digest="0" * 64,
        field="Inspector",
        role=Role.INSPECTOR,
        fingerprint=key.certificate.fingerprint,
    )


def wrong(folder: Path) -> dict[str, str]:
    return {each.what: each.detail for each in audit(folder) if not each.ok}


def detail(folder: Path, what: str) -> str:
    return next(each.detail for each in audit(folder) if each.what == what)


def number(folder: Path, kind: str, which: int = 0) -> int:
    """The number of an entry of a kind in the chain of this device."""
    found = [each["seq"] for each in attackers.chain(folder, SOUTH) if each["kind"] == kind]
    return int(found[which])


def reworded(bodies: list[Body]) -> list[Body]:
    for each in bodies:
        if each["kind"] == "head reading":
            each["values"]["fluid_level"]["read"] = "9.9"
    return bodies


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


def unsigned(bodies: list[Body]) -> list[Body]:
    return [each for each in bodies if each["kind"] not in {"device key", "stretch signed"}]


def a_device_key(job: Job, device: str = SOUTH) -> DeviceSigner:
    pkcs8 = new_device_key()
    term = Term(job.clock.at, job.clock.at + timedelta(days=9))
    return load_device_key(pkcs8, device_certificate(pkcs8, device, term))


def forged_keys(job: Job) -> tuple[Keys, UnlockedKey]:
    """A device key of the forger's own, and a key in the name of the resident engineer."""
    device = a_device_key(job)
    term = Term(job.clock.at - timedelta(days=1), job.clock.at + timedelta(days=9))
    person = CertifiedPerson(ENGINEER, (Role.RESIDENT_ENGINEER,), "Larkwater crossing")
    engineer = new_person_key(person, term)
    people = ((ENGINEER, engineer.certificate.fingerprint, engineer),)
    return Keys(device, device.certificate, people), engineer


def with_pin(key: UnlockedKey) -> Callable[[list[Body]], list[Body]]:
    def change(bodies: list[Body]) -> list[Body]:
        for each in bodies:
            for person in each["values"].get("people", ()):
                if person["name"] == ENGINEER and person.get("certificate"):
                    person["certificate"] = to_pem(key.x509_certificate)
        return bodies

    return change


def without_people(bodies: list[Body]) -> list[Body]:
    """Signatures of people cannot be made anew without their keys, so a forger leaves them out."""
    for each in bodies:
        if each["kind"] == "stretch signed":
            each["values"].pop("person_fingerprint", None)
            each["values"].pop("person_signature", None)
    return bodies


def a_draft(job: Job, values: Values, author: str, **more: object) -> Draft:
    about = None if values.KIND in PROJECT_KINDS else "P1-1"
    moment = job.clock.at + timedelta(minutes=5)
    made = Draft(job.clock.new_id(), "larkwater", about, values, moment, moment, author)
    return replace(made, **more)


def a_release(job: Job, author: str) -> Draft:
    basis = Basis((Position(SOUTH, 1),), "0" * 64)
    return a_draft(job, Release(basis, job.clock.at + timedelta(hours=9)), author)


def appended(job: Job, draft: Draft) -> None:
    attackers.rewrite(job.folder, SOUTH, lambda bodies: [*bodies, attackers.body_of(draft, 900)])


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


# What this device remembers.


@pytest.mark.parametrize(
    "content", [None, b"", b"[]", b'{"project": "larkwater", "folders": [1]}', b"\xff" * 9]
)
def test_a_memory_that_is_missing_or_damaged_is_not_known_and_no_error(
    job: Job, content: bytes | None
) -> None:
    memory = witness_file("larkwater")
    memory.unlink() if content is None else memory.write_bytes(content)
    found = audit(job.folder)
    assert all(each.ok for each in found)
    assert "not known" in next(each.detail for each in found if each.what == MEMORY)
    assert detail(job.folder, MEMORY) == ""  # the audit held, so it is known from now on


def test_a_memory_that_cannot_be_kept_stops_nothing(job: Job) -> None:
    memory = witness_file("larkwater")
    memory.unlink()
    memory.mkdir()
    assert wrong(job.folder) == {}


def test_signing_on_does_not_make_this_device_forget_what_was_rewritten(job: Job) -> None:
    attackers.rewrite(job.folder, SOUTH, lambda bodies: unsigned(reworded(bodies)))
    with open_project(job.folder, job.clock, device=SOUTH) as place:
        for _ in range(9):  # beyond what this device has seen
            say(place, Hold(basis(place), "again"), ENGINEER)
        sign_stretch(place, ENGINEER)
    assert "is another one than this device has seen" in wrong(job.folder)[MEMORY]


def test_a_folder_that_was_moved_is_held_against_what_was_seen_of_it(job: Job, tmp_path: Path) -> None:
    moved = tmp_path / "moved"
    shutil.copytree(job.folder, moved)
    last = number(moved, "stretch signed", -1)
    attackers.cut_tail(moved, SOUTH, last - 2)
    assert f"entry {last} of device {SOUTH}, it ends at {last - 2}" in wrong(moved)[MEMORY]


def test_two_projects_of_one_name_on_one_device_do_not_disturb_each_other(job: Job, tmp_path: Path) -> None:
    other = tmp_path / "other"
    shutil.copytree(job.folder, other)
    attackers.cut_tail(other, SOUTH, number(other, "log signed") - 1)
    with open_project(other, job.clock, device="tablet east") as place:
        say(place, Hold(basis(place), "another story"), ENGINEER)
        sign_stretch(place, ENGINEER)
    assert wrong(other) == {}
    assert "Another copy of this project that was here differs" in detail(other, MEMORY)
    assert wrong(job.folder) == {}


# What nothing in the file shows.  These tests keep the documents honest.


def test_not_shown_a_tail_cut_off_when_the_memory_of_this_device_is_gone_too(job: Job) -> None:
    attackers.cut_tail(job.folder, SOUTH, number(job.folder, "stretch signed", 1))
    witness_file("larkwater").unlink()
    assert wrong(job.folder) == {}


def test_not_shown_a_chain_signed_anew_when_the_memory_of_this_device_is_gone_too(job: Job) -> None:
    keys, _ = forged_keys(job)
    forged = replace(keys, people=())
    attackers.rewrite(job.folder, SOUTH, lambda bodies: without_people(reworded(bodies)), forged)
    witness_file("larkwater").unlink()
    assert wrong(job.folder) == {}
    assert "3 by the device only" in detail(job.folder, "whose key vouches for decisions")


def test_not_shown_a_new_device_that_pins_a_certificate_and_releases_in_the_engineers_name(job: Job) -> None:
    keys, engineer = forged_keys(job)
    device = a_device_key(job, "tablet east")
    keys = replace(keys, device=device, certificate=device.certificate)
    with open_project(job.folder, job.clock, device=SOUTH) as place:
        setup = pinned(place.setup(), ENGINEER, engineer)
    signed = StretchSigned(1, "0" * 64, "30" * 70)
    drafts = [
        a_draft(job, setup, ENGINEER),
        a_draft(job, DeviceKey(device.certificate), ENGINEER),
        a_release(job, ENGINEER),
        a_draft(job, signed, ENGINEER),
    ]
    attackers.new_chain(job.folder, "tablet east", drafts, keys)
    assert wrong(job.folder) == {}
    assert f"tablet east: signed through entry 3 by key {device.fingerprint[:16]}" in detail(
        job.folder, SIGNED
    )


def test_not_shown_but_said_to_be_unsigned_a_decision_added_at_the_end_in_a_right_name(job: Job) -> None:
    appended(job, a_release(job, ENGINEER))
    assert wrong(job.folder) == {}
    assert "2 after that not signed" in detail(job.folder, SIGNED)
    with open_project(job.folder, job.clock, device=SOUTH) as place:
        last = attribution(place)[-1]
    assert (last.by, last.fingerprint) == (SignedBy.NOBODY, "")
    assert last.says.startswith(f"Not signed: typed on device {SOUTH} as a decision of {ENGINEER}")


def test_not_shown_a_dishonest_reading_that_was_signed(job: Job) -> None:
    with open_project(job.folder, job.clock, device=SOUTH) as place:
        (seen,) = (each for each in place.entries() if isinstance(each.values, SoundingRound))
        assert isinstance(seen.values, SoundingRound)
        clean = tuple(
            replace(each, first_contact=each.firm or each.first_contact) for each in seen.values.points
        )
        say(place, replace(seen.values, number=2, points=clean))
        say(place, LogSigned(basis(place), "Recorded as seen."))
        sign_stretch(place, INSPECTOR, job.inspector)
    assert wrong(job.folder) == {}


def test_not_shown_a_clock_that_was_wrong_when_it_was_signed(job: Job) -> None:
    job.clock.move(hours=-1)
    with open_project(job.folder, job.clock, device=SOUTH) as place:
        say(place, Note("an hour before it was"))
        sign_stretch(place, INSPECTOR)
    assert wrong(job.folder) == {}
