"""Voids, karst, joints; plan, plumbness, tip, diameter, socket; concrete's own rules."""

from __future__ import annotations

import pytest

from fieldapp.criteria.finding import Outcome, Work
from fieldapp.record.concrete import AsBuilt
from fieldapp.record.hole import BaseSighting, DiameterAt, GeometrySurvey
from fieldapp.record.words import Caution, InstrumentType, Seen
from tests.criteria.stories import drilled, found, passing, usual
from tests.support.journals import Journal, at, five_points, parameter, reading

MET, NOT_MET, NOT_SHOWN, NOT_ASKED = Outcome.MET, Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.NOT_ASKED


def camera(*what: Seen) -> BaseSighting:
    return BaseSighting("camera from the surface", what, "as seen", reading("10 in"), reading("90 deg"))


def test_a_void_excludes_the_base_whatever_the_set_asks():
    for limits in (usual(), usual(without=("base_requires",))):
        journal = passing(acceptance=limits)
        journal.say(camera(Seen.VOID), at("10:40"))
        journal.say(camera(Seen.NOTHING_LOOSE), at("10:45"))
        got = found(journal)["void under the base"]
        assert (got.outcome, got.excludes_base) == (NOT_MET, True)
        assert "r 10 in" in got.where


def test_a_void_above_a_base_drilled_deeper_no_longer_excludes():
    journal = passing()
    journal.say(camera(Seen.VOID), at("10:40"))
    journal.drill(at("11:00"), ("60 ft", "64 ft"))
    assert found(journal)["void under the base"].outcome is NOT_SHOWN


def test_where_nobody_looked_nothing_is_said_to_be_free_of_voids():
    journal = passing()
    assert found(journal)["void under the base"].outcome is NOT_ASKED
    assert found(journal)["open joint in the base"].outcome is NOT_ASKED
    journal.say(camera(Seen.OBSCURED), at("10:40"))
    assert found(journal)["void under the base"].outcome is NOT_ASKED
    journal.say(camera(Seen.NOTHING_LOOSE), at("10:45"))
    got = found(journal)["void under the base"]
    assert (got.outcome, len(got.entries)) == (MET, 1)
    assert found(journal)["open joint in the base"].outcome is MET


def test_karst_asks_for_a_look_and_decides_nothing_by_itself():
    journal = passing(cautions=(Caution.KARST,))
    got = found(journal)["karst base looked at"]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.SEE_BASE)
    journal.say(camera(Seen.OBSCURED), at("10:40"))
    assert found(journal)["karst base looked at"].outcome is NOT_SHOWN
    journal.say(camera(Seen.NOTHING_LOOSE), at("10:45"))
    assert found(journal)["karst base looked at"].outcome is MET


def test_a_round_with_a_probe_is_a_look_in_karst():
    journal = drilled(Journal(usual()), cautions=(Caution.KARST,))
    journal.check("tape 1", InstrumentType.PROBE_ROD, at("06:30"))
    journal.sound(1, at("10:00"), five_points(*["1/4"] * 5))
    assert found(journal)["karst base looked at"].outcome is MET


def test_an_open_joint_goes_to_the_engineer_where_no_voids_are_asked():
    journal = passing()
    journal.say(camera(Seen.OPEN_JOINT), at("10:40"))
    got = found(journal)["open joint in the base"]
    assert (got.outcome, got.work, got.excludes_base) == (NOT_MET, Work.ASK_ENGINEER, False)


def test_sound_rock_that_no_entry_carries_is_not_shown_where_asked():
    limits = usual(parameter("base_requires", "clean_verified, sound_rock_depth_D"))
    assert found(passing(acceptance=limits))["sound rock below the base"].outcome is NOT_SHOWN


GEOMETRY = (
    parameter("plan_tol", "3 in"),
    parameter("plumb_tol", "2 1/12 %"),
    parameter("plumb_tol_rock", "4 1/6 %"),
    parameter("tip_tol", "2 in"),
    parameter("diameter_min", "60 in"),
    parameter("socket_len_min", "10 ft"),
)


def surveyed(**changes: object) -> Journal:
    journal = drilled(Journal(usual(*GEOMETRY)), socket_top_elevation=reading("50 ft"))
    fields: dict[str, object] = {
        "plan_offset": reading("3 in"),
        "plumbness": reading("2 1/12 %"),
        "diameters": (DiameterAt(reading("50 ft"), reading("60 in")),),
    }
    journal.say(GeometrySurvey(InstrumentType.CALIPER, **(fields | changes)), at("08:10"))
    return journal


def test_geometry_exactly_at_its_limits_is_met():
    # P1 3 in, P2 1/4 in per ft = 2 1/12 % (memory: sure).
    got = found(surveyed())
    for name in ("plan offset", "plumbness", "tip elevation", "least diameter", "socket length"):
        assert got[name].outcome is MET, name


@pytest.mark.parametrize(
    ("changes", "name"),
    [
        ({"plan_offset": reading("3 1/8 in")}, "plan offset"),
        ({"plumbness": reading("2.1 %")}, "plumbness"),
        ({"diameters": (DiameterAt(reading("50 ft"), reading("59.9 in")),)}, "least diameter"),
        ({"tip_elevation": reading("40.2 ft")}, "tip elevation"),
        ({"tip_elevation": reading("40.2 ft")}, "socket length"),
    ],
)
def test_geometry_over_its_limits_is_not_met(changes, name):
    got = found(surveyed(**changes))[name]
    assert (got.outcome, got.work) == (NOT_MET, Work.ASK_ENGINEER)


def test_geometry_that_was_not_surveyed_is_not_shown():
    got = found(drilled(Journal(usual(*GEOMETRY))))
    assert (got["plan offset"].outcome, got["plan offset"].work) == (NOT_SHOWN, Work.SURVEY)


def test_plan_tolerance_as_a_share_of_the_diameter_and_stepped():
    # P5 (EN 1536, memory: sure): 0.1 D between 1.0 and 1.5 m; 5 ft is 1.524 m, so stepped gives 150 mm.
    for limits, offset, outcome in (
        ((parameter("plan_tol", "10 %"), parameter("plan_tol_rule", "share of D")), "6 in", MET),
        ((parameter("plan_tol", "10 %"), parameter("plan_tol_rule", "share of D")), "6.1 in", NOT_MET),
        ((parameter("plan_tol_rule", "stepped"),), "150 mm", MET),
        ((parameter("plan_tol_rule", "stepped"),), "151 mm", NOT_MET),
    ):
        journal = drilled(Journal(usual(*limits)))
        journal.say(GeometrySurvey(InstrumentType.TAPE, plan_offset=reading(offset)), at("08:10"))
        assert found(journal)["plan offset"].outcome is outcome, offset


def test_rock_tolerance_holds_where_most_of_the_shaft_is_socket():
    journal = drilled(Journal(usual(*GEOMETRY)), socket_top_elevation=reading("80 ft"))
    journal.say(GeometrySurvey(InstrumentType.CALIPER, plumbness=reading("4 %")), at("08:10"))
    assert found(journal)["plumbness"].outcome is MET


@pytest.mark.parametrize(
    ("slump", "outcome"),
    [("7 in", MET), ("9 in", MET), ("6.9 in", NOT_MET), ("9 1/8 in", NOT_MET), (None, NOT_ASKED)],
)
def test_slump_where_it_was_read(slump, outcome):
    # K2: 7-9 in (read, transcription).
    journal = passing(
        acceptance=usual(parameter("slump_min_wet", "7 in"), parameter("slump_max_wet", "9 in"))
    )
    journal.concrete(at("11:00"), slump=reading(slump) if slump else None)
    assert found(journal)["slump"].outcome is outcome


def test_a_doubtful_toe_is_a_finding():
    journal = passing()
    journal.concrete(at("11:00"))
    assert found(journal)["toe as built"].outcome is NOT_ASKED
    journal.say(AsBuilt("core", toe_finding="soft 2 in at the toe", toe_doubtful=True), at("09:00", day=20))
    assert found(journal)["toe as built"].outcome is NOT_MET
