"""What the record says against a draft: impossible is refused, unlikely is asked about."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from fieldapp.record.attesting import PaperSigned, Revocation
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.decisions import Amend, Release, Strike
from fieldapp.record.entry import ChainHead, Draft, Entry, seal
from fieldapp.record.hole import Note
from fieldapp.record.kinds import PROJECT_KINDS, Values
from fieldapp.record.objections import objections
from fieldapp.record.reading import Reading
from fieldapp.record.setup import Person, ProjectSetup
from fieldapp.record.shaft import ProjectRecord, project_record
from fieldapp.record.words import FluidStage, Role, RoundWhy
from tests.support.examples import EXAMPLES, MORNING, feet

SETUP, PLAN, HOLE = EXAMPLES[0], EXAMPLES[1], EXAMPLES[3]
ENGINEER = "Resident engineer"


def draft(values: Values, at: datetime = MORNING + timedelta(hours=4), **change: object) -> Draft:
    shaft = None if values.KIND in PROJECT_KINDS else "P1-1"
    made = f"01890a5d-ac96-774b-bcce-{abs(hash((values, at))) % 10**12:012d}"
    plain = Draft(made, "larkwater", shaft, values, at, at, "Inspector A")
    return replace(plain, **change)  # type: ignore[arg-type]


def record(*drafts: Draft) -> ProjectRecord:
    entries: list[Entry] = []
    head = ChainHead("tablet north")
    for stamp, each in enumerate(drafts, start=1):
        entries.append(seal(each, head, stamp))
        head = ChainHead("tablet north", entries[-1].seq, entries[-1].hash)
    return project_record("larkwater", entries)


READY = (
    draft(SETUP, MORNING - timedelta(days=9), author=ENGINEER),
    draft(PLAN, MORNING - timedelta(days=2), author=ENGINEER),
    draft(HOLE),
)


def codes(found: ProjectRecord, new: Draft, *, impossible: bool) -> set[str]:
    return {each.code for each in objections(found, new) if each.impossible is impossible}


def fluid(**values: Reading) -> FluidTest:
    return FluidTest(stage=FluidStage.DRILLING, set=1, sample_depth=feet("60' 0\""), **values)


def one_point(r: str, firm: str, first: str | None = None) -> SoundingRound:
    first_contact = feet(first) if first else None
    point = SoundingPoint("C", Reading(r, "in"), Reading("0", "deg"), first_contact, feet(firm))
    return SoundingRound(1, RoundWhy.OTHER, "tape 1", (point,))


def test_a_plain_entry_on_a_scheduled_shaft_meets_no_objection() -> None:
    assert objections(record(*READY), draft(Note("rig moved"))) == ()


@pytest.mark.parametrize(
    ("new", "code"),
    [
        (draft(Note("x"), shaft="P9-9"), "unknown-shaft"),
        (draft(Note("x"), author="Somebody"), "unknown-person"),
        (draft(Note("x"), observed_at=MORNING + timedelta(hours=9)), "seen-later"),
        (draft(one_point("36 1/8", "61' 5\"")), "outside-base"),  # base of 6 ft: radius 36 in
        (draft(one_point("0", "61' 5\""), MORNING - timedelta(minutes=1)), "before-open"),
        (draft(Note("x"), MORNING - timedelta(days=3)), "before-plan"),
        (draft(Strike("01890a5d-ac96-774b-bcce-999999999999", "twice")), "unknown-entry"),
        (draft(EXAMPLES[18], MORNING + timedelta(hours=10)), "until-past"),
    ],
)
def test_an_impossible_entry_is_refused(new: Draft, code: str) -> None:
    assert code in codes(record(*READY), new, impossible=True)


def test_a_point_on_the_very_wall_is_possible() -> None:
    assert codes(record(*READY), draft(one_point("36", "61' 5\"")), impossible=True) == set()


def test_nothing_can_be_recorded_before_the_project_is_set_up() -> None:
    assert "no-setup" in codes(record(), draft(Note("x")), impossible=True)
    assert codes(record(), draft(SETUP, author=ENGINEER), impossible=True) == set()


def test_a_change_must_name_its_parent_and_keep_the_kind() -> None:
    target = draft(HeadReading(fluid_level=feet("1' 2\"")))
    found = record(*READY, target)
    good = draft(Amend(target.id, HeadReading(fluid_level=feet("1' 3\"")), "mark"), parents=(target.id,))
    assert codes(found, good, impossible=True) == set()
    assert "no-parent" in codes(found, replace(good, parents=()), impossible=True)
    other = draft(Amend(target.id, Note("x"), "mark"), parents=(target.id,))
    assert "other-kind" in codes(found, other, impossible=True)
    strike = draft(Strike(target.id, "twice"), parents=(target.id,))
    assert "struck-entry" in codes(record(*READY, target, strike), good, impossible=True)


def test_an_amendment_cannot_move_an_entry_before_the_hole_was_opened() -> None:
    target = draft(one_point("0", "61' 5\""))
    back = Amend(target.id, one_point("0", "61' 5\""), "clock", MORNING - timedelta(hours=1))
    assert "before-open" in codes(record(*READY, target), draft(back, parents=(target.id,)), impossible=True)


@pytest.mark.parametrize(
    ("new", "code"),
    [
        (draft(fluid(density=Reading("77.5", "pcf"))), "density-jump"),  # 9 pcf off the last
        (draft(fluid(sand=Reading("15", "%"))), "much-sand"),
        (draft(fluid(ph=Reading("4", "pH"))), "odd-ph"),
        (draft(HeadReading(fluid_level=feet("12' 0\""))), "level-jump"),
        (draft(one_point("0", "63' 5\"")), "depth-off"),  # 2 ft below the drilled base
        (draft(one_point("0", "61' 5\"", "60' 4\"")), "thick-layer"),  # 13 in
    ],
)
def test_an_unlikely_entry_is_asked_about_and_not_refused(new: Draft, code: str) -> None:
    earlier = (
        draft(fluid(density=Reading("68.5", "pcf")), MORNING + timedelta(hours=1)),
        draft(HeadReading(fluid_level=feet("1' 2\"")), MORNING + timedelta(hours=1)),
    )
    found = record(*READY, *earlier)
    assert code in codes(found, new, impossible=False)
    assert codes(found, new, impossible=True) == set()


def test_a_round_number_used_twice_is_asked_about() -> None:
    first = draft(one_point("0", "61' 5\""), MORNING + timedelta(hours=3, minutes=30))
    assert "round-twice" in codes(record(*READY, first), draft(one_point("0", "61' 5\"")), impossible=False)


def person(*roles: Role) -> ProjectRecord:
    """A project whose one person has these roles."""
    assert isinstance(SETUP, ProjectSetup)
    setup = replace(SETUP, people=(Person("Inspector A", roles), Person(ENGINEER, (Role.RESIDENT_ENGINEER,))))
    hole = (draft(PLAN, MORNING - timedelta(days=2), author=ENGINEER), draft(HOLE))
    return record(draft(setup, MORNING - timedelta(days=9), author=ENGINEER), *hole)


@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("values", EXAMPLES, ids=lambda each: each.KIND)
def test_who_may_make_which_entry_cell_by_cell(values: Values, role: Role) -> None:
    # The table as design and survey give it: observations at the hole, decisions to one role each.
    at_the_hole = {
        "instrument", "excavation stage", "geometry survey", "base sighting", "standing water", "delay",
        "event", "fluid test", "head reading", "cleanout pass", "sounding round", "concrete started",
        "concrete finished", "as-built",
    }  # fmt: skip
    everybody = {"note", "photo", "amend", "strike", "device key", "stretch signed"}
    office = everybody | {"project set-up", "shaft scheduled", "revocation"}
    expected = {
        Role.INSPECTOR: everybody | at_the_hole | {"log signed", "paper signed"},
        Role.RESIDENT_ENGINEER: office | at_the_hole | {"release", "hold", "withdrawal"},
        Role.DESIGNER: office | {"disposition"},
    }[role]
    if isinstance(values, Revocation):
        values = replace(values, holder="Designer")  # anybody may revoke a certificate of his own
    found = codes(person(role), draft(values, MORNING + timedelta(hours=1)), impossible=True)
    assert ("other-role" in found) is (values.KIND not in expected)


@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("as_role", list(Role))
def test_a_paper_is_signed_only_in_a_role_of_the_signer(role: Role, as_role: Role) -> None:
    (paper,) = (each for each in EXAMPLES if isinstance(each, PaperSigned))
    found = codes(person(role), draft(replace(paper, role=as_role)), impossible=True)
    assert ("other-role" in found) is (role is not as_role)


@pytest.mark.parametrize("role", list(Role))
def test_everybody_may_revoke_a_certificate_of_his_own(role: Role) -> None:
    (lost,) = (each for each in EXAMPLES if isinstance(each, Revocation))
    assert codes(person(role), draft(replace(lost, holder="Inspector A")), impossible=True) == set()


def test_nobody_gives_himself_a_role_but_everybody_may_pin_his_own_certificate() -> None:
    assert isinstance(SETUP, ProjectSetup)
    found = record(*READY)
    rest = SETUP.people[1:]
    grab = replace(SETUP, people=(Person("Inspector A", (Role.RESIDENT_ENGINEER,)), *rest))
    assert "other-role" in codes(found, draft(grab), impossible=True)
    pin = replace(SETUP, people=(replace(SETUP.people[0], certificate="PEM"), *SETUP.people[1:]))
    assert codes(found, draft(pin), impossible=True) == set()
    other = replace(
        SETUP, people=(SETUP.people[0], replace(SETUP.people[1], certificate="PEM"), SETUP.people[2])
    )
    assert "other-role" in codes(found, draft(other), impossible=True)


def test_a_decision_is_made_anew_and_never_changed() -> None:
    release = draft(EXAMPLES[18], MORNING + timedelta(hours=4), author=ENGINEER)
    found = record(*READY, release)
    longer = replace(EXAMPLES[18], until=MORNING + timedelta(hours=20))
    change = draft(Amend(release.id, longer, "longer"), author=ENGINEER, parents=(release.id,))
    assert "decision" in codes(found, change, impossible=True)
    assert "decision" in codes(
        found, draft(Strike(release.id, "away"), author=ENGINEER, parents=(release.id,)), impossible=True
    )
    (line,) = record(*READY, release, change).shafts["P1-1"].of(Release)
    assert line.values == release.values


def test_nobody_changes_what_he_could_not_make() -> None:
    assert isinstance(SETUP, ProjectSetup)
    target = draft(HeadReading(fluid_level=feet("1' 2\"")))
    found = record(*READY, target)
    setup = replace(SETUP, people=(*SETUP.people, Person("Designer B", (Role.DESIGNER,))))
    found = record(draft(setup, MORNING - timedelta(days=9), author=ENGINEER), *READY[1:], target)
    change = draft(Strike(target.id, "no"), author="Designer B", parents=(target.id,))
    assert "other-role" in codes(found, change, impossible=True)


def test_an_amended_time_cannot_lie_after_the_amendment() -> None:
    target = draft(HeadReading(fluid_level=feet("1' 2\"")))
    ahead = Amend(target.id, HeadReading(fluid_level=feet("1' 2\"")), "clock", MORNING + timedelta(days=200))
    assert "seen-later" in codes(record(*READY, target), draft(ahead, parents=(target.id,)), impossible=True)


def test_a_hole_that_is_not_drilled_cannot_be_sounded() -> None:
    assert "not-open" in codes(record(*READY[:2]), draft(one_point("0", "61' 5\"")), impossible=True)


def test_what_an_amendment_says_is_asked_about_too() -> None:
    target = draft(one_point("0", "61' 5\""), MORNING + timedelta(hours=3, minutes=30))
    found = record(*READY, target)
    wrong = draft(Amend(target.id, one_point("0", "59' 5\""), "digits"), parents=(target.id,))
    assert codes(found, wrong, impossible=False) == {"depth-off"}
    right = draft(Amend(target.id, one_point("0", "61' 4\""), "digits"), parents=(target.id,))
    assert codes(found, right, impossible=False) == set()
