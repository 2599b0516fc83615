"""What the presets ask of particular shafts, through the finding of limits.

Expected limits are those of the survey of standards; its row or section stands beside the check.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from fieldapp.criteria.acceptance import acceptance_set
from fieldapp.criteria.limits import Case, limit_for
from fieldapp.record.reading import Reading
from fieldapp.record.words import (
    DesignBasis,
    Fluid,
    FluidStage,
    InstrumentType,
    Method,
    Salinity,
    StructureClass,
)

FOLDER = Path(__file__).parents[2] / "assets" / "acceptance"


@pytest.fixture(scope="module")
def sets():
    return {
        path.stem: acceptance_set(tomllib.loads(path.read_text(encoding="utf-8")))
        for path in FOLDER.glob("*.toml")
    }


@pytest.mark.parametrize(
    ("diameter", "points"),
    [
        # survey, section 7: under 5 ft 5, 5 to 8 ft 9, over 8 ft 13
        (Reading("4.99", "ft"), "5"),
        (Reading("5", "ft"), "9"),
        (Reading("8", "ft"), "9"),
        (Reading("96", "in"), "9"),
        (Reading("8.5", "ft"), "13"),
    ],
)
def test_points_asked_for_follow_the_diameter(sets, diameter, points):
    assert limit_for(sets["us-classic"], "min_points", Case(diameter=diameter)).value == points


def test_metric_points_asked_for_follow_the_diameter(sets):
    asked = [
        limit_for(sets["eu-en1536"], "min_points", Case(diameter=Reading(d, "m"))).value
        for d in ("1.2", "1.5", "2.4", "2.5")
    ]
    assert asked == ["5", "9", "9", "13"]


def test_the_stepped_plan_tolerance_is_continuous_at_its_steps(sets):
    # EN 1536 (survey P5): 100 mm to 1.0 m, a tenth to 1.5 m, 150 mm over: both steps meet
    found = {}
    for diameter in ("0.9", "1.0", "1.2", "1.5", "2.0"):
        limit = limit_for(sets["eu-en1536"], "plan_tol", Case(diameter=Reading(diameter, "m"))).reading
        found[diameter] = limit.si * (Reading(diameter, "m").si if limit.dimension == "ratio" else 1)
    assert {d: float(v) for d, v in found.items()} == {
        "0.9": 0.1,
        "1.0": 0.1,
        "1.2": 0.12,
        "1.5": 0.15,
        "2.0": 0.15,
    }


def test_a_friction_shaft_is_allowed_more_sediment_than_one_that_bears_on_its_base(sets):
    # survey B7: side resistance only up to 3 in, end bearing 1-1/2 in
    most = {
        basis: limit_for(sets["us-friction-only"], "max_thickness_anywhere", Case(design_basis=basis)).value
        for basis in DesignBasis
    }
    assert most == {DesignBasis.SIDE: "3", DesignBasis.BASE: "1-1/2", DesignBasis.BOTH: "1-1/2"}
    side = Case(design_basis=DesignBasis.SIDE)
    assert limit_for(sets["us-friction-only"], "area_fraction_limit", side) is None


def test_a_sign_gets_the_flat_cap_and_a_bridge_does_not(sets):
    accepted = sets["us-miscellaneous"]
    sign, bridge = (
        Case(structure_class=each) for each in (StructureClass.MISCELLANEOUS, StructureClass.BRIDGE)
    )
    assert limit_for(accepted, "flat_cap_thickness", sign).value == "1"
    assert limit_for(accepted, "area_fraction_limit", sign) is None
    assert limit_for(accepted, "flat_cap_thickness", bridge) is None
    assert limit_for(accepted, "area_fraction_limit", bridge).value == "1/2"


# survey S10
def test_salt_water_raises_the_density_limit_where_the_agency_says_so(sets):
    mineral = Case(fluid=Fluid.MINERAL, stage=FluidStage.BEFORE_CONCRETE, salinity=Salinity.SALT)
    assert limit_for(sets["us-miscellaneous"], "density_max", mineral).value == "75"


def test_sand_is_held_before_concrete_and_not_while_drilling(sets):
    drilling = Case(fluid=Fluid.MINERAL, stage=FluidStage.DRILLING)
    assert limit_for(sets["us-classic"], "sand_max", drilling) is None
    assert limit_for(sets["us-classic"], "sand_max", drilling.at(FluidStage.BEFORE_CONCRETE)).value == "4"


def test_a_dry_shaft_is_asked_for_no_head_and_a_wet_one_for_no_standing_water(sets):
    dry, wet = Case(method=Method.DRY, fluid=Fluid.NONE), Case(method=Method.WET, fluid=Fluid.MINERAL)
    assert limit_for(sets["us-classic"], "min_head", dry) is None
    assert limit_for(sets["us-classic"], "standing_water_limit", wet) is None
    assert limit_for(sets["us-classic"], "standing_water_limit", dry).value == "3"


def test_a_camera_is_believed_more_closely_than_a_tape(sets):
    case = Case()
    by = {
        each: limit_for(sets["us-classic"], "measurement_uncertainty", case.read_with(each)).value
        for each in (InstrumentType.TAPE, InstrumentType.PROBE_ROD, InstrumentType.CAMERA)
    }
    assert by == {InstrumentType.TAPE: "1/2", InstrumentType.PROBE_ROD: "1/2", InstrumentType.CAMERA: "1/4"}
