"""Clocks that run until concrete."""

from __future__ import annotations

import pytest

from fieldapp.criteria.finding import Outcome, Work
from fieldapp.record.words import Fluid, Happening, Method
from tests.criteria.stories import drilled, found, passing, usual
from tests.support.journals import Journal, at, parameter, reading

MET, NOT_MET, NOT_SHOWN = Outcome.MET, Outcome.NOT_MET, Outcome.NOT_SHOWN
CONTACT = "fluid contact with the bottom"


def test_contact_starts_when_drilling_comes_within_the_zone():
    # 60 ft from 07:00 to 08:00 at an even rate: 55 ft, 5 ft over the base, at 07:55.  T1: 4 h, 5 ft.
    journal = drilled(Journal(usual()))
    assert found(journal, at("11:55"))[CONTACT].outcome is MET, "4 h is not over 4 h"
    got = found(journal, at("11:56"))[CONTACT]
    assert (got.outcome, got.work) == (NOT_MET, Work.OVERREAM)
    assert got.says == "Fluid contact with the bottom 4.02 h since 12 May 07:55, asked at most 4 h."


def test_contact_counts_from_the_first_stage_that_came_into_the_zone():
    journal = Journal(usual())
    journal.set_up()
    journal.plan()
    journal.drill(at("07:00"), ("0 ft", "55 ft"), base=False)
    journal.drill(at("10:00"), ("55 ft", "60 ft"), began=at("09:00"))
    assert found(journal, at("11:01"))[CONTACT].outcome is NOT_MET


@pytest.mark.parametrize(
    ("amount", "depths", "restarts"),
    [
        ("1/2 in", ("54 ft", "60 ft"), True),
        ("3/8 in", ("54 ft", "60 ft"), False),
        ("1 in", ("56 ft", "60 ft"), False),
        ("1 in", ("54 ft", "59 ft"), False),
        (None, ("54 ft", "60 ft"), False),
    ],
)
def test_overreaming_the_whole_zone_by_enough_starts_the_clock_anew(amount, depths, restarts):
    # T2: at least 1/2 in (memory: sure).
    journal = drilled(Journal(usual()))
    top, bottom = (reading(each) for each in depths)
    cut = reading(amount) if amount else None
    journal.event(Happening.OVERREAMING, at("12:00"), from_depth=top, to_depth=bottom, amount=cut)
    assert found(journal, at("13:00"))[CONTACT].outcome is (MET if restarts else NOT_MET)
    assert found(journal, at("16:01"))[CONTACT].outcome is NOT_MET


def test_the_cut_of_overreaming_has_a_least_and_a_most():
    for amount, outcome in (("3 in", MET), ("3 1/8 in", NOT_MET), ("3/8 in", NOT_MET), (None, NOT_SHOWN)):
        journal = drilled(Journal(usual()))
        assert found(journal)["overream cut"].outcome is Outcome.NOT_ASKED
        journal.event(Happening.OVERREAMING, at("12:00"), amount=reading(amount) if amount else None)
        assert found(journal)["overream cut"].outcome is outcome, amount


def test_contact_is_not_asked_of_a_fluid_without_a_limit_and_stops_with_concrete():
    assert found(drilled(Journal(usual()), fluid=Fluid.WATER))[CONTACT].outcome is Outcome.NOT_ASKED
    journal = passing()
    journal.concrete(at("11:00"))
    assert found(journal, at("23:00"))[CONTACT].outcome is MET


def test_contact_is_not_shown_before_the_base_is_reached():
    journal = Journal(usual())
    journal.set_up()
    journal.plan()
    journal.drill(at("08:00"), ("0 ft", "30 ft"), base=False)
    assert found(journal)[CONTACT].outcome is NOT_SHOWN


def test_a_round_grows_too_old_in_an_open_hole_and_is_broken_once_concrete_is_in():
    journal = passing()
    assert found(journal, at("14:30"))["sounding to concrete"].outcome is MET
    got = found(journal, at("14:31"))["sounding to concrete"]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.SOUND)
    journal.concrete(at("14:31"))
    assert found(journal)["sounding to concrete"].outcome is NOT_MET


def test_hours_from_cleaning_to_concrete():
    journal = passing(acceptance=usual(parameter("max_hours_clean_to_concrete", "2 h")))
    assert found(journal, at("11:00"))["cleaning to concrete"].outcome is MET
    got = found(journal, at("11:01"))["cleaning to concrete"]
    assert (got.outcome, got.work) == (NOT_MET, Work.CLEAN_AGAIN)


def test_open_hours_run_from_the_top_of_the_socket():
    # T3: 36 h (memory: fair).  Socket top at 80 ft elevation is 20 ft deep: passed at 07:20.
    limits = usual(parameter("max_open_hours_rock", "36 h"))
    journal = drilled(Journal(limits), socket_top_elevation=reading("80 ft"))
    assert found(journal, at("19:20", day=13))["open hours"].outcome is MET
    assert found(journal, at("19:21", day=13))["open hours"].outcome is NOT_MET


@pytest.mark.parametrize(
    ("word", "method", "outcome"),
    [
        ("not", Method.CASED, NOT_MET),
        ("unless cased full length", Method.CASED, MET),
        ("not", Method.WET, NOT_MET),
    ],
)
def test_open_overnight(word, method, outcome):
    journal = drilled(Journal(usual(parameter("overnight_rule", word))), method=method)
    assert found(journal, at("23:59"))["overnight"].outcome is MET
    assert found(journal, at("00:01", day=13))["overnight"].outcome is outcome
