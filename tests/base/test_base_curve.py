"""Base curves: the nominal that cannot be reached, slopes, and what the rigid disk says."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.base.base_curve import BaseCurve, Ground, Nominal, base_curve
from fieldapp.base.sediment import Sediment
from fieldapp.units import OutOfRange

GROUND = Ground(1.5, 600.0, 0.25)


def test_a_nominal_out_of_reach_gives_the_stiffness_alone_and_says_why():
    curve = base_curve(GROUND, Nominal(10.0, 0.010))
    assert not curve.reaches_nominal
    assert float(curve.clean_mpa(0.010)) == pytest.approx(GROUND.stiffness_mpa_per_m * 0.010)
    assert "10 MPa is not reached at 10 mm" in curve.says
    assert "5.43 MPa" in curve.says
    assert float(curve.clean_mpa(0.5)) == 10.0


@pytest.mark.parametrize("shape", ["hyperbola", "bilinear"])
def test_both_shapes_pass_through_the_nominal_and_start_with_the_stiffness(shape):
    curve = base_curve(GROUND, Nominal(10.0, 0.075), shape)
    assert curve.reaches_nominal
    assert float(curve.clean_mpa(0.075)) == pytest.approx(10.0)
    assert float(curve.clean_mpa(1e-9)) / 1e-9 == pytest.approx(GROUND.stiffness_mpa_per_m, rel=1e-6)


@given(st.floats(0.2, 30), st.floats(0.001, 0.2), st.sampled_from(["hyperbola", "bilinear"]))
def test_the_clean_curve_never_gives_more_than_the_nominal_up_to_its_displacement(q_n, w_n, shape):
    curve = base_curve(GROUND, Nominal(q_n, w_n), shape)
    reached = [float(curve.clean_mpa(w_n * share)) for share in (0.2, 0.5, 0.9, 1.0)]
    assert max(reached) <= q_n * (1 + 1e-9)
    assert curve.reaches_nominal == (reached[-1] >= q_n * (1 - 1e-9))


@given(st.floats(0.0001, 0.3))
def test_displacement_and_resistance_turn_each_other_round(moved):
    curve = base_curve(GROUND, Nominal(10.0, 0.075))
    assert float(curve.displacement_m(curve.clean_mpa(moved))) == pytest.approx(moved, rel=1e-9)


def test_a_resistance_that_is_never_reached_has_no_displacement():
    assert math.isinf(float(BaseCurve(500.0, asymptote_mpa=12.0).displacement_m(12.0)))
    assert math.isinf(float(BaseCurve(500.0, cap_mpa=10.0).displacement_m(10.1)))
    assert float(BaseCurve(500.0, cap_mpa=10.0).displacement_m(10.0)) == pytest.approx(0.02)


@pytest.mark.parametrize(("ratio", "percent"), [(150, 1.2), (300, 0.6)])
def test_a_rock_base_at_its_resistance_moves_as_the_elastic_disk_says(ratio, percent):
    """Mechanics section 2: w/B = (pi/4)(1 - nu^2) 2.5/(E_m/q_u), 1.2 % at 150 and 0.6 % at 300."""
    ground = Ground(1.5, ratio * 10.0, 0.25)
    moved = float(BaseCurve(ground.stiffness_mpa_per_m).displacement_m(25.0))
    assert 100 * moved / 1.5 == pytest.approx(percent, abs=0.05)


def test_a_clean_base_takes_load_from_the_first_movement():
    """Common practice: at 6.35 mm (1/4 in) a clean socket base carries no small part of its nominal."""
    curve = base_curve(Ground(2.44, 3000.0, 0.25), Nominal(10.0, 0.05 * 2.44))
    assert float(curve.clean_mpa(0.00635)) > 0.4 * 10.0


def test_the_usual_displacement_is_five_percent_of_the_diameter():
    assert Nominal.at_usual_displacement(10.0, 1.5).displacement_m == pytest.approx(0.075)


def test_shapes_broadcast_over_displacement_and_cells():
    curve = base_curve(GROUND, Nominal(10.0, 0.075))
    stress = curve.over_sediment_mpa([[0.01], [0.02]], [0.0, 0.01, 0.02], Sediment())
    assert stress.shape == (2, 3)
    assert stress[1, 2] == curve.over_sediment_mpa(0.02, 0.02, Sediment())


@pytest.mark.parametrize(
    ("call", "names"),
    [
        (lambda: Ground(0.0, 600, 0.25), "base diameter"),
        (lambda: Ground(1.5, -600, 0.25), "modulus of the ground"),
        (lambda: Ground(1.5, 600, 0.6), "Poisson"),
        (lambda: Nominal(10.0, 75.0), "displacement is 75 m"),
        (lambda: Nominal(math.inf, 0.075), "unit base resistance"),
        (lambda: base_curve(GROUND, Nominal(10.0, 0.075)).clean_mpa([0.01, math.nan]), "base displacement"),
    ],
)
def test_an_impossible_input_is_named_with_its_range(call, names):
    with pytest.raises(OutOfRange, match=names):
        call()
