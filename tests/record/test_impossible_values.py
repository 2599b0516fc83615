"""Values that cannot be are refused where they are made, and the sentence names field and value."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction

import pytest

from fieldapp.record.cleaning import CleanoutPass, SoundingPoint, SoundingRound
from fieldapp.record.column import FluidTest
from fieldapp.record.decisions import Disposition
from fieldapp.record.entry import ChainHead, Draft, seal
from fieldapp.record.hole import BaseSighting, Delay, ExcavationStage, StandingWater
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Impossible, Reading
from fieldapp.record.setup import Instrument, ProjectSetup, ShaftScheduled
from fieldapp.record.words import Fluid, RoundWhy
from tests.support.examples import AN_ID, EXAMPLES, MORNING, feet


def example(kind: type[Values]) -> Values:
    return next(each for each in EXAMPLES if isinstance(each, kind))


ZERO, NORTH = Reading("0", "in"), Reading("0", "deg")


@pytest.mark.parametrize(
    ("kind", "change", "named"),
    [
        (FluidTest, {"ph": Reading("81", "pH")}, "ph: read '81'"),
        (FluidTest, {"density": Reading("1.05", "pcf")}, "density: read '1.05 pcf'"),
        (FluidTest, {"density": Reading("40", "s")}, "density: read '40 s'"),
        (FluidTest, {"sand": Reading("-1", "%")}, "sand: read '-1 %'"),
        (FluidTest, {"set": 0}, "set"),
        (FluidTest, {"cup_volume": None}, "cup volume"),
        (CleanoutPass, {"ended_at": MORNING - timedelta(minutes=1)}, "ended at"),
        (CleanoutPass, {"depth_after": Reading("200", "m")}, "depth after"),
        (ExcavationStage, {"to_depth": feet("39' 0\"")}, "to depth"),
        (ExcavationStage, {"drilled_depth": None, "firm_reference": feet("61' 5\"")}, "firm reference"),
        (StandingWater, {"window": None}, "rise"),
        (StandingWater, {"depth": Reading("-1", "in")}, "depth"),
        (BaseSighting, {"r": Reading("1", "in")}, "position"),
        (BaseSighting, {"picture": "abc"}, "picture"),
        (Delay, {"why": ""}, "why"),
        (Disposition, {"displacement": None}, "credit"),
        (Disposition, {"credit": Reading("1.1", "ratio")}, "credit"),
        (Instrument, {"cup_volume": None}, "cup volume"),
        (ShaftScheduled, {"tip_elevation": Reading("5200", "ft")}, "tip elevation"),
        (ShaftScheduled, {"fluid": Fluid.NONE}, "fluid"),
        (ShaftScheduled, {"diameter": Reading("6", "in")}, "diameter"),
        (ProjectSetup, {"confidence": Reading("101", "%")}, "confidence"),
        (SoundingRound, {"points": ()}, "points"),
    ],
)
def test_an_impossible_value_is_refused_and_named(
    kind: type[Values], change: dict[str, object], named: str
) -> None:
    with pytest.raises(Impossible, match=named):
        replace(example(kind), **change)  # type: ignore[arg-type]


def test_a_firm_depth_above_first_contact_is_refused() -> None:
    with pytest.raises(Impossible, match="firm depth of point C"):
        SoundingPoint("C", ZERO, NORTH, feet("61' 5\""), feet("61' 4 7/8\""))


def test_a_negative_thickness_is_refused() -> None:
    with pytest.raises(Impossible, match="thickness"):
        SoundingPoint("C", ZERO, NORTH, thickness=Reading("-1/8", "in"))


def test_a_point_without_reading_must_say_why() -> None:
    with pytest.raises(Impossible, match="why there is no reading"):
        SoundingPoint("C", ZERO, NORTH)


def test_a_point_cannot_have_a_reading_and_none() -> None:
    with pytest.raises(Impossible, match="point C"):
        SoundingPoint("C", ZERO, NORTH, first_contact=feet("61' 5\""), no_reading="cage")


def test_two_points_cannot_share_a_label() -> None:
    point = SoundingPoint("C", ZERO, NORTH, thickness=Reading("1/8", "in"))
    with pytest.raises(Impossible, match="each label once"):
        SoundingRound(1, RoundWhy.OTHER, "tape 1", (point, point))


def test_thickness_is_the_exact_difference_of_two_depths() -> None:
    point = SoundingPoint("C", ZERO, NORTH, feet("61' 4 1/2\""), feet("61' 5\""))
    assert point.thickness_m == Fraction(127, 10_000)  # half an inch, exact by definition of the inch


@pytest.mark.parametrize("known", ["first_contact", "firm"])
def test_one_depth_alone_shows_no_thickness(known: str) -> None:
    point = SoundingPoint("C", ZERO, NORTH, **{known: feet("61' 5\"")})
    assert point.thickness_m is None


@pytest.mark.parametrize("year", [1, 1969, 2201, 9999])
def test_a_time_at_the_end_of_the_calendar_is_refused_before_it_is_sealed(year: int) -> None:
    """It has none in another zone: a journal that was made so ended every screen of the shaft."""
    when = datetime(year, 1, 1, tzinfo=UTC)
    stage = ExcavationStage("auger", "rock", feet("0' 0\""), feet("10' 0\""), when, when)
    at = datetime(2026, 5, 12, 9, 0, tzinfo=UTC)
    draft = Draft(AN_ID, "larkwater", "P1-1", stage, at, at, "Inspector A")
    with pytest.raises(Impossible, match="a year from 1970 to 2200"):
        seal(draft, ChainHead("tablet"), 1)
