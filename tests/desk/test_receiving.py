"""What arrives from elsewhere is held against everything, through the one door, all of it or nothing."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
import rfc8785

from fieldapp.desk.audit import audit
from fieldapp.desk.office import begin_project
from fieldapp.desk.receiving import receive
from fieldapp.desk.signatures import Roster, SignedBy
from fieldapp.desk.stretches import attribution, signed_through
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.identity.certificates import Term, to_pem
from fieldapp.identity.device_keys import (
    DeviceSigner,
    device_certificate,
    load_device_key,
    new_device_key,
)
from fieldapp.identity.keys import UnlockedKey
from fieldapp.identity.stretches import Stretch, sign_stretch_bytes
from fieldapp.record.attesting import DeviceKey, PaperSigned, Revocation, StretchSigned
from fieldapp.record.chain import heads_of
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.column import HeadReading
from fieldapp.record.decisions import Amend, Basis, Hold, LogSigned, Position, Release, Strike
from fieldapp.record.entry import ChainHead, Draft, Entry, seal
from fieldapp.record.hole import ExcavationStage, Note
from fieldapp.record.kinds import KINDS, PROJECT_KINDS, Values
from fieldapp.record.reading import Reading
from fieldapp.record.setup import Person, ProjectSetup, ShaftScheduled
from fieldapp.record.shaft import digest_of
from fieldapp.record.words import Role, RoundWhy
from fieldapp.store.problems import BrokenLink, EntryRefused, Forked, StoreProblem
from tests.desk import attackers
from tests.desk.conftest import HOLE, SETUP, SiteClock
from tests.desk.signed_work import DESIGNER, ENGINEER, INSPECTOR, person_key, pinned, say
from tests.support.examples import EXAMPLES

NAMES = {Role.INSPECTOR: INSPECTOR, Role.RESIDENT_ENGINEER: ENGINEER, Role.DESIGNER: DESIGNER}


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))


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


@pytest.fixture
def east(place: Workplace) -> Second:
    return Second(place)


def refused(east: Second, *, sealed: list[bytes] | None = None) -> EntryRefused:
    """Taking over is refused, names the last entry, and nothing was written."""
    before = (east.place.writer().entries(), east.place.writer().heads(), east.place.writer().devices())
    with pytest.raises(EntryRefused) as said:
        receive(east.place, east.sealed if sealed is None else sealed)
    writer = east.place.writer()
    assert (writer.entries(), writer.heads(), writer.devices()) == before
    assert "Nothing was taken over" in str(said.value)
    if sealed is None:
        last = east.made[-1]
        named = f"Entry {last.seq} of device {last.device}, a {last.kind} by {last.draft.author},"
        assert str(said.value).startswith(named)
    return said.value


# The table of roles, cell by cell, through the door.


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workplace]:
    made = tmp_path_factory.mktemp("table")
    (made / "project.log").write_text(SETUP, "utf-8")
    (made / "P1-1.log").write_text(HOLE, "utf-8")
    folder = made / "larkwater"
    begin_project(folder)
    clock = SiteClock(datetime(2026, 5, 12, 12, 0, tzinfo=ZoneInfo("America/Denver")))
    with open_project(folder, clock, device="tablet south") as opened:
        add_logs(opened, read_logs(list(made.glob("*.log"))))
        say(opened, Note("for everybody to amend"))
        yield opened


# As design and survey give it: observations at the hole, decisions to one role each.
AT_THE_HOLE = {
    "instrument", "excavation stage", "geometry survey", "base sighting", "standing water", "delay",
    "event", "fluid test", "head reading", "cleanout pass", "sounding round", "concrete started",
    "concrete finished", "as-built",
}  # fmt: skip
EVERYBODY = {"note", "photo", "amend", "strike", "device key", "stretch signed", "paper signed"}
OFFICE = {"project set-up", "shaft scheduled", "revocation"}
MAY = {
    Role.INSPECTOR: EVERYBODY | AT_THE_HOLE | {"log signed"},
    Role.RESIDENT_ENGINEER: EVERYBODY | AT_THE_HOLE | OFFICE | {"release", "hold", "withdrawal"},
    Role.DESIGNER: EVERYBODY | OFFICE | {"disposition"},
}


def test_the_table_has_a_cell_for_every_kind() -> None:
    assert {each.KIND for each in EXAMPLES} == set(KINDS)
    assert set().union(*MAY.values()) == set(KINDS)


@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("values", EXAMPLES, ids=lambda each: each.KIND)
def test_who_may_make_which_entry_when_it_arrives(table: Workplace, values: Values, role: Role) -> None:
    cell = Second(table, f"{values.KIND[:16]} {role[:6]}")
    author = NAMES[role]
    more: dict[str, object] = {}
    if isinstance(values, ProjectSetup):
        values = replace(table.setup(), confidence=Reading("90", "%"))
    if isinstance(values, Amend | Strike):
        target = next(each for each in table.entries() if isinstance(each.values, Note))
        says = replace(values, target=target.id)
        values = replace(says, says=Note("amended"), observed_at=None) if isinstance(says, Amend) else says
        more["parents"] = (target.id,)
    if isinstance(values, DeviceKey):
        values = DeviceKey(cell.key().certificate)
    if isinstance(values, StretchSigned):
        cell.bring_key(author)
        values = cell.signed()
    if isinstance(values, PaperSigned):
        values = replace(values, role=role)
    if isinstance(values, Revocation):
        values = replace(values, holder="somebody else")
    cell.say(values, author, **more)
    if values.KIND in MAY[role]:
        assert receive(table, cell.sealed).added == tuple(cell.made)
        assert table.entries()[-1] == cell.made[-1]
    else:
        assert f"{author} may not make a {values.KIND}" in str(refused(cell))


@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("as_role", list(Role))
def test_a_paper_arrives_signed_only_in_a_role_of_the_signer(east: Second, role: Role, as_role: Role) -> None:
    (paper,) = (each for each in EXAMPLES if isinstance(each, PaperSigned))
    east.say(replace(paper, role=as_role), NAMES[role])
    if role is as_role:
        assert len(receive(east.place, east.sealed).added) == 1
    else:
        assert "cannot sign as that" in str(refused(east))


def test_everybody_may_revoke_a_certificate_of_his_own(east: Second) -> None:
    east.say(Revocation(INSPECTOR, "0" * 64, east.place.now(), "tablet lost"))
    assert len(receive(east.place, east.sealed).added) == 1


# Rosters.


def test_somebody_who_was_on_no_roster_is_refused(east: Second) -> None:
    east.say(Note("hello"), "Somebody")
    assert "Somebody is not on the project's roster" in str(refused(east))


def test_a_role_that_was_taken_away_later_or_before_still_counts_here(east: Second) -> None:
    setup = east.place.setup()
    moved = (Person(INSPECTOR, (Role.DESIGNER,)), Person("Inspector B", (Role.INSPECTOR,)), *setup.people[1:])
    east.say(Note("before"))
    east.say(replace(setup, people=moved), ENGINEER)
    east.say(HeadReading(fluid_level=Reading("2", "ft")))  # another device had not heard of it yet
    assert len(receive(east.place, east.sealed).added) == 3


def test_a_role_that_is_given_later_does_not_count_before(east: Second) -> None:
    setup = east.place.setup()
    east.say(Note("too early"), "Inspector B")
    assert "Inspector B is not on" in str(refused(east))
    early = east.made.pop()
    east.say(replace(setup, people=(*setup.people, Person("Inspector B", (Role.INSPECTOR,)))), ENGINEER)
    east.say(early.values, "Inspector B")
    assert len(receive(east.place, east.sealed).added) == 2


def test_nobody_gives_himself_a_role(east: Second) -> None:
    setup = east.place.setup()
    people = tuple(replace(each, roles=tuple(Role)) for each in setup.people)
    east.say(replace(setup, people=people))
    assert f"{INSPECTOR} may not make a project set-up" in str(refused(east))


@pytest.mark.parametrize("author", ["Somebody", INSPECTOR])
def test_nobody_gives_himself_a_role_by_a_set_up_that_comes_before_all(east: Second, author: str) -> None:
    first = east.place.entries()[0]
    assert isinstance(first.values, ProjectSetup)
    forged = Second(east.place, "a tablet")  # sorts before every other device
    people = (Person(author, tuple(Role)), Person(ENGINEER, (Role.RESIDENT_ENGINEER,)))
    forged.say(replace(first.values, people=people), author, stamp=first.stamp)
    assert forged.made[0].order < first.order
    refused(forged)


def test_two_people_pin_their_own_certificates_without_knowing_of_each_other(east: Second) -> None:
    place = east.place
    setup = place.setup()
    west = Second(place, "tablet west")
    inspector, engineer = (person_key(place, each, Role.INSPECTOR) for each in (INSPECTOR, ENGINEER))
    east.say(pinned(setup, ENGINEER, engineer), ENGINEER)
    west.say(pinned(setup, INSPECTOR, inspector), INSPECTOR)
    assert east.made[0].order < west.made[0].order  # the one before it is not the one that it started from
    receive(place, [*east.sealed, *west.sealed])
    known = Roster.of(place.entries())
    for name, key in ((INSPECTOR, inspector), (ENGINEER, engineer)):
        assert known.certificate(name, key.certificate.fingerprint) == to_pem(key.x509_certificate)


def test_a_certificate_of_somebody_else_is_pinned_by_the_office_alone(east: Second) -> None:
    setup = east.place.setup()
    key = person_key(east.place, ENGINEER, Role.RESIDENT_ENGINEER)
    east.say(pinned(setup, ENGINEER, key), INSPECTOR)
    refused(east)


# Changes.


def at(east: Second, kind: type[Values]) -> Entry:
    return next(each for each in east.place.entries() if isinstance(each.values, kind))


def test_nobody_changes_what_he_could_not_make(east: Second) -> None:
    target = at(east, ExcavationStage)
    east.say(Strike(target.id, "no"), DESIGNER, parents=(target.id,))
    assert f"{DESIGNER} may not change a excavation stage" in str(refused(east))


def test_a_change_does_not_make_another_kind_of_an_entry(east: Second) -> None:
    note, plan = say(east.place, Note("small")), at(east, ShaftScheduled)
    east.say(Amend(note.id, plan.values, "grow"), parents=(note.id,))
    assert "not a shaft scheduled" in str(refused(east))


def test_a_decision_is_not_changed_by_what_arrives(east: Second) -> None:
    held = say(east.place, Hold(a_basis(east), "wait"), ENGINEER)
    east.say(Strike(held.id, "away"), ENGINEER, parents=(held.id,))
    assert "not amended or struck" in str(refused(east))


@pytest.mark.parametrize("target", ["01890a5d-ac96-774b-bcce-b302099a8057", "of another shaft"])
def test_a_change_of_what_is_not_here_waits_outside(east: Second, target: str) -> None:
    if target == "of another shaft":
        target = east.say(at(east, ShaftScheduled).values, ENGINEER, shaft="P1-2").id
    east.say(Strike(target, "away"), ENGINEER, parents=(target,))
    assert "is not in the record of this shaft" in str(refused(east))


@pytest.mark.parametrize("parents", [(), ("01890a5d-ac96-774b-bcce-b302099a8057",)])
def test_a_change_names_the_version_that_it_follows(east: Second, parents: tuple[str, ...]) -> None:
    target = at(east, ExcavationStage)
    east.say(Strike(target.id, "twice"), parents=parents)
    assert "names the version of the entry that it follows" in str(refused(east))


def test_changes_of_changes_are_taken_over(east: Second) -> None:
    target = at(east, ExcavationStage)
    assert isinstance(target.values, ExcavationStage)
    first = east.say(
        Amend(target.id, replace(target.values, tool="core barrel"), "tool"), parents=(target.id,)
    )
    east.say(Strike(target.id, "twice"), parents=(first.id,))
    assert len(receive(east.place, east.sealed).added) == 2


def test_a_cause_stands_before_its_effect(east: Second) -> None:
    target = east.say(Note("here"), stamp=900)
    other = Second(east.place, "tablet west")
    other.say(Strike(target.id, "away"), parents=(target.id,), stamp=20)
    refused(other, sealed=[*east.sealed, *other.sealed])


# What cannot be.


def test_what_was_observed_after_it_was_recorded_is_refused(east: Second) -> None:
    east.say(Note("tomorrow"), observed_at=east.place.now() + timedelta(days=1))
    assert "observed later than it was recorded" in str(refused(east))


def test_a_release_that_ends_before_it_begins_is_refused(east: Second) -> None:
    east.say(Release(a_basis(east), east.place.now() - timedelta(hours=1)), ENGINEER)
    assert "end before it begins" in str(refused(east))


def test_a_point_outside_of_every_base_that_was_planned_is_refused(east: Second) -> None:
    east.say(a_round("36 1/8"))  # the base is 6 ft wide: radius 36 in
    assert "outside the base" in str(refused(east))


def test_a_point_inside_of_a_base_that_was_planned_once_is_taken_over(east: Second) -> None:
    plan = at(east, ShaftScheduled).values
    assert isinstance(plan, ShaftScheduled)
    east.say(replace(plan, diameter=Reading("8", "ft")), ENGINEER)
    east.say(plan, ENGINEER)
    east.say(a_round("47"))
    assert len(receive(east.place, east.sealed).added) == 3


def a_round(r_in: str) -> SoundingRound:
    point = SoundingPoint("N", Reading(r_in, "in"), Reading("0", "deg"), firm=Reading("360", "in"))
    return SoundingRound(2, RoundWhy.OTHER, "tape 1", (point,))


def a_basis(east: Second) -> Basis:
    mine = [each for each in east.place.entries() if each.shaft == "P1-1"]
    return Basis((Position("tablet north", 2),), digest_of(mine))


def body(entry: Entry, **change: object) -> bytes:
    return rfc8785.dumps({**json.loads(entry.sealed), **change})


@pytest.mark.parametrize(
    ("sealed", "why"),
    [
        (lambda each: body(each, kind="dream"), "newer Basenote"),
        (lambda each: body(each, version=99), "newer than this Basenote knows"),
        (lambda each: body(each, values={"text": ""}), "text"),
        (lambda each: body(each, values={"text": "x", "more": 1}), "more"),
        (lambda each: each.sealed + b" ", "canonical"),
        (lambda each: each.sealed.replace(b'"seq":1', b'"seq":1.0'), "not allowed"),
    ],
    ids=["kind", "version", "empty", "unknown field", "form", "float"],
)
def test_bytes_that_do_not_open_are_refused_and_named(east: Second, sealed: object, why: str) -> None:
    entry = east.say(Note("as it was"))
    said = str(refused(east, sealed=[sealed(entry)]))  # type: ignore[operator]
    assert why in said
    assert "Entry 1" in said
    assert "of device tablet east" in said
    assert INSPECTOR in said


@pytest.mark.parametrize("sealed", [b"", b"\xff", b"[1]", b"[" * 100_000, b'{"a":1}', b"PK\x03\x04"])
def test_bytes_that_are_nothing_at_all_are_refused(east: Second, sealed: bytes) -> None:
    east.say(Note("sound"))
    assert "(number 2 of those sent)" in str(refused(east, sealed=[*east.sealed, sealed]))


def test_a_chain_with_a_gap_or_a_fork_is_refused_by_the_store(east: Second) -> None:
    for text in ("one", "two", "three"):
        east.say(Note(text))
    before = east.place.writer().entries()
    with pytest.raises(BrokenLink):
        receive(east.place, [each.sealed for each in east.made if each.seq != 2])
    receive(east.place, east.sealed)
    fork = Second(east.place)
    fork.say(Note("another one"))
    with pytest.raises(Forked):
        receive(east.place, fork.sealed)
    assert len(east.place.writer().entries()) == len(before) + 3


# Signatures.


def test_a_signed_chain_arrives_with_what_it_vouches_for(east: Second) -> None:
    place = east.place
    key = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
    east.bring_key(ENGINEER)
    east.say(pinned(place.setup(), ENGINEER, key), ENGINEER)
    east.say(Hold(a_basis(east), "wait"), ENGINEER)
    east.say(east.signed(key), ENGINEER)
    receive(place, east.sealed)
    assert [each.by for each in attribution(place)] == [SignedBy.PERSON]
    assert signed_through(place)["tablet east"].seq == 3
    assert [each for each in audit(place.folder) if not each.ok] == []


def test_a_chain_that_arrived_signed_is_remembered_by_this_device(east: Second) -> None:
    east.bring_key()
    east.say(Note("the hole stands"))
    east.say(east.signed())
    receive(east.place, east.sealed)
    east.place.writer().close()
    attackers.cut_tail(east.place.folder, "tablet east", 2)
    (wrong,) = (each for each in audit(east.place.folder) if not each.ok)
    assert wrong.detail == "this device has seen entry 3 of device tablet east, it ends at 2"


def test_a_stretch_signed_by_another_device_key_is_refused(east: Second) -> None:
    east.bring_key()
    east.signer = east.key()
    east.say(east.signed())
    assert "not a signature of the key of device tablet east" in str(refused(east))


def test_a_stretch_of_another_project_is_refused(east: Second) -> None:
    signer = east.bring_key()
    stretch = Stretch("vesker", east.device, east.head.seq, east.head.hash)
    east.say(StretchSigned(stretch.seq, stretch.hash, sign_stretch_bytes(stretch, signer)))
    assert "not a signature of the key" in str(refused(east))


def test_a_stretch_of_another_place_is_refused(east: Second) -> None:
    east.bring_key()
    early = east.signed()
    east.say(Note("more"))
    east.say(early)
    assert "signs another place" in str(refused(east))


def test_a_stretch_before_any_device_key_is_refused(east: Second) -> None:
    east.say(Note("first"))
    east.signer = east.key()
    east.say(east.signed())
    assert "no key of device tablet east stands before it" in str(refused(east))


def test_a_second_device_key_is_refused_and_the_same_one_again_is_not(east: Second) -> None:
    signer = east.bring_key()
    east.say(DeviceKey(signer.certificate))
    assert len(receive(east.place, east.sealed).added) == 2
    east.bring_key()
    assert "second device key" in str(refused(east))


@pytest.mark.parametrize("certificate", ["PEM", "of another device"])
def test_a_device_key_that_is_none_of_this_device_is_refused(east: Second, certificate: str) -> None:
    other = east.key("tablet west").certificate
    east.say(DeviceKey(other if certificate == "of another device" else certificate))
    assert "not one of a key of device tablet east" in str(refused(east))


def test_a_persons_signature_needs_a_certificate_that_the_project_knows(east: Second) -> None:
    place = east.place
    key = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
    east.bring_key(ENGINEER)
    east.say(Hold(a_basis(east), "wait"), ENGINEER)
    east.say(east.signed(key), ENGINEER)
    assert f"knows no certificate {key.certificate.fingerprint[:16]} of {ENGINEER}" in str(refused(east))
    say(place, pinned(place.setup(), ENGINEER, key), ENGINEER)
    assert len(receive(place, east.sealed).added) == 3


def test_a_persons_signature_does_not_stand_for_another_person(east: Second) -> None:
    place = east.place
    key = person_key(place, INSPECTOR, Role.INSPECTOR)
    say(place, pinned(place.setup(), INSPECTOR, key), INSPECTOR)
    east.bring_key(ENGINEER)
    east.say(Hold(a_basis(east), "wait"), ENGINEER)
    east.say(east.signed(key), ENGINEER)
    assert "knows no certificate" in str(refused(east))


def test_a_persons_signature_by_another_key_is_refused(east: Second) -> None:
    place = east.place
    key = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
    say(place, pinned(place.setup(), ENGINEER, key), ENGINEER)
    east.bring_key(ENGINEER)
    forged = replace(person_key(place, ENGINEER, Role.RESIDENT_ENGINEER), certificate=key.certificate)
    east.say(east.signed(forged), ENGINEER)
    assert f"not a signature of {ENGINEER}'s certificate" in str(refused(east))


# What is not refused.


def test_a_revocation_refuses_nothing_that_arrives(east: Second) -> None:
    place = east.place
    key = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
    say(place, pinned(place.setup(), ENGINEER, key), ENGINEER)
    since = place.now() - timedelta(hours=1)
    say(place, Revocation(ENGINEER, key.certificate.fingerprint, since, "tablet lost"), ENGINEER)
    east.bring_key(ENGINEER)
    east.say(Hold(a_basis(east), "wait"), ENGINEER)
    east.say(east.signed(key), ENGINEER)
    assert len(receive(place, east.sealed).added) == 3


def test_a_release_on_ones_own_log_is_left_to_the_findings(east: Second) -> None:
    setup = east.place.setup()
    both = tuple(replace(each, roles=tuple(Role)) if each.name == ENGINEER else each for each in setup.people)
    east.say(replace(setup, people=both), ENGINEER)
    east.say(LogSigned(a_basis(east), "Recorded as seen."), ENGINEER)
    east.say(Release(a_basis(east), east.place.now() + timedelta(hours=3)), ENGINEER)
    assert len(receive(east.place, east.sealed).added) == 3


def test_one_bad_entry_among_many_good_ones_takes_nothing_over(east: Second) -> None:
    for each in range(30):
        east.say(Note(f"note {each}"))
    east.say(Note("last"), "Somebody")
    refused(east)


def test_what_is_here_already_is_known_and_changes_nothing(east: Second) -> None:
    east.say(Note("once"))
    receive(east.place, east.sealed)
    again = receive(east.place, east.sealed)
    assert (again.added, len(again.known)) == ((), 1)


def test_two_devices_arrive_in_either_order_with_the_same_record(
    east: Second, tmp_path: Path, logs: Path, clock: SiteClock
) -> None:
    west = Second(east.place, "tablet west")
    for each in range(6):
        (east, west)[each % 2].say(HeadReading(fluid_level=Reading(f"2.{each}", "ft")))
    folder = tmp_path / "twin"
    begin_project(folder)
    with open_project(folder, clock, device="tablet twin") as twin:
        add_logs(twin, read_logs(list(logs.glob("*.log"))))
        receive(twin, west.sealed)
        receive(twin, east.sealed)
        receive(east.place, [*east.sealed, *west.sealed])
        assert twin.record() == east.place.record()
    with pytest.raises(StoreProblem):
        receive(east.place, [body(east.made[0], project="vesker")])
