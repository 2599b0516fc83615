"""Net outward pressure on the wall, and the head that keeps it."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.fluid.net_pressure import (
    Layer,
    StandingFluid,
    head_for_net_pressure_m,
    least_net_pressure,
    net_outward_pressure_kpa,
)
from fieldapp.units import OutOfRange, from_si, to_si

CHECKS = {c["id"]: c for c in json.loads((Path(__file__).parent / "checks.json").read_text(encoding="utf-8"))}


def test_net_pressure_in_us_units_matches_the_check():
    """HEAD-2."""
    inputs, expected = CHECKS["HEAD-2"]["inputs"], CHECKS["HEAD-2"]["expected"]
    fluid = StandingFluid(to_si(inputs["fluid_pcf"], "pcf"), 0.0)
    water = StandingFluid(
        to_si(inputs["water_pcf"], "pcf"), to_si(inputs["water_level_below_fluid_ft"], "ft")
    )
    net = net_outward_pressure_kpa(fluid, water, to_si(inputs["depth_below_fluid_ft"], "ft")) / 1000
    assert from_si(net, "psf") == pytest.approx(expected["net_pressure_psf"], rel=1e-9)
    assert from_si(net, "psi") == pytest.approx(expected["net_pressure_psi"], rel=1e-9)


def test_net_pressure_in_si_matches_the_check():
    """F1."""
    inputs, expected = CHECKS["F1"]["inputs"], CHECKS["F1"]["expected"]
    fluid = StandingFluid(inputs["slurry_density_kg_per_m3"], inputs["slurry_level_depth_m"])
    water = StandingFluid(inputs["water_density_kg_per_m3"], inputs["water_level_depth_m"])
    net = net_outward_pressure_kpa(fluid, water, inputs["depth_m"], inputs["gravity_m_per_s2"])
    assert net == pytest.approx(expected["net_pressure_kPa"], rel=1e-9)


def test_head_for_a_net_pressure_matches_the_check():
    """F2."""
    inputs, expected = CHECKS["F2"]["inputs"], CHECKS["F2"]["expected"]
    assert head_for_net_pressure_m(
        inputs["fluid_density_kg_per_m3"],
        inputs["water_density_kg_per_m3"],
        inputs["depth_below_water_m"],
        inputs["net_pressure_kPa"],
        inputs["gravity_m_per_s2"],
    ) == pytest.approx(expected["head_m"], rel=1e-8)


@given(st.floats(1000, 1300), st.floats(0, 60), st.floats(0, 50))
def test_a_fluid_standing_at_that_head_has_that_net_pressure(density, depth, asked):
    head = head_for_net_pressure_m(density, 1000.0, depth, asked)
    fluid, water = StandingFluid(density, -head), StandingFluid(1000.0, 0.0)
    assert net_outward_pressure_kpa(fluid, water, depth) == pytest.approx(asked, abs=1e-6)


def test_above_its_level_a_fluid_has_no_pressure():
    water = StandingFluid(1000.0, 5.0)
    assert water.pressure_kpa(4.0) == 0.0
    assert net_outward_pressure_kpa(StandingFluid(1050.0, 0.0), water, 4.0, 9.81) == pytest.approx(41.202)


def test_the_least_net_pressure_is_found_at_the_head_of_a_confined_layer():
    """By hand, g 9.81: at 10 m, 1.050 g 10 - 1.000 g 12 = -14.715 kPa."""
    fluid = StandingFluid(1050.0, 0.0)
    layers = [
        Layer(0.0, 10.0, StandingFluid(1000.0, 2.0)),
        Layer(10.0, 20.0, StandingFluid(1000.0, -2.0)),
    ]
    least = least_net_pressure(fluid, layers, 9.81)
    assert least.depth_m == 10.0
    assert least.pressure_kpa == pytest.approx(9.81 * (1.050 * 10 - 1.000 * 12))


def test_below_the_water_table_the_least_net_pressure_is_at_the_water_table():
    """A fluid heavier than water, 2 m of head: 1050 g 2 at the table, more at every place below."""
    layers = [Layer(2.0, 30.0, StandingFluid(1000.0, 2.0))]
    least = least_net_pressure(StandingFluid(1050.0, 0.0), layers, 9.81)
    assert (least.depth_m, least.pressure_kpa) == (2.0, pytest.approx(9.81 * 1.050 * 2))


@given(
    st.floats(1000, 1300),
    st.floats(-2, 10),
    st.lists(st.tuples(st.floats(1, 10), st.floats(-5, 20)), min_size=1, max_size=4),
)
def test_no_place_in_any_layer_has_less_than_the_least(density, level, strata):
    layers, top = [], 0.0
    for height, water_level in strata:
        layers.append(Layer(top, top + height, StandingFluid(1000.0, water_level)))
        top += height
    fluid = StandingFluid(density, level)
    least = least_net_pressure(fluid, layers)
    for layer in layers:
        for depth in np.linspace(layer.top_depth_m, layer.bottom_depth_m, 23):
            assert net_outward_pressure_kpa(fluid, layer.water, depth) >= least.pressure_kpa - 1e-9


def test_without_a_layer_or_with_one_upside_down_it_is_refused():
    with pytest.raises(OutOfRange, match="number of layers"):
        least_net_pressure(StandingFluid(1050.0, 0.0), [])
    with pytest.raises(OutOfRange, match="bottom of a layer"):
        Layer(10.0, 5.0, StandingFluid(1000.0, 2.0))


@pytest.mark.parametrize(
    "arguments",
    [
        (1.05, 1000.0, 20.0, 10.0),
        (1005.0, 62.4, 20.0, 10.0),
        (1005.0, 1000.0, -1.0, 10.0),
        (1005.0, 1000.0, 20.0, -1.0),
        (1005.0, 1000.0, 20.0, math.nan),
        (1005.0, 1000.0, 20.0, 10.0, 32.2),
    ],
)
def test_a_wrong_unit_or_sign_is_refused(arguments):
    with pytest.raises(OutOfRange):
        head_for_net_pressure_m(*arguments)
