"""Which of several limits of one name applies to a case."""

from __future__ import annotations

import pytest

from fieldapp.criteria.limits import Case, case_of, limit_for
from fieldapp.record.acceptance import AcceptanceSet, Applies, Parameter
from fieldapp.record.reading import Reading
from fieldapp.record.setup import Person, ProjectSetup, ShaftScheduled
from fieldapp.record.words import (
    DesignBasis,
    Fluid,
    FluidStage,
    InstrumentType,
    Method,
    Role,
    Salinity,
    StructureClass,
    UnitSystem,
)


def limit(value, name="density_max", unit="pcf", **applies):
    return Parameter(name, value, unit, "the contract", "contract", applies=Applies(**applies))


def pick(parameters, case, name="density_max"):
    found = limit_for(AcceptanceSet("own", "Own", "the contract", tuple(parameters)), name, case)
    return None if found is None else found.value


GENERAL = limit("75")
MINERAL = limit("74", fluid=(Fluid.MINERAL,))
LAST = limit("73", fluid=(Fluid.MINERAL,), stage=(FluidStage.BEFORE_CONCRETE,))
SALT = limit("76", fluid=(Fluid.MINERAL,), stage=(FluidStage.BEFORE_CONCRETE,), salinity=(Salinity.SALT,))
AT_LAST = Case(fluid=Fluid.MINERAL, stage=FluidStage.BEFORE_CONCRETE)


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize(
    ("case", "value"),
    [
        (Case(), "75"),
        (Case(fluid=Fluid.WATER), "75"),
        (Case(fluid=Fluid.MINERAL), "74"),
        (Case(fluid=Fluid.MINERAL, stage=FluidStage.DRILLING), "74"),
        (AT_LAST, "73"),
        (Case(Method.WET, Fluid.MINERAL, FluidStage.BEFORE_CONCRETE, Salinity.SALT), "76"),
        (Case(Method.WET, Fluid.MINERAL, FluidStage.BEFORE_CONCRETE, Salinity.FRESH), "73"),
        (Case(stage=FluidStage.BEFORE_CONCRETE), "75"),
    ],
)
def test_the_specific_wins_over_the_general_wherever_it_is_written(case, value, turned):
    parameters = [GENERAL, MINERAL, LAST, SALT]
    assert pick(parameters[::-1] if turned else parameters, case) == value


def test_of_two_with_as_many_conditions_the_one_written_first_wins():
    by_method = limit("70", method=(Method.WET,))
    case = Case(method=Method.WET, fluid=Fluid.MINERAL)
    assert pick([MINERAL, by_method], case) == "74"
    assert pick([by_method, MINERAL], case) == "70"


def test_a_name_that_the_set_does_not_ask_for_gives_nothing():
    assert pick([GENERAL], AT_LAST, name="density_min") is None


def test_a_name_asked_for_only_elsewhere_gives_nothing():
    assert pick([MINERAL], Case(fluid=Fluid.POLYMER)) is None


def test_an_unknown_fluid_matches_no_limit_that_asks_for_one():
    assert pick([MINERAL], Case()) is None


def test_any_of_several_words_of_a_condition_is_enough():
    both = limit("72", fluid=(Fluid.MINERAL, Fluid.POLYMER))
    assert pick([both], Case(fluid=Fluid.POLYMER)) == "72"
    assert pick([both], Case(fluid=Fluid.WATER)) is None


@pytest.mark.parametrize(
    ("applies", "case"),
    [
        ({"design_basis": (DesignBasis.SIDE,)}, Case(design_basis=DesignBasis.SIDE)),
        ({"structure_class": (StructureClass.BRIDGE,)}, Case(structure_class=StructureClass.BRIDGE)),
        ({"instrument": (InstrumentType.TAPE,)}, Case().read_with(InstrumentType.TAPE)),
        ({"stage": (FluidStage.DRILLING,)}, Case().at(FluidStage.DRILLING)),
        ({"method": (Method.DRY,)}, Case(method=Method.DRY)),
        ({"salinity": (Salinity.SALT,)}, Case(salinity=Salinity.SALT)),
    ],
)
def test_every_condition_is_looked_at(applies, case):
    assert pick([limit("72", **applies)], case) == "72"
    assert pick([limit("72", **applies)], Case()) is None


POINTS = [
    limit("5", "min_points", "count", diameter_under=Reading("5", "ft")),
    limit("9", "min_points", "count", diameter_from=Reading("5", "ft"), diameter_under=Reading("8", "ft")),
    limit("13", "min_points", "count", diameter_from=Reading("8", "ft")),
]


@pytest.mark.parametrize(
    ("diameter", "points"),
    [
        (Reading("59.9", "in"), "5"),
        (Reading("60", "in"), "9"),  # 5 ft exactly, in another unit
        (Reading("1.524", "m"), "9"),  # 5 x 0.3048 m exactly
        (Reading("1.5239", "m"), "5"),
        (Reading("7' 11 7/8\"", "ft-in"), "9"),
        (Reading("8", "ft"), "13"),
    ],
)
def test_diameters_are_compared_exactly_from_inclusive_to_under(diameter, points):
    assert pick(POINTS, Case(diameter=diameter), "min_points") == points


def test_an_unknown_diameter_matches_no_limit_that_asks_for_one():
    assert pick(POINTS, Case(), "min_points") is None
    assert pick([*POINTS, limit("7", "min_points", "count")], Case(), "min_points") == "7"


def test_a_limit_still_to_be_entered_is_found_and_has_no_reading():
    entered = AcceptanceSet("own", "Own", "the contract", (GENERAL, limit(None, fluid=(Fluid.POLYMER,))))
    found = limit_for(entered, "density_max", Case(fluid=Fluid.POLYMER))
    assert (found.value, found.reading) == (None, None)


def test_the_case_of_a_shaft_takes_the_project_and_the_shaft_together():
    setup = ProjectSetup(
        name="Some crossing",
        units=UnitSystem.SI,
        time_zone="Europe/Berlin",
        acceptance=AcceptanceSet("own", "Own", "the contract", (GENERAL,)),
        people=(Person("A. Reader", (Role.DESIGNER,)),),
        structure_class=StructureClass.MISCELLANEOUS,
        salinity=Salinity.SALT,
    )
    shaft = ShaftScheduled(
        location="axis 2",
        method=Method.WET,
        fluid=Fluid.POLYMER,
        design_basis=DesignBasis.BOTH,
        diameter=Reading("1.5", "m"),
        reference_elevation=Reading("10", "m"),
        tip_elevation=Reading("-5", "m"),
    )
    assert case_of(setup, shaft) == Case(
        method=Method.WET,
        fluid=Fluid.POLYMER,
        salinity=Salinity.SALT,
        design_basis=DesignBasis.BOTH,
        structure_class=StructureClass.MISCELLANEOUS,
        diameter=Reading("1.5", "m"),
    )
