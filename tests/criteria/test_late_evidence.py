"""Evidence written, changed or struck too late: it counts, and it never makes a base clean in silence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fieldapp.criteria.finding import Outcome, Standing, Work
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.entry import Entry
from fieldapp.record.hole import Event, Note
from fieldapp.record.setup import DesignNumbers, ShaftScheduled
from fieldapp.record.words import Caution, Happening, RoundWhy
from tests.criteria.stories import found, passing, stands
from tests.support.journals import Journal, at, five_points, reading

MET, NOT_SHOWN = Outcome.MET, Outcome.NOT_SHOWN
CLEAN = five_points(*["1/8"] * 5)


def first(journal: Journal, kind: type) -> Entry:
    return next(each for each in journal.entries if isinstance(each.values, kind))


def late(journal: Journal) -> tuple[Outcome, str]:
    got = found(journal)["late entries"]
    return got.outcome, got.says


def clean_round(number: int = 1) -> SoundingRound:
    return SoundingRound(number, RoundWhy.BEFORE_CONCRETE, "tape 1", CLEAN)


def test_a_round_put_right_at_once_is_not_late() -> None:
    journal = passing("3", "3", "3", "3", "3")
    journal.amend(first(journal, SoundingRound), clean_round(), at("10:45"))
    assert late(journal)[0] is MET
    assert stands(journal).standing is Standing.CLEAN


def test_a_dirty_round_amended_clean_the_next_day_is_named() -> None:
    journal = passing("3", "3", "3", "3", "3")
    journal.amend(first(journal, SoundingRound), clean_round(), at("10:31", day=13))
    outcome, says = late(journal)
    assert outcome is NOT_SHOWN
    assert "sounding round of 12 May 10:30" in says


def test_a_dirty_round_struck_the_next_day_is_named() -> None:
    journal = passing()
    dirty = journal.sound(2, at("10:40"), five_points(*["3"] * 5))
    journal.strike(dirty, at("10:41", day=13))
    got = found(journal)
    assert got["base area share"].outcome is MET
    assert (got["late entries"].outcome, got["late entries"].work) == (NOT_SHOWN, Work.ASK_ENGINEER)
    assert dirty.id in got["late entries"].entries


def test_a_time_that_is_moved_back_does_not_hide_that_the_entry_came_late() -> None:
    journal = passing()
    again = journal.sound(2, at("23:10"), CLEAN)
    journal.amend(again, clean_round(2), at("23:12"), observed_at=at("10:50"))
    assert late(journal)[0] is NOT_SHOWN


@pytest.mark.parametrize("clock", ["11:01", "11:30"])
def test_a_slough_struck_after_concrete_does_not_make_the_round_fresh_again_in_silence(clock: str) -> None:
    journal = passing()
    slough = journal.event(Happening.SLOUGH, at("10:40"))
    journal.release(at("10:50"), at("12:00"), reason="the bottom was looked at")
    journal.concrete(at("11:00"))
    journal.strike(slough, at(clock))
    assert late(journal)[0] is NOT_SHOWN
    assert stands(journal).standing is not Standing.CLEAN


def test_a_round_written_down_after_concrete_had_come_shows_no_clean_base() -> None:
    journal = passing("3", "3", "3", "3", "3")
    journal.release(at("10:45"), at("12:00"), reason="side resistance alone carries it")
    journal.concrete(at("11:00"))
    journal.sound(2, at("10:58"), CLEAN, recorded=at("11:20"))
    outcome, says = late(journal)
    assert outcome is NOT_SHOWN
    assert says.startswith("Entered after concrete had started: sounding round")
    assert stands(journal).standing is Standing.NOT_SHOWN


def test_what_is_written_of_the_time_after_concrete_is_not_late_for_the_base() -> None:
    journal = passing()
    journal.release(at("10:45"), at("12:00"))
    journal.concrete(at("11:00"))
    wall = journal.event(Happening.SLOUGH, at("11:20"))
    journal.amend(wall, replace(wall.values, text="at 20 ft, over the concrete"), at("11:40"))
    assert isinstance(wall.values, Event)
    assert late(journal)[0] is MET


@pytest.mark.parametrize(
    ("changes", "outcome"),
    [
        pytest.param({"cautions": ()}, NOT_SHOWN, id="a caution taken out"),
        pytest.param({"diameter": reading("4 ft")}, NOT_SHOWN, id="another size"),
        pytest.param({"design": DesignNumbers(demand=reading("3 MN"))}, MET, id="design numbers"),
        pytest.param({"location": "bent 1, left"}, MET, id="its place in words"),
    ],
)
def test_a_plan_changed_after_concrete_is_named_where_it_bears_on_the_hole(changes, outcome) -> None:
    journal = passing(cautions=(Caution.SLAKING_SHALE,))
    journal.release(at("10:45"), at("12:00"))
    journal.concrete(at("11:00"))
    plan = first(journal, ShaftScheduled)
    journal.amend(plan, replace(plan.values, **changes), at("12:00"))
    assert late(journal)[0] is outcome


def test_a_late_change_of_a_note_takes_nothing_away() -> None:
    journal = passing()
    note = journal.say(Note("rain"), at("08:00"))
    journal.amend(note, Note("heavy rain"), at("09:00", day=13))
    assert late(journal)[0] is MET
