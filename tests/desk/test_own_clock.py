"""This device's clock beside its own chain: a step back between shafts is asked about, kept and judged."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from fieldapp.desk.decisions.evidence import evidence
from fieldapp.desk.inspector import AskFirst, Saying, record_entry
from fieldapp.desk.office import shaft_now
from fieldapp.desk.own_clock import latest_recorded, present
from fieldapp.desk.trust.audit import audit
from fieldapp.desk.workplace import Workplace
from fieldapp.record.hole import Event, Note
from fieldapp.record.words import Happening
from tests.desk.conftest import SiteClock

INSPECTOR, ENGINEER = "Inspector A", "Resident engineer"


@pytest.fixture
def two_shafts(place: Workplace) -> Workplace:
    plan = place.shaft("P1-1").scheduled
    assert plan is not None
    record_entry(place, Saying("P1-2", replace(plan, location="pier 1, downstation"), ENGINEER))
    return place


def note(place: Workplace, shaft: str, *confirmed: str) -> None:
    record_entry(place, Saying(shaft, Note("on the hole"), INSPECTOR, confirmed=confirmed))


def clocks(place: Workplace, shaft: str) -> str:
    found = shaft_now(place, shaft, present(place)).findings
    return next(str(each.outcome) for each in found if each.requirement == "clocks")


def test_a_clock_set_back_between_two_shafts_is_asked_about_and_named(
    two_shafts: Workplace, clock: SiteClock
) -> None:
    clock.move(hours=2)
    note(two_shafts, "P1-2")
    clock.move(hours=-1)
    with pytest.raises(AskFirst, match="it has recorded up to 2026-05-12 11:00") as asked:
        note(two_shafts, "P1-1")
    assert asked.value.codes == ("clock-back",)
    note(two_shafts, "P1-1", "clock-back")
    assert clocks(two_shafts, "P1-1") == "not shown"


def test_the_event_that_corrects_the_clock_is_not_asked_and_settles_it(
    two_shafts: Workplace, clock: SiteClock
) -> None:
    clock.move(hours=2)
    note(two_shafts, "P1-1")
    clock.move(hours=-1)
    corrects = Event(Happening.CLOCK_CORRECTED, "was an hour ahead")
    record_entry(two_shafts, Saying("P1-1", corrects, INSPECTOR))
    note(two_shafts, "P1-2")
    note(two_shafts, "P1-1")
    assert clocks(two_shafts, "P1-2") == "met"
    assert latest_recorded(two_shafts) == clock.at


def test_five_minutes_are_slack(two_shafts: Workplace, clock: SiteClock) -> None:
    note(two_shafts, "P1-2")
    clock.move(minutes=-5)
    note(two_shafts, "P1-1")
    clock.move(minutes=-1)
    with pytest.raises(AskFirst):
        note(two_shafts, "P1-1")


def test_a_shaft_is_judged_no_earlier_than_this_device_has_recorded_anywhere(
    two_shafts: Workplace, clock: SiteClock
) -> None:
    clock.move(hours=3)
    note(two_shafts, "P1-2")
    true = clock.at
    clock.move(hours=-2)
    assert present(two_shafts) == true
    assert evidence(two_shafts, "P1-1").now == true
    earlier = true - timedelta(hours=1)
    assert shaft_now(two_shafts, "P1-1", earlier).at == earlier, "a moment that is asked for stays it"


def test_another_device_that_is_ahead_judges_nothing_here(two_shafts: Workplace, clock: SiteClock) -> None:
    two_shafts.append([], device="tablet west")
    clock.move(hours=2)
    note(two_shafts, "P1-2")
    clock.move(hours=-2)
    two_shafts.device = "tablet east"
    assert present(two_shafts) == clock.at


def test_a_clock_corrected_on_another_shaft_leaves_the_read_tables_equal_to_a_rebuild(
    two_shafts: Workplace, clock: SiteClock
) -> None:
    clock.move(hours=2)
    note(two_shafts, "P1-1")
    clock.move(hours=-2)
    corrects = Event(Happening.CLOCK_CORRECTED, "was two hours ahead")
    record_entry(two_shafts, Saying("P1-2", corrects, INSPECTOR))
    clock.move(minutes=5)
    note(two_shafts, "P1-1")
    folder = two_shafts.folder
    two_shafts.writer().close()
    assert [each.what for each in audit(folder) if not each.ok] == []
