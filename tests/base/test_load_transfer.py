"""Closed forms of load transfer: every check by id, Randolph and Wroth against the bar on springs."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_bvp

from fieldapp.base.base_curve import Ground
from fieldapp.base.load_transfer import (
    Bar,
    SoilAlong,
    WorkingLoad,
    bar_on_springs,
    mobilised_load_mn,
    randolph_wroth,
    slipped_shortening_m,
    three_part_settlement_m,
)
from fieldapp.units import OutOfRange
from tests.base.worth import hold, of_topic


def ground(inputs):
    return Ground(inputs["diameter_m"], inputs["E_MPa"], inputs["poisson_ratio"])


def disks(inputs):
    rigid, mean = (
        1000 * each(inputs["load_MN"])
        for each in (ground(inputs).rigid_displacement_m, ground(inputs).mean_flexible_displacement_m)
    )
    return {"rigid_mm": rigid, "mean_uniform_mm": mean, "ratio": rigid / mean}


def bar(inputs):
    if "axial_stiffness_MN" in inputs:
        return Bar(inputs["length_m"], inputs["axial_stiffness_MN"])
    return Bar.of_concrete(inputs["length_m"], inputs["diameter_m"], inputs["concrete_modulus_MPa"])


def springs(inputs):
    return bar_on_springs(bar(inputs), inputs["side_spring_MN_per_m_per_m"], inputs["base_spring_MN_per_m"])


def head_stiffness(inputs):
    return {"head_stiffness_MN_per_m": springs(inputs).head_stiffness_mn_per_m}


def slipped(inputs):
    shortening = slipped_shortening_m(
        bar(inputs), inputs["diameter_m"], inputs["unit_side_MPa"], inputs["base_load_MN"]
    )
    return {"shortening_mm": 1000 * shortening}


def mobilised(inputs):
    side, base = inputs["side_kN"] / 1000, inputs["base_kN"] / 1000
    return {"load_kN": 1000 * mobilised_load_mn(side, inputs["side_share"], base, inputs["base_share"])}


def settlement(inputs):
    shaft = Bar.of_concrete(inputs["length_m"], inputs["diameter_m"], inputs["concrete_modulus_kPa"] / 1000)
    parts = (inputs[key] / 1000 for key in ("base_load_kN", "side_load_kN", "unit_base_kPa"))
    load = WorkingLoad(*parts, inputs["xi"])
    soil = (inputs["soil_modulus_kPa"] / 1000, inputs["poisson_ratio"])
    moved = three_part_settlement_m(shaft, inputs["diameter_m"], load, soil, inputs["Cp"])
    return {"settlement_mm": 1000 * moved}


ANSWERS = {
    "B1": lambda i: {"displacement_mm": 1000 * ground(i).rigid_displacement_m(i["load_MN"])},
    "B7": disks,
    "B8": mobilised,
    "B9": head_stiffness,
    "B10": lambda i: {"base_share": springs(i).base_share},
    "B11": head_stiffness,
    "B12": head_stiffness,
    "B13": slipped,
    "B18": settlement,
}


@of_topic("load transfer")
def test_load_transfer_matches_the_check(check):
    hold(check, ANSWERS[check["id"]](check["inputs"]))


def test_a_boundary_value_solver_finds_the_same_bar():
    """EA w'' = k_s w, head load 1 MN, base Q = K_b w_b, solved by scipy."""
    shaft, side, base = Bar.of_concrete(12.0, 1.2), 800.0, 500.0
    axial = shaft.axial_stiffness_mn
    depth = np.linspace(0, 12.0, 50)
    solved = solve_bvp(
        lambda _, y: np.array([y[1], side / axial * y[0]]),
        lambda head, foot: np.array([axial * head[1] + 1.0, axial * foot[1] + base * foot[0]]),
        depth,
        np.zeros((2, 50)),
        tol=1e-10,
        max_nodes=50_000,
    )
    answer = bar_on_springs(shaft, side, base)
    head_m, base_m = solved.sol(0.0)[0], solved.sol(12.0)[0]
    assert answer.head_stiffness_mn_per_m == pytest.approx(1 / head_m, rel=1e-7)
    assert answer.base_share == pytest.approx(base * base_m, rel=1e-7)
    assert answer.base_over_head_displacement == pytest.approx(base_m / head_m, rel=1e-7)


@given(st.floats(2, 60), st.floats(0.5, 4), st.floats(5, 5000), st.floats(0, 0.5), st.floats(0.05, 5))
def test_randolph_and_wroth_is_the_bar_on_springs_in_even_soil(length, diameter, shear, nu, xi):
    """Mechanics section 2: k_s = 2 pi G_L/zeta, K_b = 4 eta G_L r0/((1 - nu) xi) when rho = 1."""
    slender = length / (diameter / 2)
    inside = (0.25 + (2.5 * (1 - nu) - 0.25) * xi) * slender
    if inside <= 1.01:
        return
    shaft = Bar.of_concrete(length, diameter)
    one = randolph_wroth(shaft, diameter, SoilAlong(shear, nu, l_over_base=xi))
    side, base = 2 * math.pi * shear / math.log(inside), 4 * shear * diameter / 2 / ((1 - nu) * xi)
    two = bar_on_springs(shaft, side, base)
    assert one.head_stiffness_mn_per_m == pytest.approx(two.head_stiffness_mn_per_m, rel=1e-9)
    assert one.base_share == pytest.approx(two.base_share, rel=1e-9, abs=1e-300)
    assert one.base_over_head_displacement == pytest.approx(two.base_over_head_displacement, rel=1e-9)


def test_the_exact_base_displacement_agrees_with_its_own_base_share():
    """The shortcut w_t/cosh(mu L) would give another base load than the base share does."""
    shaft, soil = Bar.of_concrete(20.0, 1.0), SoilAlong(40.0, 0.3, 0.75, 0.5)
    answer = randolph_wroth(shaft, 1.0, soil)
    base_spring = 4 * 40.0 * 0.5 / (0.7 * 0.5)
    by_displacement = base_spring * answer.base_over_head_displacement / answer.head_stiffness_mn_per_m
    assert by_displacement == pytest.approx(answer.base_share, rel=1e-12)


def test_a_very_long_bar_lets_nothing_reach_the_base_and_does_not_overflow():
    answer = bar_on_springs(Bar(300.0, 1.0), 1e6, 10.0)
    assert answer.base_share == pytest.approx(0, abs=1e-300)
    assert answer.head_stiffness_mn_per_m == pytest.approx(1000.0)


@pytest.mark.parametrize(
    ("call", "names"),
    [
        (lambda: Bar(0.0, 1.0), "length of the shaft"),
        (lambda: Bar.of_concrete(5.0, 1.5, -1.0), "modulus of the concrete"),
        (lambda: bar_on_springs(Bar(5.0, 1.0), -1.0, 1.0), "side spring"),
        (lambda: mobilised_load_mn(1.0, 1.2, 1.0, 0.5), "share mobilised"),
        (lambda: randolph_wroth(Bar.of_concrete(0.2, 1.5), 1.5, SoilAlong(40.0, 0.3)), "zeta"),
    ],
)
def test_an_impossible_input_is_named_with_its_range(call, names):
    with pytest.raises(OutOfRange, match=names):
        call()
