"""What stands beside a fluid sample: the water check of its funnel, and the sets in a row."""

from __future__ import annotations

import pytest

from fieldapp.criteria.fluid_sampling import sets_in_a_row
from fieldapp.desk.entry_forms.fluid_form import FluidForm, answers, fluid_entry, fluid_form, watched_s
from fieldapp.desk.entry_forms.fluid_row import sets_so_far
from fieldapp.desk.entry_forms.water_check import FIRST_LABEL, record_water, water_answer, water_form
from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.looking import look_at
from fieldapp.desk.workplace import Workplace
from fieldapp.record.column import FluidTest
from fieldapp.record.reading import Impossible, Reading
from fieldapp.record.setup import Instrument
from fieldapp.record.words import InstrumentType

SHAFT = "P1-1"
WITHIN = {"density": "68.5", "funnel_time": "41", "sand": "1.5", "ph": "9.1", "temperature": "62"}
WATER = {"water_time": "26.2", "water_temperature": "70"}


def check(place: Workplace, label: str, cup: str, water: str, *, passed: bool = True) -> None:
    kit = Instrument(
        label,
        InstrumentType.FUNNEL,
        passed,
        "fresh water at 70 degF",
        cup_volume=Reading(cup, "mL"),
        water_time=Reading(water, "s") if water else None,
    )
    record_entry(place, Saying(None, kit, "Inspector A"))


def funnel_says(place: Workplace) -> tuple[str, str]:
    found = fluid_form(place, SHAFT).funnel_check
    assert found is not None
    return found.outcome, found.says


def sample(place: Workplace, form: FluidForm, **changed: str) -> FluidTest:
    return fluid_entry(form, form.places[0], WITHIN | changed)


def row(place: Workplace, **changed: str) -> tuple[str, str]:
    form = fluid_form(place, SHAFT)
    found = sets_so_far(place, SHAFT, form, sample(place, form, **changed))
    assert found is not None
    return found.outcome, found.says


def record_next(place: Workplace, **changed: str) -> None:
    form = fluid_form(place, SHAFT)
    record_entry(place, Saying(SHAFT, sample(place, form, **changed), "Inspector A"))


def test_a_project_without_a_funnel_shows_nothing_and_its_first_check_names_one(place: Workplace) -> None:
    assert funnel_says(place) == ("not shown", "No funnel was checked with water yet.")
    entry = record_water(place, water_form(place, fluid_form(place, SHAFT)), WATER, "Inspector A")
    made = entry.draft.values
    assert isinstance(made, Instrument)
    assert (entry.shaft, made.label, made.type, made.passed) == (
        None,
        FIRST_LABEL,
        InstrumentType.FUNNEL,
        True,
    )
    outcome, says = funnel_says(place)
    assert (outcome, says.startswith("funnel 1: water 26.2 s at "), says.endswith(", passed.")) == (
        "met",
        True,
        True,
    )


# 26 +/- 0.5 s at 70 +/- 5 degF for one quart, both ends allowed: ASTM D6910, API RP 13B-1
@pytest.mark.parametrize(
    ("time", "warmth", "outcome"),
    [
        ("25.4", "70", "not met"),
        ("25.5", "70", "met"),
        ("26.5", "70", "met"),
        ("26.6", "70", "not met"),
        ("26.0", "65", "met"),
        ("26.0", "64", "not shown"),
        ("26.0", "75", "met"),
        ("26.0", "76", "not shown"),
        ("27.0", "76", "not shown"),
        ("26.0", "", "not shown"),
    ],
)
def test_a_check_passes_fails_or_shows_nothing(
    place: Workplace, time: str, warmth: str, outcome: str
) -> None:
    form = water_form(place, fluid_form(place, SHAFT))
    typed = {"water_time": time, "water_temperature": warmth}
    answer = water_answer(form, typed)
    assert answer is not None
    assert answer.outcome == outcome
    if outcome == "not shown":
        with pytest.raises(Impossible):
            record_water(place, form, typed, "Inspector A")
    else:
        made = record_water(place, form, typed, "Inspector A").draft.values
        assert isinstance(made, Instrument)
        assert made.passed == (outcome == "met")


def test_a_litre_cup_neither_passes_nor_fails(place: Workplace) -> None:
    check(place, "funnel 3", "1000", "28.0")  # about 28 s, second-hand; no tolerance is known
    outcome, says = funnel_says(place)
    assert outcome == "not shown"
    assert "For this cup no time to ask is known" in says
    form = water_form(place, fluid_form(place, SHAFT))
    assert (str(form.cup), form.fields[0].limit) == ("1000 mL", "not known for this cup")
    answer = water_answer(form, {"water_time": "28.0", "water_temperature": "70"})
    assert answer is not None
    assert answer.outcome == "not shown"


def test_a_funnel_says_only_what_its_check_shows(place: Workplace) -> None:
    check(place, "funnel 1", "946", "")
    assert funnel_says(place) == ("not shown", "funnel 1 was not checked with water yet.")
    check(place, "funnel 1", "946", "29")  # passed by the one who checked it, in a time that is wrong
    assert funnel_says(place)[0] == "not shown"
    check(place, "funnel 1", "946", "29", passed=False)
    assert funnel_says(place)[0] == "not met"
    check(place, "funnel 1", "946", "26")
    assert funnel_says(place)[0] == "met"


def test_the_watch_gives_what_the_record_takes() -> None:
    assert watched_s(FluidTest) == (20.0, 600.0)
    assert watched_s(Instrument) == (10.0, 120.0)


def test_only_a_whole_set_counts_in_the_row(place: Workplace) -> None:
    places = len(fluid_form(place, SHAFT).places)
    assert places == 3  # us-classic: every 10 ft in 30 ft
    for number in (1, 2):
        for left in range(places, 1, -1):
            assert len(fluid_form(place, SHAFT).places) == left
            before = f"{number - 1} of 2 sets in a row within limits; set {number} is not whole yet."
            assert row(place) == ("not shown", before)
            record_next(place)
        whole = f"{number} of 2 sets in a row within limits, set {number} among them."
        assert row(place) == ("met" if number == 2 else "not shown", whole)
        assert row(place, temperature="") == ("not shown", before)  # without it a set shows nothing
        broken = f"Set {number} is out of limits: 0 of 2 sets in a row."
        assert row(place, sand="9") == ("not met", broken)
        record_next(place)
    assert sets_in_a_row(look_at(place, SHAFT)).outcome == "met"  # the rule itself, once all is recorded


def test_the_temperature_is_held_against_the_coldest_that_may_be_tested(place: Workplace) -> None:
    """The set of the project asks at least 40 degF; a colder sample is an invalid test, not a failed one."""
    form = fluid_form(place, SHAFT)
    found = answers(place, SHAFT, sample(place, form))["temperature"]
    assert (found.outcome, found.says) == ("met", "")
    found = answers(place, SHAFT, sample(place, form, temperature="38"))["temperature"]
    assert found.outcome == "not shown"
    assert found.says == "Tested at 38 degF, asked at least 40 degF: an invalid test."
    assert "temperature" not in answers(place, SHAFT, sample(place, form, temperature=""))
