"""Firm bottom against the drilled base: a crust above it, doubt below it, and what may be held at all."""

from __future__ import annotations

import pytest

from fieldapp.criteria.finding import Finding, Outcome, Standing, Work
from fieldapp.record.cleaning import CleanoutPass, SoundingPoint
from fieldapp.record.hole import ExcavationStage
from fieldapp.record.setup import Instrument
from fieldapp.record.words import CleanoutMethod, InstrumentType
from tests.criteria.stories import caged, drilled, found, passing, stands, usual, with_tests
from tests.support.journals import Journal, at, five_points, parameter, reading

MET, NOT_SHOWN, NOT_ASKED = Outcome.MET, Outcome.NOT_SHOWN, Outcome.NOT_ASKED
# Judgment of the presets; the points of these tests have firm bottom at 60 ft.
LIMITS = usual(parameter("firm_depth_tol", "3 in"))


def drilled_to(depth: str, firm: str | None = None) -> Journal:
    journal = Journal(LIMITS)
    journal.set_up()
    journal.plan()
    stage = ExcavationStage(
        "auger",
        "rock",
        reading("0 ft"),
        reading(depth),
        drilled_depth=reading(depth),
        firm_reference=reading(firm) if firm else None,
    )
    journal.say(stage, at("08:00"))
    journal.sound(1, at("09:00"), five_points(*["1/8"] * 5))
    return journal


def firm(journal: Journal) -> Finding:
    return found(journal)["firm bottom at the base"]


@pytest.mark.parametrize(
    ("depth", "outcome"),
    [
        ("60 ft", MET),
        ("723 in", MET),
        ("724 in", NOT_SHOWN),
        ("717 in", MET),
        ("716 in", NOT_SHOWN),
    ],
)
def test_firm_bottom_agrees_with_the_drilled_depth_both_ways(depth: str, outcome: Outcome) -> None:
    got = firm(drilled_to(depth))
    assert got.outcome is outcome
    if outcome is NOT_SHOWN:
        assert got.work is Work.SOUND
        assert ("above" if depth == "724 in" else "below") in got.measured


def test_the_firm_reference_read_by_tape_goes_before_the_drilled_depth() -> None:
    assert firm(drilled_to("61 ft", firm="60 ft")).outcome is MET
    assert firm(drilled_to("60 ft", firm="61 ft")).outcome is NOT_SHOWN


def test_the_zero_offset_of_the_tape_is_added_before_its_depth_is_held() -> None:
    journal = drilled_to("724 in")
    offset = reading("2 in")
    journal.say(
        Instrument("tape 1", InstrumentType.TAPE, True, "steel tape", zero_offset=offset), at("06:00")
    )
    assert firm(journal).outcome is MET, "720 in read is 722 in, 2 in above 724 in"


def test_a_pass_that_ended_high_leaves_the_base_not_shown() -> None:
    journal = drilled_to("60 ft")
    high = CleanoutPass(1, CleanoutMethod.AIRLIFT, at("08:10"), at("08:30"), depth_after=reading("59 ft"))
    journal.say(high, at("08:30"))
    got = firm(journal)
    assert (got.outcome, got.where, got.work) == (NOT_SHOWN, "cleanout pass 1", Work.CLEAN_AGAIN)


def test_a_crust_high_above_the_base_is_no_clean_base() -> None:
    # The review's case: no sediment on a firm bottom that stands 14 in above the drilled depth.
    journal = with_tests(drilled(Journal(LIMITS)))
    journal.drill(at("10:05"), ("60 ft", "734 in"))
    caged(journal).sound(1, at("10:30"), five_points(*["0"] * 5))
    assert firm(journal).measured == "14 in above the drilled base"
    assert stands(journal).standing is not Standing.CLEAN


@pytest.mark.parametrize(
    ("kind", "outcome"), [(InstrumentType.BASE_PENETROMETER, NOT_ASKED), (InstrumentType.TAPE, NOT_SHOWN)]
)
def test_thickness_alone_is_held_by_no_depth(kind: InstrumentType, outcome: Outcome) -> None:
    journal = passing(acceptance=LIMITS)
    journal.check("tape 1", kind, at("06:30"))
    direct = tuple(
        SoundingPoint(each.label, each.r, each.angle, thickness=reading("1/8 in"))
        for each in five_points(*["1"] * 5)
    )
    journal.sound(2, at("10:40"), direct)
    assert firm(journal).outcome is outcome
