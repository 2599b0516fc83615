"""Evidence that looks whole and is not: one-sided, old, changed afterwards, or by the wrong hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from fieldapp.base.disk import polar_to_xy_m
from fieldapp.base.layout import proposed_layout
from fieldapp.criteria import adopted_rules
from fieldapp.criteria.finding import Outcome, ReleaseStatus, Standing, Work
from fieldapp.criteria.parameters import PARAMETERS
from fieldapp.criteria.release import release_state
from fieldapp.criteria.spread import farthest_unprobed
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.decisions import Amend, Disposition
from fieldapp.record.hole import BaseSighting, StandingWater
from fieldapp.record.words import Caution, Decision, RoundWhy, Seen
from tests.criteria.stories import DRY, found, passing, stands, usual
from tests.support.journals import SHAFT, Journal, at, five_points, parameter, point, reading

MET, NOT_MET, NOT_SHOWN = Outcome.MET, Outcome.NOT_MET, Outcome.NOT_SHOWN
SPREAD = parameter("largest_unprobed", "75 %")


def in_a_corner(places: list[tuple[str, str]]) -> Journal:
    journal = passing(acceptance=usual(SPREAD))
    points = tuple(point(str(number), place, "1/8") for number, place in enumerate(places, start=1))
    journal.sound(2, at("10:40"), points, RoundWhy.BEFORE_CONCRETE)
    return journal


def test_a_round_around_the_base_looks_everywhere() -> None:
    assert found(passing(acceptance=usual(SPREAD)))["sounding spread"].outcome is MET


@pytest.mark.parametrize(
    "places",
    [
        [("26 in", f"{angle} deg") for angle in range(0, 45, 5)],
        [("2 in", f"{angle} deg") for angle in range(0, 360, 40)],
        [("0 in", "0 deg")] * 9,
    ],
    ids=["one rim", "the middle", "one place nine times"],
)
def test_a_one_sided_round_shows_no_base(places: list[tuple[str, str]]) -> None:
    journal = in_a_corner(places)
    assert found(journal)["sounding spread"].outcome is NOT_SHOWN
    assert stands(journal).standing is Standing.NOT_SHOWN


def test_the_same_place_nine_times_is_one_point() -> None:
    got = found(in_a_corner([("0 in", "0 deg")] * 9))["sounding points"]
    assert (got.outcome, got.measured) == (NOT_SHOWN, "1 place read")


@pytest.mark.parametrize(("diameter_m", "points"), [(1.2, 5), (1.8, 9), (2.7, 13)])
def test_every_proposed_layout_looks_everywhere(diameter_m: float, points: int) -> None:
    layout = proposed_layout(diameter_m)
    assert len(layout) == points
    places = [polar_to_xy_m(float(each.r_m), each.angle_deg) for each in layout]
    assert farthest_unprobed(tuple(places), diameter_m / 2) <= 0.75


def test_the_farthest_place_of_the_known_covering_is_half_a_radius_away() -> None:
    # Centre and six points at 0.866 R: covering radius 0.5 R (known disk coverings; check G5-6).
    places = [(0.0, 0.0), *(polar_to_xy_m(0.866025, angle) for angle in range(0, 360, 60))]
    assert float(farthest_unprobed(tuple(places), 1.0)) == pytest.approx(0.5, abs=1e-4)


@pytest.mark.parametrize(
    ("places", "share"),
    [
        pytest.param([(0.0, 0.0)], 1.0, id="the middle alone"),
        pytest.param([(0.0, 1.0)], 2.0, id="one rim alone"),
        pytest.param([polar_to_xy_m(1.0, angle) for angle in (0, 120, 240)], 1.0, id="three at the wall"),
        pytest.param([(0.0, 0.5), (0.0, -0.5)], 1.25**0.5, id="two across"),
        pytest.param([(0.0, 0.0), (0.0, 1.5)], 1.0, id="one of them off the base"),
        pytest.param([], 2.0, id="none"),
    ],
)
def test_the_farthest_place_of_plain_layouts(places: list[tuple[float, float]], share: float) -> None:
    # Hand calculation: distances in a circle of radius 1.
    assert float(farthest_unprobed(tuple(places), 1.0)) == pytest.approx(share, abs=1e-4)


def test_rise_is_compared_by_place_and_not_by_how_the_place_is_written() -> None:
    journal = passing(
        "1/8", "1/8", "1/8", "1/8", "1/8", acceptance=usual(parameter("reclean_rise_trigger", "1/2 in"))
    )
    risen = five_points("1/4", "1 1/4", "1 1/4", "1/4", "1/4", radius="2.16667 ft")
    journal.sound(2, at("10:50"), risen, RoundWhy.BEFORE_CONCRETE)
    got = found(journal)["base rise since last round"]
    assert (got.outcome, got.where) == (NOT_MET, "point 2")


def test_a_point_that_cannot_be_compared_leaves_the_rise_open() -> None:
    journal = passing(acceptance=usual(parameter("reclean_rise_trigger", "2 in")))
    journal.sound(2, at("10:50"), five_points(*["1/4"] * 5, radius="20 in"), RoundWhy.BEFORE_CONCRETE)
    assert found(journal)["base rise since last round"].outcome is NOT_SHOWN


def test_evidence_changed_after_concrete_does_not_make_a_base_clean() -> None:
    journal = passing("3", "3", "3", "3", "3")
    dirty = next(each for each in journal.shaft().entries if isinstance(each.values, SoundingRound))
    journal.concrete(at("11:00"))
    journal.amend(
        dirty, SoundingRound(1, RoundWhy.BEFORE_CONCRETE, "tape 1", five_points(*["1/8"] * 5)), at("12:00")
    )
    got = found(journal)["late entries"]
    assert got.outcome is NOT_SHOWN
    assert stands(journal).standing is not Standing.CLEAN


def test_water_goes_on_rising_after_it_was_read() -> None:
    limits = usual(parameter("water_max_age", "2 h"))
    journal = Journal(limits)
    journal.set_up()
    journal.dry_plan()
    journal.drill(at("08:00"), began=at("07:00"))
    water = StandingWater(True, reading("1 in"), reading("1/2 in"), reading("5 min"))
    journal.say(water, at("09:00"))
    assert found(journal, at("09:10"))["standing water"].outcome is MET
    # 6 in/h for half an hour more: 1 in + 3 in over the limit of 3 in.
    assert found(journal, at("09:30"))["standing water"].outcome is NOT_MET


def test_an_old_reading_of_still_water_shows_nothing() -> None:
    journal = Journal(usual(parameter("water_max_age", "2 h")))
    journal.set_up()
    journal.dry_plan()
    journal.drill(at("08:00"), began=at("07:00"))
    journal.say(StandingWater(True, reading("1 in"), reading("0 in"), reading("5 min")), at("09:00"))
    assert found(journal, at("10:59"))["standing water"].outcome is MET
    late = found(journal, at("11:01"))
    assert (late["standing water"].outcome, late["seepage"].outcome) == (NOT_SHOWN, NOT_SHOWN)


def test_firm_bottom_above_the_drilled_depth_may_be_a_crust() -> None:
    limits = usual(parameter("firm_depth_tol", "3 in"))
    assert found(passing(acceptance=limits))["firm bottom at the base"].outcome is MET
    journal = passing(acceptance=limits)
    journal.drill(at("10:35"), ("60 ft", "60.5 ft"))
    journal.sound(2, at("10:50"), five_points(*["1/8"] * 5), RoundWhy.BEFORE_CONCRETE)
    assert found(journal)["firm bottom at the base"].outcome is NOT_SHOWN


def test_loose_material_seen_after_the_round_makes_it_stale() -> None:
    journal = passing()
    journal.say(BaseSighting("camera from the surface", (Seen.LOOSE_MATERIAL,), "a heap"), at("10:40"))
    got = found(journal)["base area share"]
    assert got.outcome is NOT_SHOWN
    assert "sighting of loose material" in got.says


def test_water_seen_on_a_dry_base_after_the_round_makes_it_stale() -> None:
    journal = Journal(usual())
    journal.set_up()
    journal.dry_plan()
    journal.drill(at("08:00"), began=at("07:00"))
    journal.sound(1, at("09:00"), five_points(*["1/8"] * 5), RoundWhy.BEFORE_CONCRETE)
    assert found(journal)["base area share"].outcome is MET
    journal.say(BaseSighting("camera from the surface", (Seen.WATER,), "a pool"), at("09:10"))
    got = found(journal)["base area share"]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.SOUND)
    assert "water on the dry base" in got.says


def test_water_in_a_wet_hole_is_nothing_new() -> None:
    journal = passing()
    journal.say(BaseSighting("camera from the surface", (Seen.WATER,), "slurry"), at("10:40"))
    assert found(journal)["base area share"].outcome is MET


def test_a_clean_base_that_nothing_verifies_is_not_shown() -> None:
    assert "base area share" in found(passing())["clean base verified"].says
    bare = usual(without=("area_fraction_limit", "area_fraction_min", "max_thickness_anywhere"))
    journal = passing(acceptance=bare)
    got = found(journal)["clean base verified"]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.ENTER_LIMIT)
    assert stands(journal).standing is Standing.NOT_SHOWN


def test_karst_that_was_looked_at_is_left_to_the_engineer_where_the_set_wants_none() -> None:
    journal = passing(
        acceptance=usual(parameter("base_requires", "clean_verified, not_karst")), cautions=(Caution.KARST,)
    )
    assert found(journal)["karst base looked at"].outcome is NOT_SHOWN
    journal.say(BaseSighting("camera from the surface", (Seen.NOTHING_LOOSE,), "tight rock"), at("10:40"))
    got = found(journal)["karst base looked at"]
    assert got.outcome is MET
    assert "engineer" in got.says


def test_half_of_the_first_sets_is_no_requirement_and_is_said() -> None:
    got = found(passing(acceptance=usual(parameter("initial_sets", "2 count"))))["fluid test rate"]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.ENTER_LIMIT)


def test_a_limit_of_the_contract_without_a_rule_is_said() -> None:
    got = found(passing(acceptance=usual(parameter("tremie_id_min", "10 in"))))["limits without a rule"]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.ASK_ENGINEER)
    assert "tremie id min" in got.says


@pytest.mark.parametrize(
    "asked",
    [
        pytest.param(replace(parameter("tremie_id_min", "10 in"), confidence="judgment"), id="a preset"),
        pytest.param(parameter("tremie_id_min", "10 in", applies=DRY), id="the contract, for another hole"),
        pytest.param(parameter("phi_base_rock", "0.50 ratio"), id="a design factor"),
    ],
)
def test_a_limit_without_a_rule_that_the_contract_does_not_ask_of_this_hole_takes_nothing(asked) -> None:
    got = found(passing(acceptance=usual(asked)))["limits without a rule"]
    assert got.outcome is not NOT_SHOWN
    assert ("tremie id min" in got.says) is (asked.confidence == "judgment")


def test_every_name_without_a_rule_is_administrative_or_reported() -> None:
    for name in adopted_rules.NOT_HELD:
        group = PARAMETERS[name].group
        assert (name in adopted_rules.ADMINISTRATIVE) is (group in {"administration", "design"})


def test_the_list_of_names_without_a_rule_is_true() -> None:
    folder = Path(adopted_rules.__file__).parent
    texts = [
        each.read_text("utf-8")
        for each in folder.glob("*.py")
        if each.name not in {"parameters.py", "adopted_rules.py"}
    ]
    rules = "".join(texts)
    silent = {name for name in PARAMETERS if f'"{name}"' not in rules and not name.startswith("slump_")}
    assert silent == adopted_rules.NOT_HELD


def test_a_fluid_that_the_set_does_not_cover_is_not_shown() -> None:
    names = [each for each in PARAMETERS if each.startswith(("density_", "viscosity_m", "ph_", "sand_max"))]
    got = found(passing(acceptance=usual(without=tuple(names))))["fluid limits adopted"]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.ENTER_LIMIT)


def test_a_disposition_counts_only_from_a_designer() -> None:
    journal = passing("2", "2", "2", "2", "2")
    full = Disposition(journal.basis(), Decision.FULL_CREDIT, "fine")
    journal.say(full, at("10:50"))
    assert stands(journal).standing is Standing.REWORK


def test_a_release_without_the_reason_asked_for_does_not_count() -> None:
    limits = usual(parameter("override_reason_required", "yes"))
    journal = passing("2", "2", "2", "2", "2", acceptance=limits)
    journal.release(at("10:45"), at("12:00"))
    state = release_state(journal.record(), journal.record().shafts[SHAFT], at("10:50"))
    assert state.status is ReleaseStatus.HELD
    assert "without the reason" in state.reason
    journal.release(at("10:55"), at("12:00"), reason="side resistance alone carries it")
    state = release_state(journal.record(), journal.record().shafts[SHAFT], at("11:00"))
    assert state.status is ReleaseStatus.RELEASED


def test_a_void_in_dispute_still_excludes_and_a_struck_one_asks_for_a_look() -> None:
    void = BaseSighting("camera from the surface", (Seen.VOID,), "black gap")
    clear = BaseSighting("camera from the surface", (Seen.NOTHING_LOOSE,), "clean")
    journal = passing()
    first = journal.say(void, at("10:40"))
    for clock in ("10:45", "10:50"):
        journal.say(Amend(first.id, clear, "no"), at(clock), parents=(first.id,))
    assert found(journal)["void under the base"].excludes_base
    journal = passing()
    journal.strike(journal.say(void, at("10:40")), at("10:45"))
    got = found(journal)["void under the base"]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.ASK_ENGINEER)
    journal.say(clear, at("10:50"))
    assert found(journal)["void under the base"].outcome is MET


def test_a_void_that_is_amended_away_is_as_one_that_is_struck() -> None:
    clear = BaseSighting("camera from the surface", (Seen.NOTHING_LOOSE,), "clean")
    journal = passing()
    first = journal.say(BaseSighting("camera from the surface", (Seen.VOID,), "black gap"), at("10:40"))
    journal.amend(first, clear, at("10:45"))
    assert found(journal)["void under the base"].outcome is NOT_SHOWN
    journal.say(clear, at("10:50"))
    assert found(journal)["void under the base"].outcome is MET


def test_a_dispute_over_a_void_says_what_the_version_with_the_void_says() -> None:
    journal = passing()
    clear = BaseSighting("camera from the surface", (Seen.NOTHING_LOOSE,), "clean")
    first = journal.say(clear, at("10:40"))
    for what, text in ((Seen.VOID, "black gap"), (Seen.OBSCURED, "cloudy")):
        journal.say(
            Amend(first.id, BaseSighting("camera", (what,), text), "no"), at("10:45"), parents=(first.id,)
        )
    got = found(journal)["void under the base"]
    assert got.excludes_base
    assert "black gap" in got.says


def test_a_dispute_on_when_concrete_came_does_not_open_the_hole_again() -> None:
    journal = passing()
    first = journal.concrete(at("11:00"))
    for clock in ("11:05", "11:10"):
        change = Amend(first.id, ConcreteStarted("later"), "time", at(clock))
        journal.say(change, at("11:30"), parents=(first.id,))
    assert journal.shaft().concrete_started_at == at("11:00")
    assert stands(journal).standing is not Standing.REWORK
