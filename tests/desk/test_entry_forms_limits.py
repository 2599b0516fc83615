"""Units, likely ranges, limits in view and answers while a form is typed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldapp.desk.entry_forms.answers import answers
from fieldapp.desk.entry_forms.form import Ask, EntryForm, FieldAnswer, FormField
from fieldapp.desk.entry_forms.opening import form_for
from fieldapp.desk.entry_forms.plausible import bounds_si
from fieldapp.desk.entry_forms.sheets import SHEETS
from fieldapp.desk.entry_forms.wrong_unit import wrong_unit
from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.office import begin_project
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.record.cleaning import CleanoutPass, SoundingPoint, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.reading import Reading
from fieldapp.record.words import CleanoutMethod, FluidStage, Happening, RoundWhy
from fieldapp.units import UNITS
from tests.desk.conftest import SETUP, SiteClock
from tests.support.examples import feet

INSPECTOR = "Inspector A"
DRY = """
09:40  shaft D-1  shaft scheduled
  location        pier 4
  method          dry
  fluid           none
  design basis    base
  diameter        6' 0"
  reference elevation  5032.50 ft
  tip elevation   5002.50 ft
"""
DRY_HOLE = """\
project   larkwater
device    tablet north
author    Inspector A
zone      America/Denver
day       2026-05-12
shaft     D-1

08:10  excavation stage
  from depth      0' 0"
  to depth        30' 0"
  tool            rock auger
  material        shale
  drilled depth   30' 0"
"""


@pytest.fixture
def dry(place: Workplace) -> Workplace:
    folder = place.folder.parent
    (folder / "more.log").write_text(SETUP.split("\n09:00")[0] + "\n" + DRY, "utf-8")
    (folder / "dry.log").write_text(DRY_HOLE, "utf-8")
    for name in ("more.log", "dry.log"):
        add_logs(place, read_logs([folder / name]))
    return place


@pytest.fixture
def metric(tmp_path: Path, clock: SiteClock) -> Workplace:
    folder = tmp_path / "metric"
    begin_project(folder)
    text = SETUP.replace("units           US", "units           SI").replace("larkwater", "metric")
    (tmp_path / "metric.log").write_text(text, "utf-8")
    with open_project(folder, clock, device="tablet south") as opened:
        add_logs(opened, read_logs([tmp_path / "metric.log"]))
        yield opened


def said_of(place: Workplace, shaft: str, kind: str, typed: Mapping[str, str]) -> dict[str, FieldAnswer]:
    return {each.name: each for each in answers(place, shaft, form_for(place, shaft, kind), typed)}


# What the number would be in the other unit is ordinary on a shaft; in the shown one it is not.
# 1.05 g/cm3 = 65.5 pcf, 8.8 lb/gal = 65.8 pcf, 5.5 bar = 80 psi, 62 degF = 16.7 degC, 9.1 m = 29.9 ft.
US_CASES = [
    ("fluid test", "density", "1.05", "g/cm3", "pcf"),
    ("fluid test", "density", "1,05", "g/cm3", "pcf"),
    ("fluid test", "density", "1040", "kg/m3", "pcf"),
    ("fluid test", "density", "8.8", "lb/gal", "pcf"),
    ("fluid test", "temperature", "18", "degC", "degF"),
    ("cleanout pass", "air_pressure", "5.5", "bar", "psi"),
    ("cleanout pass", "air_pressure", "550", "kPa", "psi"),
    ("cleanout pass", "depth_after", "9.1", "m", "ft"),
    ("excavation stage", "drilled_depth", "9.15", "m", "ft"),
    ("geometry survey", "diameter 1", "72", "in", "ft"),
    ("geometry survey", "tip_elevation", "1524.8", "m", "ft"),
    ("concrete started", "slump", "200", "mm", "in"),
    ("standing water", "window", "300", "s", "min"),
]
SI_CASES = [
    ("fluid test", "density", "65", "pcf", "g/cm3"),
    ("fluid test", "density", "1040", "kg/m3", "g/cm3"),
    ("fluid test", "temperature", "62", "degF", "degC"),
    ("excavation stage", "drilled_depth", "30", "ft", "m"),
    ("cleanout pass", "air_pressure", "80", "psi", "kPa"),
]
# Ordinary in the shown unit, or not decidable: quart and litre cups both run out in seconds, a depth may be
# a short one.
NO_GUESS = [
    ("fluid test", "funnel_time", "26"),
    ("fluid test", "funnel_time", "28"),
    ("fluid test", "density", "68.5"),
    ("fluid test", "density", "64"),
    ("fluid test", "sample_depth", "9.1"),
    ("fluid test", "density", ""),
    ("fluid test", "density", "1."),
    ("fluid test", "density", "500"),
    ("excavation stage", "drilled_depth", "29' 6\""),
    ("excavation stage", "drilled_depth", "9' 1\""),
    ("excavation stage", "to_depth", "9.1"),
    ("excavation stage", "tool", "9.1"),
    ("standing water", "depth", "4"),
    ("cleanout pass", "air_pressure", "60"),
]


def test_a_wrong_unit_is_recognised(place: Workplace) -> None:
    for kind, field, text, other, shown in US_CASES:
        opened = form_for(place, "P1-1", kind)
        says = f"{text.replace(',', '.')} looks like {other}; the project shows {shown}"
        assert wrong_unit(opened, field, text) == says
        assert wrong_unit(opened, opened.field(field), text) == says


def test_a_wrong_unit_is_recognised_in_a_metric_project(metric: Workplace) -> None:
    record_entry(metric, Saying("P1-1", stage(), INSPECTOR))
    for kind, field, text, other, shown in SI_CASES:
        says = f"{text} looks like {other}; the project shows {shown}"
        assert wrong_unit(form_for(metric, "P1-1", kind), field, text) == says


def test_a_likely_number_or_one_that_cannot_be_told_is_not_doubted(place: Workplace) -> None:
    for kind, field, text in NO_GUESS:
        assert wrong_unit(form_for(place, "P1-1", kind), field, text) == "", (kind, field, text)


def test_two_units_that_fit_are_both_named_and_a_unit_typed_by_hand_is_held_too(place: Workplace) -> None:
    cup = form_for(place, "P1-1", "fluid test")
    assert wrong_unit(cup, "cup_volume", "1") == "1 looks like qt or L, not mL"
    opened = form_for(place, "P1-1", "excavation stage")
    assert wrong_unit(opened, "drilled_depth", "30 m") == "30 looks like ft; it was typed in m"
    assert wrong_unit(opened, "drilled_depth", "9.1 m") == ""


def numbers(place: Workplace) -> list[tuple[EntryForm, FormField]]:
    kinds = sorted(set(SHEETS) - {"sounding round", "shaft scheduled", "instrument"})
    forms = [form_for(place, "P1-1", kind) for kind in kinds]
    forms += [form_for(place, None, "instrument"), form_for(place, None, "shaft scheduled")]
    return [(form, each) for form in forms for each in form.fields if each.ask is Ask.READING]


@pytest.mark.parametrize("project", ["place", "metric"])
def test_no_likely_value_in_the_shown_unit_is_ever_doubted(
    project: str, request: pytest.FixtureRequest
) -> None:
    where: Workplace = request.getfixturevalue(project)
    if project == "metric":
        record_entry(where, Saying("P1-1", stage(), INSPECTOR))
    asked = numbers(where)
    assert len(asked) > 60

    @settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
    @given(st.sampled_from(asked), st.floats(0, 1), st.sampled_from([".", ","]))
    def hold(one: tuple[EntryForm, FormField], share: float, mark: str) -> None:
        form, field = one
        assert field.plausible is not None, field.name
        least, most = bounds_si(field.plausible, field.unit)
        assert least < most, field.name
        made = UNITS[field.unit]
        low, high = (float(each / made.factor - made.shift) for each in (least, most))
        text = f"{low + share * (high - low):.4f}"
        if low <= float(text) <= high:
            assert wrong_unit(form, field, text.replace(".", mark)) == ""

    hold()


def stage() -> object:
    from fieldapp.record.hole import ExcavationStage

    return ExcavationStage("auger", "shale", feet("0' 0\""), feet("30' 0\""), drilled_depth=feet("30' 0\""))


def test_depths_are_likely_to_twenty_feet_past_the_plan(place: Workplace) -> None:
    opened = form_for(place, "P1-1", "excavation stage")  # planned 30 ft deep
    assert opened.field("to_depth").plausible == ("0' 0\"", "50' 0\"")
    assert opened.field("drilled_depth").plausible == ("10' 0\"", "50' 0\"")


# us-classic asks 5 ft of head over mineral fluid.  Reference 5032.50 ft, piezometric level 5021.40 ft: it may
# stand 6.10 ft deep, 6' 1.2", said on the safe side; 1.859 m.
def test_a_head_reading_has_its_required_level_in_view(place: Workplace, metric: Workplace) -> None:
    assert form_for(place, "P1-1", "head reading").field("fluid_level").limit == "at most 6' 1 1/8\""
    assert form_for(metric, "P1-1", "head reading").field("fluid_level").limit == "at most 1.85 m"
    measured = HeadReading(feet("2' 0\""), None, Reading("5023.40", "ft"), "alluvium")
    record_entry(place, Saying("P1-1", measured, INSPECTOR))
    assert form_for(place, "P1-1", "head reading").field("fluid_level").limit == "at most 4' 1 1/8\""


def test_a_typed_level_is_held_against_the_required_head(place: Workplace) -> None:
    met = said_of(place, "P1-1", "head reading", {"fluid_level": "1' 0\""})["fluid_level"]
    assert met.outcome == "met"
    low = said_of(place, "P1-1", "head reading", {"fluid_level": "9' 0\""})["fluid_level"]
    assert low.outcome == "not met"
    assert "Head 2.1 ft" in low.says  # 5032.50 - 9 - 5021.40
    assert said_of(place, "P1-1", "head reading", {"fluid_level": "9'"}) != {}
    assert said_of(place, "P1-1", "head reading", {"fluid_level": "x"}) == {}
    assert said_of(place, "P1-1", "head reading", {}) == {}
    assert len(place.shaft("P1-1").of(HeadReading)) == 0


def test_water_on_a_dry_base_has_its_limits_and_answers(dry: Workplace) -> None:
    opened = form_for(dry, "D-1", "standing water")
    # us-classic: 3 in of water; 12 in/h
    assert opened.field("depth").limit == "at most 3 in"
    assert opened.field("rise").limit == "at most 12 in/h"
    found = said_of(dry, "D-1", "standing water", {"depth": "4"})
    assert (found["depth"].outcome, found["depth"].says[:12]) == ("not met", "Water 4 in o")
    assert "rise" not in found
    # 1 in in 5 min is 12 in/h, at the limit and met; 1.5 in in 5 min is 18 in/h.
    at = {"pumps_off": "yes", "depth": "2", "rise": "1", "window": "5"}
    assert said_of(dry, "D-1", "standing water", at)["rise"].outcome == "met"
    over = said_of(dry, "D-1", "standing water", {**at, "rise": "1,5"})["rise"]
    assert (over.outcome, over.says) == ("not met", "Water rises 18 in/h, asked at most 12 in/h.")
    with_pump = said_of(dry, "D-1", "standing water", {**at, "pumps_off": "no"})["rise"]
    assert with_pump.outcome == "not shown"


def test_a_wet_shaft_has_no_limit_of_standing_water(place: Workplace) -> None:
    assert form_for(place, "P1-1", "standing water").field("depth").limit == ""


def test_concrete_without_a_release_is_said_before_it_is_recorded(place: Workplace) -> None:
    found = said_of(place, "P1-1", "concrete started", {"first_charge": "plug in place"})
    assert found["release"].outcome == "not met"
    assert "no release" in found["release"].says


def test_a_void_seen_is_answered_at_once(place: Workplace) -> None:
    found = said_of(place, "P1-1", "base sighting", {"seen": "void"})
    assert found["seen"].outcome == "not met"


def test_a_sample_of_any_stage_is_held_against_the_limits_of_its_stage(place: Workplace) -> None:
    typed = {"stage": "before concrete", "set": "1", "sample_depth": "29", "sand": "9", "temperature": "62"}
    found = said_of(place, "P1-1", "fluid test", typed)
    assert found["sand"].outcome == "not met"
    assert found["temperature"].outcome == "met"


def test_the_funnel_is_checked_in_water_while_it_is_typed(place: Workplace) -> None:
    opened = form_for(place, None, "instrument")
    assert opened.timer == "water_time"
    typed = {"type": "funnel", "water_time": "26.1", "cup_volume": "946", "water_temperature": "70"}

    def answer(**more: str) -> str:
        (found,) = answers(place, None, opened, {**typed, **more})
        return found.outcome

    # 26 +/- 0.5 s for a quart at 70 +/- 5 degF (ASTM D6910, API RP 13B-1)
    assert answer() == "met"
    assert answer(water_time="27") == "not met"
    assert answer(water_temperature="") == "not shown"
    assert answer(water_temperature="90") == "not shown"
    assert answer(cup_volume="1 L", water_time="28") == "not shown"
    assert answer(cup_volume="") == "not shown"
    assert answers(place, None, opened, {**typed, "type": "camera"}) == ()


def airlift(**more: str) -> dict[str, str]:
    return {"method": "airlift", "injection_depth": "28' 0\"", "air_pressure": "25", **more}


def test_an_airlift_is_not_checked_without_density_and_level(place: Workplace) -> None:
    found = said_of(place, "P1-1", "cleanout pass", airlift())
    assert found["air_pressure"].outcome == "not shown"
    assert found["air_pressure"].says == "Airlift check: not shown without the density of the fluid."
    assert "submergence" not in found
    assert set(said_of(place, "P1-1", "cleanout pass", {"method": "vacuum"})) == {"next pass"}


def test_an_airlift_is_checked_with_what_the_record_holds(place: Workplace) -> None:
    record_entry(place, Saying("P1-1", HeadReading(feet("2' 0\"")), INSPECTOR))
    sample = FluidTest(FluidStage.DRILLING, 1, feet("20' 0\""), density=Reading("66", "pcf"))
    record_entry(place, Saying("P1-1", sample, INSPECTOR))
    found = said_of(place, "P1-1", "cleanout pass", airlift())
    # 66 pcf x 26 ft / 144 = 11.9 psi at the injection; with 5 to 10 psi lost, 16.9 to 21.9 psi.
    assert found["air_pressure"] == FieldAnswer(
        "air_pressure", "met", "Air 25 psi is enough: 17 to 22 psi is needed with losses."
    )
    assert found["submergence"].says.startswith("Submergence 93%")  # 26 of 28 ft
    assert found["make-up"].outcome == "not shown"
    low = said_of(place, "P1-1", "cleanout pass", airlift(air_pressure="15"))
    assert low["air_pressure"].outcome == "not met"
    unread = said_of(place, "P1-1", "cleanout pass", airlift(air_pressure=""))
    assert unread["air_pressure"].outcome == "not shown"
    # 423 gal a minute over 28.27 ft2 is 2.0 ft a minute.
    flowing = said_of(place, "P1-1", "cleanout pass", airlift(flow_out="423"))
    # The level may fall from 2 ft to 6.1 ft: 4.1 ft, 2.05 minutes, said rounded down.
    assert flowing["make-up"].says == (
        "When make-up stops the level falls 2 ft a minute; the least head is reached in 2 min."
    )


def sounded(number: int, thickness: str) -> SoundingRound:
    points = tuple(
        SoundingPoint(label, Reading(r, "in"), Reading(angle, "deg"), thickness=Reading(thickness, "in"))
        for label, r, angle in (("C", "0", "0"), ("N", "31", "0"), ("S", "31", "180"))
    )
    return SoundingRound(number, RoundWhy.OTHER, "tape 1", points)


def test_the_worth_of_the_next_pass_stands_on_the_form(place: Workplace) -> None:
    clock = place.clock
    before = said_of(place, "P1-1", "cleanout pass", {})["next pass"]
    assert (before.outcome, before.says) == (
        "not shown",
        "No pass has soundings before and after it; a trend needs two such passes.",
    )
    record_entry(place, Saying("P1-1", sounded(2, "4"), INSPECTOR))
    for number, left in ((1, "2"), (2, "1")):
        clock.move(minutes=1)  # type: ignore[attr-defined]
        start = place.now()
        clock.move(minutes=20)  # type: ignore[attr-defined]
        done = CleanoutPass(number, CleanoutMethod.AIRLIFT, start, place.now())
        record_entry(place, Saying("P1-1", done, INSPECTOR))
        clock.move(minutes=5)  # type: ignore[attr-defined]
        record_entry(place, Saying("P1-1", sounded(number + 2, left), INSPECTOR))
    found = said_of(place, "P1-1", "cleanout pass", {})["next pass"]
    # Each pass left half, 4 to 2 to 1 in: the next is likely to take half of the inch.
    assert found.outcome == ""
    assert "likely to take off 0.5 in" in found.says
    assert "leave 0.5 in" in found.says


def test_an_answer_speaks_of_the_entry_in_hand_and_not_of_a_later_one(place: Workplace) -> None:
    record_entry(place, Saying("P1-1", HeadReading(feet("1' 0\"")), INSPECTOR))
    late = {"fluid_level": "9'", "observed_at": (place.now() - timedelta(minutes=20)).isoformat()}
    assert said_of(place, "P1-1", "head reading", late) == {}


def test_overreaming_is_the_only_event_with_a_cut(place: Workplace) -> None:
    typed = {"what": str(Happening.SLOUGH), "amount": "1"}
    assert said_of(place, "P1-1", "event", typed) == {}
