"""What the record says against a draft: impossible is refused, unlikely is asked about."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.entry import ChainHead, Draft, Entry, seal
from fieldapp.record.hole import Note
from fieldapp.record.kinds import Values
from fieldapp.record.objections import objections
from fieldapp.record.reading import Reading
from fieldapp.record.shaft import ProjectRecord, project_record
from fieldapp.record.words import FluidStage, RoundWhy
from tests.support.examples import EXAMPLES, MORNING, feet

SETUP, PLAN, HOLE = EXAMPLES[0], EXAMPLES[1], EXAMPLES[3]


def draft(values: Values, at: datetime = MORNING + timedelta(hours=4), **change: object) -> Draft:
    shaft = None if values.KIND == "project set-up" else "P1-1"
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


READY = (draft(SETUP, MORNING - timedelta(days=9)), draft(PLAN, MORNING - timedelta(days=2)), draft(HOLE))


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
    assert codes(record(), draft(SETUP), impossible=True) == set()


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
