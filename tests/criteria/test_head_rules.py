"""Head over the highest piezometric level."""

from __future__ import annotations

import pytest

from fieldapp.criteria.finding import Outcome, Work
from fieldapp.record.cleaning import CleanoutPass
from fieldapp.record.setup import PiezometricLevel
from fieldapp.record.words import Caution, CleanoutMethod, RoundWhy
from tests.criteria.stories import drilled, found, passing, usual
from tests.support.journals import Journal, at, five_points, parameter, reading

MET, NOT_MET, NOT_SHOWN = Outcome.MET, Outcome.NOT_MET, Outcome.NOT_SHOWN
NOW, THROUGH = "head now", "head through cleaning"


def level(elevation: str, stratum: str = "sand") -> PiezometricLevel:
    return PiezometricLevel(stratum, reading(elevation))


@pytest.mark.parametrize(("least", "outcome"), [("4 ft", MET), ("5 ft", MET), ("10 ft", NOT_MET)])
def test_head_of_slurry_against_three_rules(least, outcome):
    # HEAD-1: fluid at 103.0 ft, piezometric level 97.0 ft, head 6.0 ft against 4, 5 and 10 ft.
    journal = Journal(usual(parameter("min_head", least)))
    journal.set_up()
    journal.plan(piezometric_levels=(level("97.0 ft"),))
    journal.head(at("08:00"), "-3.0 ft")
    got = found(journal)[NOW]
    assert got.outcome is outcome
    assert got.measured == "6 ft"


def test_head_exactly_at_its_limit_is_met_and_strictly_not():
    for strict, outcome in ((False, MET), (True, NOT_MET)):
        journal = Journal(usual(parameter("min_head", "7 ft", strict=strict)))
        drilled(journal)
        assert found(journal)[NOW].outcome is outcome


def test_the_highest_of_several_strata_counts_and_measured_levels_replace_planned_ones():
    levels = (level("90 ft"), level("93 ft", "gravel"))
    journal = drilled(Journal(usual()), piezometric_levels=levels)
    assert found(journal)[NOW].measured == "4 ft"
    journal.head(at("09:40"), piezometric_elevation=reading("91 ft"), stratum="gravel")
    assert found(journal)[NOW].measured == "6 ft"


def test_without_any_piezometric_level_the_head_is_not_shown():
    journal = drilled(Journal(usual()), piezometric_levels=())
    got = found(journal)
    assert (got[NOW].outcome, got[THROUGH].outcome) == (NOT_SHOWN, NOT_SHOWN)
    journal.head(at("08:30"))
    got = found(journal)
    assert (got[NOW].outcome, got[THROUGH].outcome) == (NOT_SHOWN, NOT_SHOWN)
    assert got[THROUGH].says.startswith("The level was read, and no piezometric level is known")


def test_artesian_ground_asks_for_more():
    limits = usual(parameter("artesian_extra", "3 ft"))
    assert found(drilled(Journal(limits)))[NOW].outcome is MET
    artesian = drilled(Journal(limits), cautions=(Caution.ARTESIAN,))
    got = found(artesian)[NOW]
    assert (got.outcome, got.limit, got.work) == (NOT_MET, "at least 8 ft", Work.RESTORE_HEAD)


def test_a_head_lost_and_restored_stays_not_met_until_the_base_is_cleaned_and_sounded():
    journal = drilled(Journal(usual()))
    journal.head(at("09:40"), "9 ft")
    assert found(journal)[NOW].outcome is NOT_MET
    journal.head(at("09:50"))
    got = found(journal)
    assert got[NOW].outcome is MET
    assert (got[THROUGH].outcome, got[THROUGH].work) == (NOT_MET, Work.CLEAN_AGAIN)
    journal.clean(2, at("10:00"), at("10:20"))
    journal.head(at("10:10"))
    got = found(journal)[THROUGH]
    assert (got.outcome, got.work) == (NOT_MET, Work.SOUND), "cleaned, but not sounded yet"
    assert got.says.endswith("cleaned since, not sounded yet.")
    journal.sound(1, at("10:30"), five_points(*["1/4"] * 5), RoundWhy.AFTER_PASS)
    got = found(journal)[THROUGH]
    assert got.outcome is MET
    assert "1 ft at 12 May 09:40" in got.says


def test_a_loss_during_a_pass_is_not_mended_by_that_same_pass():
    journal = drilled(Journal(usual()))
    journal.head(at("09:55"), "9 ft")
    journal.head(at("10:05"))
    journal.clean(2, at("09:50"), at("10:20"))
    journal.sound(1, at("10:30"), five_points(*["1/4"] * 5))
    assert found(journal)[THROUGH].outcome is NOT_MET


def test_an_exchange_of_fluid_is_no_cleaning_after_a_loss():
    journal = drilled(Journal(usual()))
    journal.head(at("09:40"), "9 ft")
    journal.head(at("09:50"))
    exchange = CleanoutPass(2, CleanoutMethod.FLUID_EXCHANGE, at("10:00"), at("10:20"))
    journal.say(exchange, at("10:20"))
    journal.sound(1, at("10:30"), five_points(*["1/4"] * 5))
    assert found(journal)[THROUGH].outcome is NOT_MET


def test_time_without_a_reading_counts_as_not_shown():
    journal = passing()
    assert found(journal, at("12:20"))[NOW].outcome is MET, "2 h after 10:20"
    got = found(journal, at("12:21"))
    assert (got[NOW].outcome, got[NOW].work) == (NOT_SHOWN, Work.READ_HEAD)
    assert (got[THROUGH].outcome, got[THROUGH].work) == (NOT_SHOWN, Work.READ_HEAD)
    journal.head(at("12:40"))
    got = found(journal)
    assert got[NOW].outcome is MET
    assert got[THROUGH].outcome is NOT_SHOWN, "the gap stays"
    assert "10:20" in got[THROUGH].says


def test_a_low_reading_is_not_met_however_old_it_is():
    journal = drilled(Journal(usual()))
    journal.head(at("09:40"), "9 ft")
    assert found(journal, at("20:00"))[NOW].outcome is NOT_MET


def test_the_clock_of_the_head_stops_when_concrete_starts():
    journal = passing()
    journal.concrete(at("11:00"))
    journal.head(at("15:00"), "20 ft")
    got = found(journal)
    assert (got[NOW].outcome, got[THROUGH].outcome) == (MET, MET)


def test_without_a_reading_the_head_is_not_shown():
    journal = Journal(usual())
    journal.set_up()
    journal.plan()
    assert found(journal)[NOW].outcome is NOT_SHOWN


def test_without_a_longest_gap_one_reading_since_cleaning_is_enough():
    limits = usual(without=("max_head_gap",))
    journal = passing(acceptance=limits)
    assert found(journal, at("23:00"))[THROUGH].outcome is MET
    journal.clean(2, at("12:00"), at("12:30"))
    journal.sound(2, at("12:40"), five_points(*["1/4"] * 5))
    got = found(journal)
    assert (got[NOW].outcome, got[THROUGH].outcome) == (NOT_SHOWN, NOT_SHOWN)


def test_a_least_head_to_be_entered_is_not_shown():
    limits = usual(parameter("min_head", None, unit="ft"))
    got = found(drilled(Journal(limits)))
    assert {got[NOW].work, got[THROUGH].work} == {Work.ENTER_LIMIT}
