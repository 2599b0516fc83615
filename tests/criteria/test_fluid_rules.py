"""Fluid before concrete.  SLU-1 to SLU-6 and FUN-6 are those of the checks (slurry decision, funnel)."""

from __future__ import annotations

import pytest

from fieldapp.criteria.finding import Outcome, Work
from fieldapp.record.words import Fluid, FluidStage, InstrumentType, Salinity
from tests.criteria.stories import caged, drilled, found, passing, usual, with_tests
from tests.support.journals import Journal, accepted, at, parameter, reading

MET, NOT_MET, NOT_SHOWN = Outcome.MET, Outcome.NOT_MET, Outcome.NOT_SHOWN
FAMILIES = {
    "density": "fluid density",
    "viscosity": "fluid funnel time",
    "ph": "fluid pH",
    "sand": "fluid sand",
}
S2 = ("75.0 pcf", "45 s")
S3 = ("72.0 pcf", "50 s")


def sampled(limits=S2, **changes: object) -> Journal:
    journal = drilled(
        Journal(usual(parameter("density_max", limits[0]), parameter("viscosity_max", limits[1])))
    )
    journal.test_fluid(1, at("10:00"), **changes)
    return journal


@pytest.mark.parametrize(
    ("limits", "reading_of", "broken"),
    [
        pytest.param(S2, ("75.0 pcf", "45 s", "11.0 pH", "4.0 %", "40 degF"), None, id="SLU-1"),
        pytest.param(S2, ("75.1 pcf", "45 s", "11.0 pH", "4.0 %", "40 degF"), "density", id="SLU-2"),
        pytest.param(S2, ("70 pcf", "46 s", "9 pH", "1 %", "60 degF"), "viscosity", id="SLU-3a"),
        pytest.param(S3, ("70 pcf", "46 s", "9 pH", "1 %", "60 degF"), None, id="SLU-3b"),
        pytest.param(S2, ("70 pcf", "35 s", "9 pH", "4.1 %", "60 degF"), "sand", id="SLU-4"),
    ],
)
def test_slurry_decisions_of_the_checks(limits, reading_of, broken):
    # Presets S2 (memory: sure) and S3 (memory: fair), standards survey section 4.
    names = ("density", "funnel_time", "ph", "sand", "temperature")
    changes = {name: reading(text) for name, text in zip(names, reading_of, strict=True)}
    got = found(sampled(limits, **changes))
    for family, requirement in FAMILIES.items():
        assert got[requirement].outcome is (NOT_MET if family == broken else MET), requirement


def test_a_sample_too_cold_is_an_invalid_test_and_neither_met_nor_broken():
    # SLU-5: 39 degF against 40 degF.
    got = found(sampled(temperature=reading("39 degF"), sand=reading("9 %")))
    for requirement in (*FAMILIES.values(), "fluid test temperature"):
        assert got[requirement].outcome is NOT_SHOWN, requirement
    assert "too cold" in got["fluid sand"].says


def test_a_sample_without_a_temperature_leaves_the_temperature_not_shown():
    got = found(sampled(temperature=None))
    assert got["fluid test temperature"].outcome is NOT_SHOWN
    assert got["fluid sand"].outcome is MET


def test_a_time_from_another_cup_is_not_comparable():
    # FUN-6: 30 s from 1000 mL against 28 s for 946 mL.
    got = found(sampled(funnel_time=reading("30 s"), cup_volume=reading("1000 mL")))["fluid funnel time"]
    assert got.outcome is NOT_SHOWN
    assert "not comparable" in got.says


def test_a_quart_is_the_cup_of_946_millilitres():
    assert found(sampled(cup_volume=reading("1 qt")))["fluid funnel time"].outcome is MET


@pytest.mark.parametrize(
    ("results", "outcome"), [("PFP", NOT_SHOWN), ("PP", MET), ("FPP", MET), ("P", NOT_SHOWN)]
)
def test_two_sets_in_a_row_have_to_pass(results, outcome):
    # SLU-6: pass, fail, pass is one in a row: not yet.
    journal = drilled(Journal(usual()))
    for number, result in enumerate(results, start=1):
        sand = "1 %" if result == "P" else "5 %"
        journal.test_fluid(number, at(f"{9 + number}:00"), sand=reading(sand))
    got = found(journal)["fluid sets in a row"]
    assert got.outcome is outcome
    if results == "PFP":
        assert got.measured == "1 in a row"


@pytest.mark.parametrize("field", ["density", "funnel_time", "ph", "sand"])
def test_what_was_not_tested_is_not_shown(field):
    changes = {field: None} | ({"cup_volume": None} if field == "funnel_time" else {})
    got = found(sampled(**changes))
    requirement = FAMILIES.get(field, "fluid funnel time")
    assert got[requirement].outcome is NOT_SHOWN
    assert got["fluid sets in a row"].measured == "0 in a row"


def test_every_depth_has_to_pass_unless_the_set_asks_only_for_the_base():
    journal = with_tests(drilled(Journal(usual())))
    journal.test_fluid(3, at("10:05"), "31 ft", sand=reading("6 %"))
    journal.test_fluid(3, at("10:05"), "59 ft")
    got = found(journal)["fluid sand"]
    assert (got.outcome, got.where, got.work) == (NOT_MET, "31' 0\" depth", Work.EXCHANGE_FLUID)
    base_only = Journal(usual(parameter("all_depths_must_pass", "no")), entries=[])
    drilled(base_only)
    base_only.test_fluid(3, at("10:05"), "31 ft", sand=reading("6 %"))
    base_only.test_fluid(3, at("10:05"), "59 ft")
    assert found(base_only)["fluid sand"].outcome is MET


def test_a_set_from_before_the_last_cleanout_pass_shows_nothing():
    journal = passing()
    journal.clean(2, at("10:35"), at("10:45"))
    got = found(journal)["fluid sand"]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.TEST_FLUID)


def test_a_set_begun_before_the_end_of_a_pass_is_not_since_the_cleaning():
    journal = drilled(Journal(usual()))
    journal.test_fluid(1, at("10:00"), "31 ft")
    journal.test_fluid(1, at("10:30"), "59 ft")
    assert found(journal)["fluid sand"].outcome is MET
    journal.clean(2, at("10:05"), at("10:20"))
    assert found(journal)["fluid sand"].outcome is NOT_SHOWN


def test_salt_water_raises_both_density_limits():
    # Q10: 2 pcf (memory: fair).
    limits = usual(parameter("salt_density_add", "2 pcf"))
    for salinity, density, outcome in (
        (Salinity.FRESH, "77 pcf", NOT_MET),
        (Salinity.SALT, "77 pcf", MET),
        (Salinity.SALT, "77.1 pcf", NOT_MET),
        (Salinity.SALT, "66.2 pcf", NOT_MET),
    ):
        journal = Journal(limits)
        journal.set_up(salinity=salinity)
        journal.plan()
        journal.drill(at("08:00"))
        journal.test_fluid(1, at("10:00"), density=reading(density))
        assert found(journal)["fluid density"].outcome is outcome, (salinity, density)


def test_a_strict_density_limit_refuses_the_limit_itself():
    # EN 1536 form: under 1.15 g/ml (memory: sure).
    limits = usual(parameter("density_max", "1.15 g/cm3", strict=True))
    journal = drilled(Journal(limits))
    journal.test_fluid(1, at("10:00"), density=reading("1.15 g/cm3"))
    assert found(journal)["fluid density"].outcome is NOT_MET
    journal.test_fluid(2, at("10:05"), density=reading("1.14 g/cm3"))
    assert found(journal)["fluid density"].outcome is MET


@pytest.mark.parametrize(
    ("depths", "missing"),
    [
        (("31 ft", "59 ft"), ""),
        (("59 ft",), "mid-height"),
        (("31 ft",), "of the base"),
        (("31 ft", "57.9 ft"), "of the base"),
    ],
)
def test_samples_near_the_base_and_at_mid_height(depths, missing):
    journal = drilled(Journal(usual()))
    for depth in depths:
        journal.test_fluid(1, at("10:00"), depth)
    got = found(journal)["fluid sampling depths"]
    assert got.outcome is (NOT_SHOWN if missing else MET)
    assert missing in got.says


def test_samples_every_ten_feet():
    limits = usual(parameter("sample_interval_max", "10 ft"), without=("include_midheight",))
    journal = drilled(Journal(limits))
    for depth in ("10 ft", "20 ft", "30 ft", "40 ft", "50 ft", "59 ft"):
        journal.test_fluid(1, at("10:00"), depth)
    assert found(journal)["fluid sampling depths"].outcome is MET
    journal = drilled(Journal(limits))
    for depth in ("10 ft", "30 ft", "40 ft", "50 ft", "59 ft"):
        journal.test_fluid(1, at("10:00"), depth)
    got = found(journal)["fluid sampling depths"]
    assert got.outcome is NOT_SHOWN
    assert "10' 0\" and 30' 0\"" in got.says


def test_stages_and_age_of_the_tests():
    limits = usual(parameter("stages_required", "introduced, before concrete"))
    journal = passing(acceptance=limits)
    assert "introduced" in found(journal)["fluid stages"].says
    journal.test_fluid(1, at("07:10"), stage=FluidStage.INTRODUCED)
    assert found(journal)["fluid stages"].outcome is MET
    assert found(journal, at("14:00"))["fluid test age"].outcome is MET
    late = found(journal, at("14:01"))["fluid test age"]
    assert (late.outcome, late.work) == (NOT_SHOWN, Work.TEST_FLUID)
    journal.concrete(at("14:01"))
    assert found(journal)["fluid test age"].outcome is NOT_MET


def test_a_stage_left_out_of_limits_is_mended_by_a_later_passing_set():
    limits = usual(parameter("stages_required", "introduced"))
    journal = Journal(limits)
    journal.set_up()
    journal.plan()
    journal.test_fluid(1, at("07:00"), stage=FluidStage.INTRODUCED, density=reading("76 pcf"))
    got = found(journal)["fluid stages"]
    assert (got.outcome, got.work) == (NOT_MET, Work.EXCHANGE_FLUID)
    journal.test_fluid(1, at("08:00"), stage=FluidStage.DRILLING)
    assert found(journal)["fluid stages"].outcome is MET


def test_rate_of_tests():
    # Q6: 4 sets in the first 8 h, then one every 4 h (memory: sure).
    limits = usual(
        parameter("initial_sets", "4 count"),
        parameter("initial_hours", "8 h"),
        parameter("steady_interval", "4 h"),
    )
    journal = Journal(limits)
    journal.set_up()
    journal.plan()
    for number, clock in enumerate(("06:00", "08:00", "10:00"), start=1):
        journal.test_fluid(number, at(clock))
    assert found(journal, at("11:59"))["fluid test rate"].outcome is MET
    assert found(journal, at("14:00"))["fluid test rate"].outcome is NOT_SHOWN
    journal.test_fluid(4, at("14:00"))
    assert found(journal, at("18:00"))["fluid test rate"].outcome is MET
    assert found(journal, at("18:01"))["fluid test rate"].outcome is NOT_SHOWN


def test_a_dry_hole_is_asked_nothing_about_fluid():
    journal = Journal(usual())
    journal.set_up()
    journal.dry_plan()
    journal.drill(at("08:00"))
    got = found(journal)
    assert {f.outcome for name, f in got.items() if name.startswith(("fluid", "head"))} == {Outcome.NOT_ASKED}


def test_polymer_waits_for_the_range_of_its_product():
    limits = accepted(parameter("viscosity_max", "135 s"), parameter("product_range", None))
    journal = Journal(limits)
    journal.set_up()
    journal.plan(fluid=Fluid.POLYMER)
    journal.test_fluid(1, at("10:00"))
    got = found(journal)["fluid funnel time"]
    assert (got.outcome, got.work) == (NOT_SHOWN, Work.ENTER_LIMIT)


def test_filter_press_limits_that_no_entry_carries_are_not_shown():
    got = found(passing(acceptance=usual(parameter("fluid_loss_max", "30 mL"))))["fluid press and gel"]
    assert got.outcome is NOT_SHOWN


def test_fluid_instruments_have_to_be_named_checked_and_in_date():
    limits = usual(parameter("instrument_check_max_age", "7 day"))
    journal = caged(with_tests(drilled(Journal(limits))))
    assert found(journal)["fluid instruments"].says == "No sand tube is named with set 2."
    kit = {
        "balance 1": InstrumentType.BALANCE,
        "funnel 1": InstrumentType.FUNNEL,
        "tube 1": InstrumentType.SAND_TUBE,
        "meter 1": InstrumentType.PH_METER,
    }
    for label, kind in kit.items():
        journal.check(label, kind, at("06:00", day=5))
    journal.test_fluid(3, at("06:00"), instruments=tuple(kit))
    journal.clean(2, at("10:30"), at("10:40"))
    journal.test_fluid(4, at("10:50"), instruments=tuple(kit))
    got = found(journal)["fluid instruments"]
    assert got.outcome is NOT_SHOWN, "7 days and 4 h 50 min old"
    for label, kind in kit.items():
        journal.check(label, kind, at("06:00"))
    assert found(journal)["fluid instruments"].outcome is MET
    journal.check("funnel 1", InstrumentType.FUNNEL, at("12:00"), passed=False)
    assert "failed its next check" in found(journal)["fluid instruments"].says
