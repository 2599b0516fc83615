"""Deposit against time and consolidation: the checks by id, layers, and what must always hold.

The source of each expected number stands beside it in settling_checks.json.
"""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.fluid.column import most_sand_deposit_m
from fieldapp.fluid.deposit import (
    Layer,
    RiseCurve,
    Suspension,
    consolidation_time_s,
    deposit_m,
    layered_rise,
    settling_end_s,
    together,
)
from fieldapp.fluid.settling import Grain, Liquid, hindered_m_per_s, reynolds, stokes_m_per_s
from fieldapp.units import OutOfRange

CHECKS = {c["id"]: c for c in json.loads((Path(__file__).parent / "settling_checks.json").read_text("utf-8"))}
LAYERS = st.lists(
    st.builds(Layer, st.floats(0.5, 20.0), st.floats(0.0, 0.2), st.floats(1e-4, 0.02)), min_size=1, max_size=6
)


def suspension(inputs):
    return Suspension(inputs["solids_fraction"], inputs["column_m"], inputs["deposit_porosity"])


def test_the_final_deposit_matches_the_check():
    """D16."""
    check = CHECKS["D16"]
    found = suspension(check["inputs"]).final_deposit_m
    assert found == pytest.approx(check["expected"]["final_deposit_m"], rel=check["tolerance"]["rel"])


def test_one_grain_size_from_velocity_to_deposit_matches_the_check():
    """D17."""
    inputs, expected, rel = (CHECKS["D17"][key] for key in ("inputs", "expected", "tolerance"))
    rel = rel["rel"]
    grain = Grain(inputs["diameter_mm"] / 1000, inputs["solids_density_kg_per_m3"])
    liquid = Liquid(inputs["fluid_density_kg_per_m3"], inputs["viscosity_Pa_s"], inputs["gravity_m_per_s2"])
    velocity = stokes_m_per_s(grain, liquid)
    hindered = hindered_m_per_s(velocity, inputs["solids_fraction"], inputs["hindered_exponent"])
    assert 1000 * velocity == pytest.approx(expected["velocity_mm_per_s"], rel=rel)
    assert reynolds(velocity, grain, liquid) == pytest.approx(expected["reynolds"], rel=rel)
    assert 1000 * hindered == pytest.approx(expected["hindered_velocity_mm_per_s"], rel=rel)
    column = suspension(inputs)
    assert settling_end_s(column, hindered) / 3600 == pytest.approx(expected["end_time_h"], rel=rel)
    assert 1000 * deposit_m(column, hindered, 3600.0) == pytest.approx(expected["deposit_mm"], rel=rel)
    assert deposit_m(column, hindered, 1e8) == pytest.approx(column.final_deposit_m, rel=1e-12)


def test_the_deposit_agrees_with_counting_grains():
    """D18: grains evenly spaced, each settled once it has fallen to the top of those below it."""
    inputs, check = CHECKS["D18"]["inputs"], CHECKS["D18"]
    column = suspension(inputs)
    hindered = CHECKS["D17"]["expected"]["hindered_velocity_mm_per_s"] / 1000
    count = inputs["grains"]
    height = (np.arange(count) + 0.5) * inputs["column_m"] / count
    each = inputs["solids_fraction"] * inputs["column_m"] / count / (1 - inputs["deposit_porosity"])
    settled = height - hindered * inputs["time_h"] * 3600 <= np.arange(1, count + 1) * each
    rel = check["tolerance"]["rel"]
    assert settled.sum() * each == pytest.approx(check["expected"]["deposit_m"], rel=rel)
    assert deposit_m(column, hindered, 3600.0) == pytest.approx(check["expected"]["deposit_m"], rel=rel)


def test_sand_content_is_settled_volume_and_not_divided_again():
    """D19, as the bound and as the end of the course."""
    check = CHECKS["D19"]
    sand, height = check["inputs"]["sand_content_percent"] / 100, check["inputs"]["column_m"]
    wanted = pytest.approx(check["expected"]["deposit_mm"], rel=check["tolerance"]["rel"])
    assert 1000 * float(most_sand_deposit_m(height, sand)) == wanted
    assert 1000 * layered_rise([Layer(height, sand, 0.001)]).end_m == wanted


def test_consolidation_time_matches_the_check():
    """D20."""
    check = CHECKS["D20"]
    time = consolidation_time_s(check["inputs"]["layer_mm"] / 1000, check["inputs"]["cv_m2_per_s"])
    assert time == pytest.approx(check["expected"]["t90_s"], rel=check["tolerance"]["rel"])


def test_one_layer_by_bulk_content_is_the_same_as_by_solids():
    """D17 with sand content = solids fraction/(1 - porosity), the definition of a bulk volume."""
    column, velocity = Suspension(0.01, 20.0, 0.45), 0.0011
    curve = layered_rise([Layer(20.0, 0.01 / 0.55, velocity)])
    assert curve.end_s == pytest.approx(settling_end_s(column, velocity), rel=1e-12)
    for time in (0.0, 600.0, 3600.0, 10_000.0, 30_000.0):
        assert curve.at(time) == pytest.approx(deposit_m(column, velocity, time), rel=1e-12, abs=1e-15)


def test_layers_of_different_speed_agree_with_counting_grains():
    """Grains on a fine spacing, each with the time that it needs to fall through the layers below it."""
    layers = [Layer(4.0, 0.03, 0.0008), Layer(6.0, 0.015, 0.0015), Layer(10.0, 0.01, 0.002)]
    curve = layered_rise(layers)
    step = 0.0005
    height = np.arange(step / 2, 20.0, step)
    speed = np.select([height < 4, height < 10], [0.0008, 0.0015], 0.002)
    sand = np.select([height < 4, height < 10], [0.03, 0.015], 0.01) * step
    fall_s = np.cumsum(step / speed)
    top = np.cumsum(sand)
    for time in (500.0, 2000.0, 5000.0, 8000.0, 12_000.0):
        settled = fall_s - top / 0.0008 <= time
        assert curve.at(time) == pytest.approx(sand[settled].sum(), rel=2e-3)


@settings(max_examples=50, deadline=None)
@given(LAYERS, st.lists(st.floats(0.0, 1e6), min_size=2, max_size=10))
def test_the_rise_never_falls_and_never_passes_the_sand_there_is(layers, times):
    curve = layered_rise(layers)
    bound = sum(float(most_sand_deposit_m(each.height_m, each.sand_ratio)) for each in layers)
    rises = [curve.at(time) for time in sorted(times)]
    assert rises == sorted(rises)
    assert curve.end_m == pytest.approx(bound)
    assert max(rises) <= bound * (1 + 1e-12)
    assert list(curve.times_s) == sorted(set(curve.times_s))


@settings(max_examples=40, deadline=None)
@given(st.lists(LAYERS, min_size=1, max_size=4), st.floats(0.0, 1e5))
def test_grain_sizes_together_are_the_sum_of_each_alone(sizes, time):
    curves = [layered_rise(each) for each in sizes]
    assert together(curves).at(time) == pytest.approx(sum(each.at(time) for each in curves), abs=1e-12)


def test_no_grain_size_at_all_gives_no_rise():
    assert together([]).at(1e6) == 0


def test_the_time_at_which_a_rise_is_passed_is_read_off_the_curve():
    curve = RiseCurve((0.0, 100.0, 200.0, 300.0), (0.0, 0.010, 0.010, 0.020))
    assert curve.first_over(0.005) == pytest.approx(50.0)
    assert curve.first_over(0.010) == pytest.approx(200.0)
    assert curve.first_over(0.010, strict=True) == pytest.approx(100.0)
    assert curve.first_over(0.020) is None
    assert curve.first_over(0.020, strict=True) == pytest.approx(300.0)
    assert curve.first_over(-0.001) == 0


@pytest.mark.parametrize(
    "make",
    [
        lambda: Suspension(0.01, 0.0, 0.45),
        lambda: Suspension(0.58, 20.0, 0.45),
        lambda: Suspension(0.01, 20.0, 0.95),
        lambda: deposit_m(Suspension(0.01, 20.0, 0.45), 0.0, 10.0),
        lambda: deposit_m(Suspension(0.01, 20.0, 0.45), 0.001, -1.0),
        lambda: Layer(10.0, 1.0, 0.001),
        lambda: Layer(10.0, float("nan"), 0.001),
        lambda: Layer(0.0, 0.01, 0.001),
        lambda: consolidation_time_s(0.025, 0.0),
        lambda: RiseCurve((0.0,), (0.0,)).at(-1.0),
    ],
)
def test_what_cannot_be_is_refused(make):
    with pytest.raises(OutOfRange):
        make()
