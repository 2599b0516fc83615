"""Pressure of the column and the most that sand can deposit."""

import json
import math
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.fluid.column import (
    DensitySample,
    column_pressure_kpa,
    density_of_gradient_kg_per_m3,
    fluid_pressure_kpa,
    most_sand_deposit_m,
    pressure_gradient_kpa_per_m,
)
from fieldapp.units import OutOfRange, from_si, to_si

CHECKS = {c["id"]: c for c in json.loads((Path(__file__).parent / "checks.json").read_text(encoding="utf-8"))}


def psi(pressure_kpa):
    return from_si(pressure_kpa / 1000, "psi")


def test_pressure_of_fresh_water_matches_the_check():
    """HEAD-4."""
    inputs, expected = CHECKS["HEAD-4"]["inputs"], CHECKS["HEAD-4"]["expected"]
    pressure = fluid_pressure_kpa(to_si(inputs["fluid_pcf"], "pcf"), to_si(inputs["depth_ft"], "ft"))
    assert psi(pressure) == pytest.approx(expected["pressure_psi"], rel=1e-9)


def test_pressure_in_si_matches_the_check():
    """HEAD-5."""
    inputs, expected = CHECKS["HEAD-5"]["inputs"], CHECKS["HEAD-5"]["expected"]
    pairs = zip(inputs["density_kg_per_m3"], inputs["depth_m"], strict=True)
    got = [fluid_pressure_kpa(rho, z, inputs["gravity_m_per_s2"]) for rho, z in pairs]
    assert got == pytest.approx(expected["pressure_kPa"], rel=1e-9)


@pytest.mark.parametrize(
    ("density", "kpa_per_m", "psi_per_ft"),
    [(1000, 9.807, 0.4335), (1030, 10.101, 0.4465), (1100, 10.787, 0.4769), (1150, 11.278, 0.4986)],
)
def test_gradients_match_the_table_of_quick_figures(density, kpa_per_m, psi_per_ft):
    """Quick figures, calculated and rounded to the last digit shown."""
    gradient = pressure_gradient_kpa_per_m(density)
    assert gradient == pytest.approx(kpa_per_m, abs=5e-4)
    assert psi(gradient * 0.3048) == pytest.approx(psi_per_ft, abs=5e-5)


@given(st.floats(900, 1600))
def test_density_comes_back_from_its_gradient(density):
    assert density_of_gradient_kg_per_m3(pressure_gradient_kpa_per_m(density)) == pytest.approx(density)


def samples(*pairs):
    return [DensitySample(z, rho) for z, rho in pairs]


def test_one_sample_stands_for_the_whole_column():
    assert column_pressure_kpa(samples((12.0, 1100)), 30.0, 9.81) == pytest.approx(323.73)  # as E1


def test_density_between_samples_runs_straight_and_stays_the_same_beyond_them():
    """By hand: 2 m of 1050, 8 m of (1050 + 1150)/2, 5 m of 1150, g 9.81."""
    pressure = column_pressure_kpa(samples((2, 1050), (10, 1150)), 15.0, 9.81)
    assert pressure == pytest.approx(9.81 * (2 * 1.050 + 8 * 1.100 + 5 * 1.150), rel=1e-12)


def test_a_depth_between_two_samples_uses_the_density_reached_there():
    """By hand: 4 m in a density that goes from 1000 to 1040."""
    assert column_pressure_kpa(samples((0, 1000), (10, 1100)), 4.0, 9.81) == pytest.approx(9.81 * 4 * 1.020)


def test_a_depth_above_the_first_sample_uses_its_density():
    assert column_pressure_kpa(samples((5, 1050), (10, 1100)), 3.0, 9.81) == pytest.approx(9.81 * 3 * 1.050)
    assert column_pressure_kpa(samples((5, 1050)), 0.0) == 0.0


columns = st.dictionaries(st.integers(0, 60), st.floats(900, 1600), min_size=1, max_size=8)


@given(columns, st.floats(0, 80), st.floats(0, 20))
def test_pressure_grows_with_depth_and_stays_between_the_lightest_and_the_heaviest(column, depth, more):
    taken = samples(*sorted(column.items()))
    pressure = column_pressure_kpa(taken, depth)
    light, heavy = (fluid_pressure_kpa(pick(column.values()), depth) for pick in (min, max))
    assert light * (1 - 1e-12) <= pressure <= heavy * (1 + 1e-12)
    assert column_pressure_kpa(taken, depth + more) >= pressure * (1 - 1e-12)


@pytest.mark.parametrize("taken", [[], samples((5, 1000), (5, 1100)), samples((5, 1000), (2, 1100))])
def test_samples_out_of_order_are_refused(taken):
    with pytest.raises(OutOfRange, match="sample depths"):
        column_pressure_kpa(taken, 10.0)


@pytest.mark.parametrize("name", ["GEO-8", "GEO-9", "GEO-10"])
def test_the_most_sand_deposit_matches_the_check(name):
    inputs, expected = CHECKS[name]["inputs"], CHECKS[name]["expected"]
    deposit = most_sand_deposit_m(
        to_si(inputs["column_ft"], "ft"), to_si(inputs["sand_content_percent"], "%")
    )
    assert from_si(deposit, "in") == pytest.approx(expected["deposit_in"], rel=1e-9)


def test_the_most_sand_deposit_keeps_fractions_exact():
    assert most_sand_deposit_m(Fraction(20), Fraction(1, 100)) == Fraction(1, 5)


@pytest.mark.parametrize(
    ("function", "arguments"),
    [
        (fluid_pressure_kpa, (66.0, 30.0)),
        (fluid_pressure_kpa, (1050.0, -1.0)),
        (fluid_pressure_kpa, (1050.0, math.nan)),
        (fluid_pressure_kpa, (1050.0, 30.0, 32.2)),
        (density_of_gradient_kg_per_m3, (0.43,)),
        (DensitySample, (1.0, 1.05)),
        (DensitySample, (-1.0, 1050.0)),
        (most_sand_deposit_m, (20.0, 4.0)),
        (most_sand_deposit_m, (-1.0, 0.04)),
    ],
)
def test_a_wrong_unit_or_sign_is_refused(function, arguments):
    with pytest.raises(OutOfRange):
        function(*arguments)
