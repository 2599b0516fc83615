"""A whole shaft under the US classic preset: everything that it takes for the base to be clean."""

from __future__ import annotations

import tomllib
from pathlib import Path

from fieldapp.criteria.acceptance import acceptance_set
from fieldapp.criteria.finding import Standing
from fieldapp.record.hole import GeometrySurvey
from fieldapp.record.words import FluidStage, Happening, InstrumentType, RoundWhy
from tests.criteria.stories import stands
from tests.support.journals import Journal, at, point, reading

PRESET = Path(__file__).parents[2] / "assets" / "acceptance" / "us-classic.toml"
KIT = {
    "tape 1": InstrumentType.TAPE,
    "balance 1": InstrumentType.BALANCE,
    "funnel 1": InstrumentType.FUNNEL,
    "tube 1": InstrumentType.SAND_TUBE,
    "meter 1": InstrumentType.PH_METER,
}
FLUID_KIT = tuple(KIT)[1:]


def column(journal: Journal, number: int, clock: str, stage: FluidStage) -> None:
    for depth in ("10 ft", "20 ft", "30 ft", "40 ft", "50 ft", "59 ft"):
        journal.test_fluid(number, at(clock), depth, stage=stage, instruments=FLUID_KIT)


def nine_points() -> tuple:
    ring = [point(str(n), ("26 in", f"{45 * (n - 2)} deg"), "1/4") for n in range(2, 10)]
    return (point("1", ("0 in", "0 deg"), "1/4"), *ring)


def whole_shaft() -> Journal:
    journal = Journal(acceptance_set(tomllib.loads(PRESET.read_text("utf-8"))))
    journal.set_up()
    journal.plan()
    for label, kind in KIT.items():
        journal.check(label, kind, at("06:00"))
    column(journal, 1, "06:30", FluidStage.INTRODUCED)
    journal.head(at("07:00"))
    journal.drill(at("08:00"), began=at("06:45"))
    journal.say(
        GeometrySurvey(InstrumentType.CALIPER, plan_offset=reading("1 in"), plumbness=reading("1 %")),
        at("08:05"),
    )
    journal.head(at("08:30"))
    journal.clean(1, at("08:10"), at("08:50"))
    journal.head(at("08:55"))
    column(journal, 2, "09:00", FluidStage.BEFORE_CONCRETE)
    column(journal, 3, "09:20", FluidStage.BEFORE_CONCRETE)
    journal.event(Happening.CAGE_SET, at("09:40"))
    journal.event(Happening.TREMIE_SET, at("10:00"))
    journal.head(at("10:10"))
    journal.sound(1, at("10:15"), nine_points(), RoundWhy.BEFORE_CONCRETE)
    return journal


def test_a_shaft_that_has_everything_is_clean_and_stays_so_with_concrete_in():
    journal = whole_shaft()
    stood = stands(journal)
    assert (stood.reasons, stood.standing) == ((), Standing.CLEAN)
    journal.sign(at("10:20"))
    journal.release(at("10:25"), at("11:30"))
    journal.concrete(at("10:40"), slump=reading("8 in"))
    assert (stands(journal).reasons, stands(journal).standing) == ((), Standing.CLEAN)


def test_the_same_shaft_an_hour_and_a_half_later_has_been_too_long_in_slurry():
    stood = stands(whole_shaft(), at("12:00"))
    assert stood.standing is Standing.REWORK
    assert stood.reasons[0].requirement == "fluid contact with the bottom"
