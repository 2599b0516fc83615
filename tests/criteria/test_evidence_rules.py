"""Whether the record can be relied on: points, rounds, instruments, late, lost, disputed entries, clocks."""

from __future__ import annotations

import pytest

from fieldapp.criteria.finding import Outcome, ReleaseStatus, Standing, Work
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.hole import Note
from fieldapp.record.words import Happening, InstrumentType, RoundWhy
from tests.criteria.stories import drilled, found, passing, released, stands, state, usual
from tests.support.journals import Journal, at, five_points, parameter, reading

MET, NOT_MET, NOT_SHOWN, NOT_ASKED = Outcome.MET, Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.NOT_ASKED


def test_the_base_has_to_be_reached():
    journal = Journal(usual())
    journal.set_up()
    journal.plan()
    assert found(journal)["base reached"].outcome is NOT_SHOWN
    journal.drill(at("07:30"), base=False)
    got = found(journal)["base reached"]
    assert got.outcome is NOT_SHOWN
    assert got.says == "No excavation stage gives the drilled depth of the base yet."
    journal.drill(at("08:00"))
    assert found(journal)["base reached"].measured == "60' 0\""


def test_points_without_a_reading_do_not_count_as_points():
    journal = passing()
    assert found(journal)["sounding points"].outcome is MET
    skipped = SoundingPoint("5", reading("26 in"), reading("270 deg"), no_reading="cage in the way")
    journal.sound(2, at("10:40"), (*five_points(*["1/4"] * 5)[:4], skipped))
    got = found(journal)["sounding points"]
    assert (got.outcome, got.measured) == (NOT_SHOWN, "4 places read")


@pytest.mark.parametrize(("radius", "outcome"), [("24 in", MET), ("23 in", NOT_SHOWN)])
def test_rim_points_reach_the_wall(radius, outcome):
    # Standards survey section 7: rim points 4 to 6 in off the wall (judgment); the radius is 30 in.
    journal = drilled(Journal(usual()))
    journal.sound(1, at("10:00"), five_points(*["1/4"] * 5, radius=radius))
    assert found(journal)["sounding rim points"].outcome is outcome


def test_rim_points_are_not_asked_behind_the_cage():
    assert found(passing())["sounding rim points"].outcome is NOT_ASKED


def test_rounds_after_the_cage_and_before_concrete():
    journal = drilled(Journal(usual()))
    journal.sound(1, at("09:30"), five_points(*["1/4"] * 5), RoundWhy.AFTER_PASS)
    assert "after cage and before concrete" in found(journal)["sounding rounds"].says
    journal.event(Happening.CAGE_SET, at("10:00"))
    journal.sound(2, at("10:10"), five_points(*["1/4"] * 5), RoundWhy.AFTER_CAGE)
    got = found(journal)["sounding rounds"]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.SOUND)
    journal.sound(3, at("10:30"), five_points(*["1/4"] * 5), RoundWhy.BEFORE_CONCRETE)
    assert found(journal)["sounding rounds"].outcome is MET
    journal.clean(2, at("10:40"), at("10:50"))
    assert found(journal)["sounding rounds"].outcome is NOT_SHOWN


@pytest.mark.parametrize(
    ("checks", "outcome"),
    [
        pytest.param((), NOT_SHOWN, id="never checked"),
        pytest.param((("06:00", 11, True),), MET, id="in date"),
        pytest.param((("06:00", 11, True), ("06:00", 12, False)), NOT_SHOWN, id="failed before use"),
        pytest.param((("11:00", 12, True),), NOT_SHOWN, id="checked only after use"),
        pytest.param((("06:00", 11, True), ("11:00", 12, False)), NOT_SHOWN, id="failed after use"),
    ],
)
def test_the_tape_of_the_round_was_checked_and_passed(checks, outcome):
    journal = Journal(usual(parameter("instrument_check_max_age", "2 day")))
    journal.set_up()
    journal.plan()
    journal.drill(at("08:00"))
    for clock, day, passed in checks:
        journal.check("tape 1", InstrumentType.TAPE, at(clock, day), passed)
    journal.sound(1, at("10:00"), five_points(*["1/4"] * 5))
    got = found(journal)["sounding instrument"]
    assert got.outcome is outcome
    assert got.work is (Work.CHECK_INSTRUMENT if outcome is NOT_SHOWN else None)


def test_a_check_grows_old():
    journal = Journal(usual(parameter("instrument_check_max_age", "2 day")))
    journal.set_up()
    journal.plan()
    journal.check("tape 1", InstrumentType.TAPE, at("09:59", day=10))
    journal.sound(1, at("10:00"), five_points(*["1/4"] * 5))
    assert found(journal)["sounding instrument"].outcome is NOT_SHOWN
    journal.check("tape 1", InstrumentType.TAPE, at("10:00", day=10))
    assert found(journal)["sounding instrument"].outcome is MET


def test_a_late_note_is_named_and_takes_nothing_away():
    journal = passing()
    note = journal.say(Note("rain"), at("08:00"), recorded=at("21:00"))
    got = found(journal)["late entries"]
    assert (got.outcome, got.entries) == (MET, (note.id,))
    assert "note" in got.says


def test_a_late_round_leaves_the_evidence_not_shown():
    journal = passing()
    journal.sound(2, at("10:40"), five_points(*["1/4"] * 5), recorded=at("22:40"))
    assert found(journal)["late entries"].outcome is MET, "12 h is not over 12 h"
    journal.sound(3, at("10:41"), five_points(*["1/4"] * 5), recorded=at("22:42"))
    assert found(journal)["late entries"].outcome is NOT_SHOWN


def test_amendments_that_disagree_have_to_be_settled():
    journal = passing()
    line = journal.entries[-1]
    first, second = (
        journal.amend(
            line,
            SoundingRound(1, RoundWhy.BEFORE_CONCRETE, "tape 1", five_points(*[thickness] * 5)),
            at("10:50"),
            device=device,
        )
        for device, thickness in (("tablet-a", "1/4"), ("tablet-b", "2"))
    )
    got = found(journal)["amendments settled"]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.SETTLE)
    settled = SoundingRound(1, RoundWhy.BEFORE_CONCRETE, "tape 1", five_points(*["3/8"] * 5))
    journal.amend(line, settled, at("11:00"), parents=(first.id, second.id))
    assert found(journal)["amendments settled"].outcome is MET
    assert found(journal)["base largest thickness"].measured == "largest 3/8 in"


def test_lost_entries_leave_nothing_shown_until_somebody_has_looked_into_it():
    journal = released()
    assert found(journal, at("10:50"))["entries lost"].outcome is NOT_ASKED
    assert stands(journal, at("10:50")).standing is Standing.CLEAN
    lost = journal.event(Happening.ENTRIES_LOST, at("10:55"))
    got = found(journal, at("11:00"))["entries lost"]
    assert (got.outcome, got.work, got.entries) == (NOT_SHOWN, Work.ASK_ENGINEER, (lost.id,))
    assert stands(journal, at("11:00")).standing is Standing.NOT_SHOWN
    assert state(journal, "11:00").status is ReleaseStatus.LAPSED
    journal.strike(lost, at("11:01"))
    assert found(journal, at("11:02"))["entries lost"].outcome is NOT_ASKED
    assert state(journal, "11:02").status is ReleaseStatus.RELEASED


def test_entries_lost_after_concrete_leave_its_release_and_take_its_credit():
    journal = released()
    journal.concrete(at("11:30"))
    journal.event(Happening.ENTRIES_LOST, at("09:00", day=14))
    got = found(journal)
    assert got["entries lost"].outcome is NOT_SHOWN
    assert got["entries lost"].keeps_credit_open
    assert got["release before concrete"].outcome is MET
    assert stands(journal).standing is Standing.NOT_SHOWN


def test_a_clock_that_ran_backwards_is_flagged_until_it_was_corrected():
    journal = passing()
    journal.say(Note("clock an hour fast"), at("11:30"))
    journal.say(Note("four minutes back is slack"), at("11:26"))
    assert found(journal, at("12:00"))["clocks"].outcome is MET
    back = journal.say(Note("now right"), at("10:35"))
    got = found(journal, at("12:00"))["clocks"]
    assert (got.outcome, got.entries) == (NOT_SHOWN, (back.id,))
    journal.event(Happening.CLOCK_CORRECTED, at("10:36"))
    journal.say(Note("going on"), at("10:37"))
    assert found(journal, at("12:00"))["clocks"].outcome is MET


def test_an_earlier_correction_does_not_excuse_a_later_step_back():
    journal = passing()
    journal.event(Happening.CLOCK_CORRECTED, at("10:40"))
    journal.say(Note("an hour ahead"), at("11:40"))
    journal.say(Note("back again"), at("10:50"))
    assert found(journal, at("12:00"))["clocks"].outcome is NOT_SHOWN


def test_another_device_behind_is_no_step_back():
    journal = passing()
    journal.say(Note("from the other tablet"), at("09:00"), device="tablet-b")
    assert found(journal)["clocks"].outcome is MET


def test_an_entry_dated_ahead_is_flagged_and_still_counts():
    journal = passing()
    journal.event(Happening.SLOUGH, at("11:30"))
    got = found(journal, at("10:40"))
    assert got["clocks"].outcome is NOT_SHOWN
    assert got["base area share"].outcome is NOT_SHOWN
