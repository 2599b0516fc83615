"""What arrives from elsewhere is held against everything, through the one door, all of it or nothing."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
import rfc8785

from fieldapp.desk.office import begin_project
from fieldapp.desk.trust.receiving import receive
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project
from fieldapp.record.attesting import Revocation
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.column import HeadReading
from fieldapp.record.decisions import Amend, Hold, LogSigned, Release, Strike
from fieldapp.record.entry import Entry
from fieldapp.record.hole import ExcavationStage, Note
from fieldapp.record.reading import Reading
from fieldapp.record.setup import ShaftScheduled
from fieldapp.record.words import Role, RoundWhy
from fieldapp.store.problems import BrokenLink, Forked, StoreProblem
from tests.desk.conftest import SiteClock
from tests.desk.receiving.second_device import Second, a_basis, at, refused
from tests.desk.signed_work import DESIGNER, ENGINEER, INSPECTOR, person_key, pinned, say

# Changes.


def test_nobody_changes_what_he_could_not_make(east: Second) -> None:
    target = at(east, ExcavationStage)
    east.say(Strike(target.id, "no"), DESIGNER, parents=(target.id,))
    assert f"{DESIGNER} may not change an excavation stage" in str(refused(east))


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
    assert receive(east.place, east.sealed).new == 2


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
    assert receive(east.place, east.sealed).new == 3


def a_round(r_in: str) -> SoundingRound:
    point = SoundingPoint("N", Reading(r_in, "in"), Reading("0", "deg"), firm=Reading("360", "in"))
    return SoundingRound(2, RoundWhy.OTHER, "tape 1", (point,))


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
    before = tuple(east.place.writer().entries())
    with pytest.raises(BrokenLink):
        receive(east.place, [each.sealed for each in east.made if each.seq != 2])
    receive(east.place, east.sealed)
    fork = Second(east.place)
    fork.say(Note("another one"))
    with pytest.raises(Forked):
        receive(east.place, fork.sealed)
    assert len(east.place.writer().entries()) == len(before) + 3


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
    assert receive(place, east.sealed).new == 3


def test_a_release_on_ones_own_log_is_left_to_the_findings(east: Second) -> None:
    setup = east.place.setup()
    both = tuple(replace(each, roles=tuple(Role)) if each.name == ENGINEER else each for each in setup.people)
    east.say(replace(setup, people=both), ENGINEER)
    east.say(LogSigned(a_basis(east), "Recorded as seen."), ENGINEER)
    east.say(Release(a_basis(east), east.place.now() + timedelta(hours=3)), ENGINEER)
    assert receive(east.place, east.sealed).new == 3


def test_one_bad_entry_among_many_good_ones_takes_nothing_over(east: Second) -> None:
    for each in range(30):
        east.say(Note(f"note {each}"))
    east.say(Note("last"), "Somebody")
    refused(east)


def test_what_is_here_already_is_known_and_changes_nothing(east: Second) -> None:
    east.say(Note("once"))
    receive(east.place, east.sealed)
    again = receive(east.place, east.sealed)
    assert (again.new, again.known) == (0, 1)


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
