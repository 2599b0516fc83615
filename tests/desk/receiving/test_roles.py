"""What arrives from elsewhere is held against the roles of its authors."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from fieldapp.desk.office import begin_project
from fieldapp.desk.trust.receiving import receive
from fieldapp.desk.trust.signatures import Roster
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.identity.certificates import to_pem
from fieldapp.record.attesting import DeviceKey, PaperSigned, Revocation, StretchSigned
from fieldapp.record.column import HeadReading
from fieldapp.record.decisions import Amend, LogSigned, Strike
from fieldapp.record.hole import Note
from fieldapp.record.kinds import KINDS, Values
from fieldapp.record.reading import Reading
from fieldapp.record.setup import Person, ProjectSetup
from fieldapp.record.words import Role
from tests.desk.conftest import HOLE, SETUP, SiteClock
from tests.desk.receiving.second_device import Second, refused
from tests.desk.signed_work import DESIGNER, ENGINEER, INSPECTOR, person_key, pinned, say
from tests.support.examples import EXAMPLES

NAMES = {Role.INSPECTOR: INSPECTOR, Role.RESIDENT_ENGINEER: ENGINEER, Role.DESIGNER: DESIGNER}


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
        arrival = receive(table, cell.sealed)
        assert tuple(table.writer().added(arrival)) == tuple(cell.made)
        assert tuple(table.entries())[-1] == cell.made[-1]
    else:
        article = "an" if values.KIND[0] in "aeiou" else "a"
        deed = "sign the log" if isinstance(values, LogSigned) else f"make {article} {values.KIND}"
        assert f"{author} may not {deed}" in str(refused(cell))


@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("as_role", list(Role))
def test_a_paper_arrives_signed_only_in_a_role_of_the_signer(east: Second, role: Role, as_role: Role) -> None:
    (paper,) = (each for each in EXAMPLES if isinstance(each, PaperSigned))
    east.say(replace(paper, role=as_role), NAMES[role])
    if role is as_role:
        assert receive(east.place, east.sealed).new == 1
    else:
        assert "cannot sign as that" in str(refused(east))


def test_everybody_may_revoke_a_certificate_of_his_own(east: Second) -> None:
    east.say(Revocation(INSPECTOR, "0" * 64, east.place.now(), "tablet lost"))
    assert receive(east.place, east.sealed).new == 1


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
    assert receive(east.place, east.sealed).new == 3


def test_a_role_that_is_given_later_does_not_count_before(east: Second) -> None:
    setup = east.place.setup()
    east.say(Note("too early"), "Inspector B")
    assert "Inspector B is not on" in str(refused(east))
    early = east.made.pop()
    east.say(replace(setup, people=(*setup.people, Person("Inspector B", (Role.INSPECTOR,)))), ENGINEER)
    east.say(early.values, "Inspector B")
    assert receive(east.place, east.sealed).new == 2


def test_nobody_gives_himself_a_role(east: Second) -> None:
    setup = east.place.setup()
    people = tuple(replace(each, roles=tuple(Role)) for each in setup.people)
    east.say(replace(setup, people=people))
    assert f"{INSPECTOR} may not make a project set-up" in str(refused(east))


@pytest.mark.parametrize("author", ["Somebody", INSPECTOR])
def test_nobody_gives_himself_a_role_by_a_set_up_that_comes_before_all(east: Second, author: str) -> None:
    first = next(iter(east.place.entries()))
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
