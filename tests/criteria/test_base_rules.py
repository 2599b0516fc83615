"""Sediment on the base.  Numbers of CLN-A to CLN-G are those of the checks (topic cleanliness decision)."""

from __future__ import annotations

import pytest

from fieldapp.criteria.finding import Outcome, Work
from fieldapp.record.cleaning import SoundingPoint
from fieldapp.record.words import Happening, InstrumentType, RoundWhy
from tests.criteria.stories import found, passing, usual
from tests.support.journals import at, five_points, parameter, point, reading

MET, NOT_MET, NOT_SHOWN = Outcome.MET, Outcome.NOT_MET, Outcome.NOT_SHOWN
NOT_ASKED = Outcome.NOT_ASKED
EQUAL = parameter("weighting", "equal")
SHARE, LARGEST = "base area share", "base largest thickness"


@pytest.mark.parametrize(
    ("thickness_in", "strict", "share", "largest", "said"),
    [
        pytest.param(("0.25", "0.25", "0.5", "0.75", "1.25"), True, NOT_MET, MET, "40 %", id="CLN-A"),
        pytest.param(("0.25", "0.25", "0.5", "0.75", "1.25"), False, MET, MET, "60 %", id="CLN-A-incl"),
        pytest.param(("0.25", "0.375", "0.4", "1.5", "1.5"), True, MET, MET, "60 %", id="CLN-B"),
        pytest.param(("0.25", "0.25", "0.25", "0.25", "1.51"), True, MET, NOT_MET, "80 %", id="over the cap"),
    ],
)
def test_base_decisions_of_the_checks(thickness_in, strict, share, largest, said):
    # US-A preset, standards survey section 2: half of the base under 1/2 in, nowhere over 1-1/2 in.
    limits = usual(parameter("area_fraction_limit", "1/2 in", strict=strict), EQUAL)
    got = found(passing(*thickness_in, acceptance=limits))
    assert (got[SHARE].outcome, got[LARGEST].outcome) == (share, largest)
    assert got[SHARE].measured.startswith(said)


def test_the_sentence_says_measured_and_asked():
    got = found(passing("0.25", "0.25", "0.5", "0.75", "1.25", acceptance=usual(EQUAL)))[SHARE]
    assert got.says == "40 % of the base under 1/2 in, asked at least 50 %."
    assert got.where == "points 3, 4, 5"
    assert got.work is Work.CLEAN_AGAIN
    assert got.source == "test contract (contract)"


@pytest.mark.parametrize(("clean", "outcome"), [(2, NOT_MET), (3, MET)])
def test_three_of_five_points_are_needed_for_half_of_the_base(clean, outcome):
    # CLN-G: n equal points resolve the area in steps of 1/n.
    thickness = ("1/4",) * clean + ("1",) * (5 - clean)
    assert found(passing(*thickness, acceptance=usual(EQUAL)))[SHARE].outcome is outcome


def test_a_point_without_firm_bottom_is_unknown_and_never_clean():
    # CLN-F: incomplete, that is not shown.
    got = found(passing("0.25", "0.25", None, "0.25", "0.25", acceptance=usual(EQUAL)))
    assert got[SHARE].outcome is NOT_SHOWN
    assert got[SHARE].measured == "80 % to 100 % under 1/2 in"
    assert got[LARGEST].outcome is NOT_SHOWN
    assert got["sounding both depths"].outcome is NOT_SHOWN
    assert got[SHARE].where == "point 3"
    assert got[SHARE].work is Work.SOUND


def test_unknown_points_do_not_hide_a_limit_that_known_points_break():
    got = found(passing("1", "1", "2", "1/4", None, acceptance=usual(EQUAL)))
    assert got[SHARE].outcome is NOT_MET, "two of five at best"
    assert got[SHARE].measured.startswith("at most 40 %")
    assert got[LARGEST].outcome is NOT_MET
    assert got[LARGEST].where == "point 3"


def test_the_policy_fail_turns_an_unread_point_into_not_met():
    limits = usual(parameter("unknown_policy", "fail"))
    got = found(passing("1/4", "1/4", None, "1/4", "1/4", acceptance=limits))[SHARE]
    assert (got.outcome, got.work) == (NOT_MET, Work.SOUND)


def test_a_reading_exactly_at_the_limit_in_other_units_is_still_a_tie():
    limits = usual(parameter("max_thickness_anywhere", "38.1 mm"))
    assert found(passing("1/4", "1/4", "1/4", "1/4", "1 1/2", acceptance=limits))[LARGEST].outcome is MET
    strict = usual(parameter("max_thickness_anywhere", "38.1 mm", strict=True))
    assert found(passing("1/4", "1/4", "1/4", "1/4", "1 1/2", acceptance=strict))[LARGEST].outcome is NOT_MET


def test_one_sided_sediment_counts_by_area_and_not_by_points():
    # Three clean points close together at one side stand for less area than two dirty ones.
    journal = passing()
    places = (
        ("14 in", "0 deg"),
        ("20 in", "0 deg"),
        ("26 in", "0 deg"),
        ("8 in", "120 deg"),
        ("8 in", "240 deg"),
    )
    thickness = ("1/4", "1/4", "1/4", "1", "1")
    points = tuple(
        point(str(n), place, t) for n, (place, t) in enumerate(zip(places, thickness, strict=True), 1)
    )
    journal.sound(2, at("10:40"), points)
    got = found(journal)
    assert got[SHARE].outcome is NOT_MET
    assert got[LARGEST].outcome is MET


def test_equal_quadrants_half_clean_are_exactly_half():
    journal = passing()
    places = [("20 in", f"{angle} deg") for angle in (0, 90, 180, 270)]
    points = tuple(
        point(str(n), p, t) for n, (p, t) in enumerate(zip(places, ("1/4", "1/4", "1", "1"), strict=True))
    )
    journal.sound(2, at("10:40"), points)
    assert found(journal)[SHARE].outcome is MET
    assert found(journal)[SHARE].measured.startswith("50 %")


def test_the_mean_and_the_flat_cap_are_rules_of_their_own():
    # CLN-B: mean 0.805 in of equal points.
    limits = usual(
        EQUAL, parameter("mean_thickness_limit", "0.805 in"), parameter("flat_cap_thickness", "1 in")
    )
    got = found(passing("0.25", "0.375", "0.4", "1.5", "1.5", acceptance=limits))
    assert got["base mean thickness"].outcome is MET
    assert got["base flat cap"].outcome is NOT_MET
    tighter = usual(EQUAL, parameter("mean_thickness_limit", "0.804 in"))
    got = found(passing("0.25", "0.375", "0.4", "1.5", "1.5", acceptance=tighter))["base mean thickness"]
    assert got.outcome is NOT_MET
    assert "0.805 in" in got.says


def test_a_mean_of_equal_layers_is_a_tie_whatever_the_cells():
    limits = usual(parameter("mean_thickness_limit", "25.4 mm"))
    assert found(passing(*["1"] * 5, acceptance=limits))["base mean thickness"].outcome is MET


def test_flatness_is_the_spread_of_firm_bottom():
    limits = usual(parameter("flatness_limit", "1 in"))
    assert found(passing(acceptance=limits))["base flatness"].outcome is MET
    journal = passing(acceptance=limits)
    deep = SoundingPoint("5", reading("26 in"), reading("270 deg"), reading("720 in"), reading("721 1/8 in"))
    journal.sound(2, at("10:40"), (*five_points("1/4", "1/4", "1/4", "1/4", "1/4")[:4], deep))
    assert found(journal)["base flatness"].outcome is NOT_MET


def test_a_thickness_read_directly_counts():
    journal = passing()
    direct = tuple(
        SoundingPoint(each.label, each.r, each.angle, thickness=reading("1/4 in"))
        for each in five_points(*["1"] * 5)
    )
    journal.sound(2, at("10:40"), direct)
    got = found(journal)
    assert got[SHARE].outcome is MET
    assert got["sounding both depths"].outcome is Outcome.NOT_SHOWN  # by tape: no firm bottom
    journal.check("tape 1", InstrumentType.BASE_PENETROMETER, at("06:40"))
    assert found(journal)["sounding both depths"].outcome is MET


def test_a_base_that_was_not_sounded_is_not_shown():
    from tests.criteria.stories import drilled
    from tests.support.journals import Journal

    got = found(drilled(Journal(usual())))[SHARE]
    assert (got.outcome, got.work, got.keeps_credit_open) == (NOT_SHOWN, Work.SOUND, True)


@pytest.mark.parametrize(
    "what", [Happening.SLOUGH, Happening.LOSS_OF_HEAD, Happening.OVERREAMING, Happening.CAGE_SET]
)
def test_a_round_older_than_what_changed_the_base_shows_nothing(what):
    journal = passing()
    journal.event(what, at("10:40"))
    got = found(journal)[SHARE]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.SOUND)
    assert str(what) in got.says


def test_an_event_that_the_set_does_not_list_leaves_the_round_standing():
    journal = passing()
    journal.event(Happening.TREMIE_SET, at("10:40"))
    assert found(journal)[SHARE].outcome is MET


def test_a_cleanout_pass_and_more_drilling_make_a_round_stale():
    journal = passing()
    journal.clean(2, at("10:35"), at("10:45"))
    assert "cleanout pass 2" in found(journal)[SHARE].says
    journal = passing()
    journal.drill(at("10:50"), ("60 ft", "61 ft"))
    assert "drilling" in found(journal)[SHARE].says


def test_a_round_in_the_minute_in_which_the_pass_ended_stands_after_it():
    journal = passing()
    journal.clean(2, at("10:35"), at("10:45"))
    journal.sound(2, at("10:45"), five_points(*["1/4"] * 5))
    assert found(journal)[SHARE].outcome is MET


def test_a_failed_fluid_test_makes_an_earlier_round_stale_where_the_set_says_so():
    journal = passing(acceptance=usual(parameter("reclean_on_slurry_fail", "yes")))
    journal.test_fluid(3, at("10:40"), sand=reading("4.1 %"))
    assert "failed fluid test" in found(journal)[SHARE].says
    journal = passing()
    journal.test_fluid(3, at("10:40"), sand=reading("4.1 %"))
    assert found(journal)[SHARE].outcome is MET


def test_a_round_in_dispute_makes_the_earlier_one_stale():
    journal = passing()
    second = journal.sound(2, at("10:40"), five_points(*["1"] * 5))
    for device, thickness in (("tablet-a", "1/4"), ("tablet-b", "2")):
        says = type(second.values)(2, RoundWhy.BEFORE_CONCRETE, "tape 1", five_points(*[thickness] * 5))
        journal.amend(second, says, at("10:50"), device=device)
    got = found(journal)
    assert got[SHARE].outcome is NOT_SHOWN
    assert got["amendments settled"].outcome is NOT_SHOWN
    assert got["amendments settled"].keeps_credit_open


def test_sediment_that_rises_by_more_than_the_trigger_asks_for_cleaning():
    limits = usual(parameter("reclean_rise_trigger", "1/2 in"))
    journal = passing("1/4", "1/4", "1/4", "1/4", "1/4", acceptance=limits)
    journal.sound(2, at("10:50"), five_points("1/4", "1/4", "3/4", "1/4", "1/4"))
    assert found(journal)["base rise since last round"].outcome is MET, "1/2 in is not over 1/2 in"
    journal.sound(3, at("11:00"), five_points("1/4", "1/4", "1", "1/4", "1/4"))
    got = found(journal)["base rise since last round"]
    assert (got.outcome, got.where, got.work) == (NOT_MET, "point 3", Work.CLEAN_AGAIN)


def test_a_rise_is_held_against_the_first_round_that_shows_a_thickness_at_the_place():
    limits = usual(parameter("reclean_rise_trigger", "1/2 in"))
    journal = passing(None, None, None, None, None, acceptance=limits)
    journal.sound(2, at("10:50"), five_points("1/4", "1/4", "1/4", "1/4", None))
    # round 1 shows nothing anywhere, so there is nothing that a later round could be held against
    assert found(journal)["base rise since last round"].outcome is NOT_ASKED
    journal.sound(3, at("11:00"), five_points("1/4", "1/4", "1/4", "1/4", "1/4"))
    got = found(journal)["base rise since last round"]
    assert (got.outcome, got.says) == (NOT_SHOWN, "Point 5 cannot be compared with round 2.")
    journal.sound(4, at("11:10"), five_points("1/4", "1/4", "1/4", "1/4", "1"))
    got = found(journal)["base rise since last round"]
    assert (got.outcome, got.where) == (NOT_MET, "point 5")
    assert got.says.startswith("Sediment rose by 3/4 in since round 3")


def test_a_point_off_the_base_is_not_shown_and_named():
    journal = passing()
    journal.sound(2, at("10:40"), five_points(*["1/4"] * 5, radius="31 in"))
    got = found(journal)[SHARE]
    assert got.outcome is NOT_SHOWN
    assert "point" in got.says


def test_a_limit_still_to_be_entered_is_not_shown():
    limits = usual(parameter("max_thickness_anywhere", None, unit="in"))
    got = found(passing(acceptance=limits))[LARGEST]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.ENTER_LIMIT)


def test_what_the_set_does_not_name_is_not_asked():
    got = found(passing(acceptance=usual(without=("area_fraction_limit", "area_fraction_min"))))[SHARE]
    assert got.outcome is Outcome.NOT_ASKED


def test_half_of_the_area_share_is_no_requirement_and_is_said():
    got = found(passing(acceptance=usual(without=("area_fraction_limit",))))[SHARE]
    assert (got.outcome, got.work) == (Outcome.NOT_SHOWN, Work.ENTER_LIMIT)
