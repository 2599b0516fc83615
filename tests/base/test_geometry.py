"""Geometry and concrete: the checks by id."""

import json
import math
from fractions import Fraction
from pathlib import Path

import pytest

from fieldapp.base.geometry import (
    drift_m,
    embedment_volume_m3,
    pipe_volume_m3,
    slope,
    slope_of_one_in,
    stepped_plan_tolerance_m,
    tremie_balance_height_m,
)
from fieldapp.units import OutOfRange, from_si, read_si, to_si

CHECKS = {c["id"]: c for c in json.loads((Path(__file__).parent / "checks.json").read_text(encoding="utf-8"))}


@pytest.mark.parametrize("name", ["GEO-1", "GEO-2", "GEO-3", "GEO-4"])
def test_slope_and_drift_match_the_check(name):
    inputs, expected = CHECKS[name]["inputs"], CHECKS[name]["expected"]
    if "one_in" in inputs:
        ratio = slope_of_one_in(inputs["one_in"])
    else:
        ratio = slope(to_si(inputs["offset_in"], "in"), to_si(inputs["per_length_ft"], "ft"))
    drift = drift_m(ratio, to_si(inputs["shaft_length_ft"], "ft"))
    assert 100 * ratio == pytest.approx(expected["slope_percent"], rel=1e-9)
    assert from_si(drift, "in") == pytest.approx(expected["drift_in"], rel=1e-9)


def test_a_slope_at_its_limit_is_a_tie_in_fractions():
    """P2, 1/4 in per ft: 15 in in 60 ft."""
    assert slope(read_si("15", "in"), read_si("60", "ft")) == slope(read_si("1/4", "in"), read_si("1", "ft"))


def test_the_stepped_plan_tolerance_matches_the_check():
    """GEO-5."""
    check = CHECKS["GEO-5"]
    got = [1000 * float(stepped_plan_tolerance_m(d)) for d in check["inputs"]["diameter_m"]]
    assert got == pytest.approx(check["expected"]["plan_tolerance_mm"], abs=1e-9)


def test_the_plan_tolerance_has_no_jump_at_its_steps():
    assert stepped_plan_tolerance_m(Fraction(1)) == Fraction(1, 10)
    assert stepped_plan_tolerance_m(Fraction(3, 2)) == Fraction(3, 20)


def test_concrete_over_the_embedment_matches_the_check():
    """GEO-6."""
    inputs, expected = CHECKS["GEO-6"]["inputs"], CHECKS["GEO-6"]["expected"]
    volume = embedment_volume_m3(to_si(inputs["diameter_ft"], "ft"), to_si(inputs["embedment_ft"], "ft"))
    assert from_si(volume, "ft3") == pytest.approx(expected["volume_ft3"], rel=1e-9)
    assert from_si(volume, "yd3") == pytest.approx(expected["volume_yd3"], rel=1e-9)


def test_the_tremie_balance_matches_the_check():
    """GEO-7."""
    inputs, expected = CHECKS["GEO-7"]["inputs"], CHECKS["GEO-7"]["expected"]
    height = tremie_balance_height_m(
        to_si(inputs["fluid_depth_ft"], "ft"),
        to_si(inputs["fluid_pcf"], "pcf"),
        to_si(inputs["concrete_pcf"], "pcf"),
    )
    volume = pipe_volume_m3(to_si(inputs["pipe_inside_diameter_in"], "in"), height)
    assert from_si(height, "ft") == pytest.approx(expected["height_ft"], rel=1e-9)
    assert from_si(volume, "ft3") == pytest.approx(expected["volume_ft3"], rel=1e-9)


@pytest.mark.parametrize(
    ("function", "arguments"),
    [
        (slope, (0.1, 0.0)),
        (slope, (-0.1, 1.0)),
        (slope_of_one_in, (0.0,)),
        (drift_m, (1.5, 10.0)),
        (drift_m, (math.nan, 10.0)),
        (stepped_plan_tolerance_m, (0.0,)),
        (embedment_volume_m3, (1.2, -1.0)),
        (tremie_balance_height_m, (30.0, 66.0, 2400.0)),
        (tremie_balance_height_m, (30.0, 1600.0, 1600.0)),
        (pipe_volume_m3, (0.0, 1.0)),
    ],
)
def test_what_lies_outside_the_stated_range_is_refused(function, arguments):
    with pytest.raises(OutOfRange):
        function(*arguments)
