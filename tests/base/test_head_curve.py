"""Head curves: checks J by id, the exact way against marching, shapes of the side, demand."""

import math

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from fieldapp.base.base_curve import Nominal, base_curve
from fieldapp.base.credit import Cover, as_built_mpa, credit
from fieldapp.base.credit_range import BaseModel
from fieldapp.base.factored import Factors, against_demand
from fieldapp.base.head_curve import head_curve, head_curves
from fieldapp.base.head_march import ShaftBody, State, head_state
from fieldapp.base.load_transfer import bar_on_springs, slipped_shortening_m
from fieldapp.base.sediment import Sediment
from fieldapp.base.side_curve import Side, SideLayer, Softening, sliced
from fieldapp.base.side_resistance import SocketRock, rock_side
from fieldapp.units import OutOfRange
from tests.base.worth import CHECKS, hold, model_of, of_topic, sediment_of

HEADS = np.array([0.5, 2, 6, 10, 25, 75]) / 1000
SIDES = st.lists(
    st.builds(SideLayer, st.floats(0.5, 8), st.floats(0, 1.5), st.floats(0.002, 0.02)),
    min_size=1,
    max_size=4,
)


def socket(inputs):
    rock = SocketRock(inputs["qu_MPa"], inputs["concrete_strength_MPa"], inputs["pa_MPa"])
    full_m = inputs.get("side_full_displacement_mm", 6.0) / 1000
    layer = SideLayer(inputs["length_m"], rock_side(rock, inputs["C"]).unit_side_mpa, full_m)
    return ShaftBody(inputs["diameter_m"], Side((layer,)), inputs.get("concrete_modulus_MPa", 30_000.0))


def reference(heads_m, shaft=None):
    inputs = CHECKS["J-w2"]["inputs"]
    cover = Cover.of(np.array(inputs["thickness_mm"]) / 1000, inputs["area_weight"])
    body = shaft or socket(inputs)
    return head_curves(body, model_of(inputs), cover, sediment_of(inputs), heads_m)


def combined(inputs):
    curves = reference([inputs["head_displacement_mm"] / 1000])
    return {
        "clean_head_load_MN": float(curves.clean.head_mn[0]),
        "clean_base_load_MN": float(curves.clean.base_mn[0]),
        "head_load_MN": float(curves.as_built.head_mn[0]),
        "base_load_MN": float(curves.as_built.base_mn[0]),
        "base_credit": float(curves.base_ratio[0]),
        "total_ratio": float(curves.total_ratio[0]),
    }


def linear_bar(inputs):
    full_m = 1.0
    around = math.pi * inputs["diameter_m"]
    layer = SideLayer(
        inputs["length_m"], inputs["side_spring_MN_per_m_per_m"] / around * full_m / 1000, full_m / 1000
    )
    shaft = ShaftBody(inputs["diameter_m"], Side((layer,)), inputs["concrete_modulus_MPa"])
    curve = head_curve(shaft, lambda w: inputs["base_spring_MN_per_m"] * w, [1e-5], inputs["slices"])
    return {"head_stiffness_MN_per_m": float(curve.head_mn[0]) / 1e-5}


def full_side(inputs):
    side = socket(inputs).side
    return {
        "unit_side_MPa": side.layers[0].unit_side_mpa,
        "side_resistance_MN": side.nominal_mn(inputs["diameter_m"]),
    }


@of_topic("combined curve")
def test_the_combined_curve_matches_the_check(check):
    answers = {"J1": full_side, "J3": linear_bar}
    hold(check, answers.get(check["id"], combined)(check["inputs"]))


def test_the_table_of_the_reference_shaft_comes_back_as_printed():
    """Mechanics 3.6; columns clean Q, clean Q_b, as-built Q, as-built Q_b, base and total ratio."""
    curves = reference([0.002, 0.010, 0.025, 0.075])
    rows = np.column_stack(
        [curves.clean.head_mn, curves.clean.base_mn, curves.as_built.head_mn, curves.as_built.base_mn]
    )
    printed = [
        [5.9692, 1.4879, 5.3102, 0.7497],
        [21.1627, 6.1624, 19.4838, 4.4835],
        [26.4199, 11.4196, 25.3742, 10.3739],
        [32.5319, 17.5316, 32.2908, 17.2905],
    ]
    np.testing.assert_allclose(rows, printed, atol=6e-5)


def test_marching_converges_to_the_exact_way_with_the_square_of_the_slice():
    shaft = socket(CHECKS["J-w2"]["inputs"])

    def base(moved):
        return 900.0 * moved

    exact = head_curve(shaft, base, HEADS).head_mn
    off = [np.abs(head_curve(shaft, base, HEADS, n).head_mn / exact - 1)[0] for n in (20, 40, 80)]
    assert off[0] / off[1] == pytest.approx(4, rel=0.05)
    assert off[1] / off[2] == pytest.approx(4, rel=0.05)
    assert off[2] < 1e-5


def test_four_hundred_slices_err_by_no_more_than_is_stated_for_the_reference_shaft():
    """Mechanics 3.3: 400 slices, midpoint with one corrector, 6e-8 relative on the reference shaft."""
    inputs = CHECKS["J-w2"]["inputs"]
    model, shaft = model_of(inputs), socket(inputs)
    cover = Cover.of(np.array(inputs["thickness_mm"]) / 1000, inputs["area_weight"])
    heads = np.array([2, 10, 25, 75]) / 1000

    def base(moved):
        return model.ground.area_m2 * as_built_mpa(model.curve, cover, sediment_of(inputs), moved)

    exact, marched = (head_curve(shaft, base, heads, n).head_mn for n in (None, 400))
    assert np.abs(marched / exact - 1).max() == pytest.approx(6e-8, rel=0.1)


@settings(max_examples=25, deadline=None)
@given(SIDES, st.floats(1e-4, 0.05), st.floats(1, 5000))
def test_layers_carried_exactly_agree_with_a_fine_march(layers, moved, spring):
    shaft = ShaftBody(1.5, Side(tuple(layers)))
    base = State(np.array([moved]), np.array([moved * spring]))
    exact, marched = head_state(shaft, base), head_state(shaft, base, 1500)
    assert marched.load_mn[0] == pytest.approx(exact.load_mn[0], rel=2e-5)
    assert marched.moved_m[0] == pytest.approx(exact.moved_m[0], rel=2e-5)


def test_small_loads_are_the_bar_on_springs_and_large_ones_the_slipped_side():
    """B9 to B13: closed forms of both ends of the curve."""
    shaft = ShaftBody(1.5, Side((SideLayer(5.0, 0.6, 0.006),)))
    curve = head_curve(shaft, lambda w: 900.0 * w, [1e-5, 0.2])
    springs = bar_on_springs(shaft.bar, 0.6 * math.pi * 1.5 / 0.006, 900.0)
    assert curve.head_mn[0] / 1e-5 == pytest.approx(springs.head_stiffness_mn_per_m, rel=1e-9)
    assert curve.base_share[0] == pytest.approx(springs.base_share, rel=1e-9)
    shortening = slipped_shortening_m(shaft.bar, 1.5, 0.6, float(curve.base_mn[1]))
    assert 0.2 - curve.base_m[1] == pytest.approx(shortening, rel=1e-9)
    assert curve.side_mn[1] == pytest.approx(shaft.side.nominal_mn(1.5), rel=1e-12)


@settings(max_examples=25, deadline=None)
@given(SIDES, st.lists(st.floats(0, 0.1), min_size=1, max_size=8))
@example([SideLayer(1.0, 1.0, 0.015625), SideLayer(6.5, 1.25, 0.015625)], [0.0])
@example([SideLayer(1.0, 5e-324, 0.015625)], [0.0])
def test_as_built_is_never_above_clean_and_curves_rise(layers, thick):
    inputs = CHECKS["J-w2"]["inputs"]
    cover = Cover.of(thick, np.ones(len(thick)))
    shaft = ShaftBody(1.5, Side(tuple(layers)))
    curves = head_curves(shaft, model_of(inputs), cover, Sediment(), HEADS)
    assert (curves.as_built.head_mn <= curves.clean.head_mn * (1 + 1e-11)).all()
    assert (curves.as_built.base_mn <= curves.clean.base_mn * (1 + 1e-9)).all()
    for curve in (curves.clean, curves.as_built):
        assert (np.diff(curve.head_mn) > 0).all()
        assert (np.diff(curve.base_m) > 0).all()
    assert (curves.base_ratio <= 1).all()
    assert (curves.total_ratio <= 1).all()


def test_the_solved_base_displacement_gives_the_head_displacement_back():
    curves = reference(HEADS)
    inputs = CHECKS["J-w2"]["inputs"]
    state = State(curves.as_built.base_m, curves.as_built.base_mn)
    np.testing.assert_allclose(head_state(socket(inputs), state).moved_m, HEADS, rtol=1e-11)


def test_the_ratio_at_one_head_displacement_is_not_the_credit_at_one_base_displacement():
    inputs = CHECKS["J-w2"]["inputs"]
    curves = reference([0.010])
    cover = Cover.of(np.array(inputs["thickness_mm"]) / 1000, inputs["area_weight"])
    at_base = credit(model_of(inputs).curve, cover, Sediment(), curves.clean.base_m[0])
    assert curves.base_ratio[0] > float(at_base)


@pytest.mark.parametrize("slices", [100, 400])
def test_a_hyperbolic_side_is_half_mobilised_at_half_and_less_than_full_at_last(slices):
    side = Side((SideLayer(5.0, 0.6, 0.006),), "hyperbolic")
    stiff = ShaftBody(1.5, side, 1e6)
    curve = head_curve(stiff, lambda w: 1.0 * w, [0.003, 0.3], slices)
    full = side.nominal_mn(1.5)
    assert curve.side_mn[0] == pytest.approx(full / 2, rel=0.01)
    assert 0.97 * full < curve.side_mn[1] < full


def softening_shaft(length_m, residual):
    side = Side((SideLayer(length_m, 0.3, 0.003),), "softening", Softening(residual, 1.5))
    return ShaftBody(1.5, side)


def test_a_long_softening_shaft_is_told_not_to_be_unique_and_gives_the_least_load():
    shaft = softening_shaft(30.0, 0.2)
    heads = np.linspace(0.002, 0.02, 10)
    curve = head_curve(shaft, lambda w: 20 * w, heads)
    assert not curve.unique
    assert "several loads" in curve.says
    path_m, path_mn = curve.path.moved_m, curve.path.load_mn
    assert (np.diff(path_m) < 0).any()
    for head, load in zip(heads, curve.head_mn, strict=True):
        crossed = np.flatnonzero((path_m[:-1] - head) * (path_m[1:] - head) <= 0)
        assert load <= path_mn[crossed + 1].max() * (1 + 1e-3)
        assert load == pytest.approx(min(path_mn[crossed]), rel=0.02)


def test_a_short_softening_shaft_is_unique_and_falls_after_its_peak():
    curve = head_curve(softening_shaft(3.0, 0.5), lambda w: 100 * w, np.linspace(0.001, 0.02, 12))
    assert curve.unique
    assert curve.says == ""
    assert curve.side_mn[-1] == pytest.approx(0.5 * 0.3 * math.pi * 1.5 * 3.0, rel=1e-6)
    assert curve.side_mn.max() > 1.5 * curve.side_mn[-1]


def test_softening_to_the_whole_peak_is_the_elastic_plastic_side():
    plain = ShaftBody(1.5, Side((SideLayer(5.0, 0.3, 0.003),)))
    soft = ShaftBody(1.5, Side((SideLayer(5.0, 0.3, 0.003),), "softening", Softening(1.0, 2.0)))
    one, two = (head_curve(shaft, lambda w: 500 * w, HEADS).head_mn for shaft in (plain, soft))
    np.testing.assert_allclose(two, one, rtol=1e-5)


def test_slices_follow_the_layers_from_the_base_upwards():
    cut = sliced((SideLayer(1.0, 0.1), SideLayer(3.0, 0.4)), 8)
    assert cut.unit_side_mpa.tolist() == [0.4] * 6 + [0.1] * 2
    assert cut.height_m.sum() == pytest.approx(4.0)


FACTORS = Factors(0.55, 0.5, "as seeded, with its edition")


def test_factored_resistance_is_held_against_demand_at_each_displacement():
    curves = reference(HEADS)
    nominal_mn = 10.0 * math.pi * 1.5**2 / 4
    held = against_demand(curves, FACTORS, 13.0, nominal_mn)
    by_hand = 0.55 * curves.as_built.side_mn + 0.5 * curves.as_built.base_mn
    np.testing.assert_allclose(held.as_built_mn, by_hand)
    assert held.holds == tuple(bool(x) for x in by_hand >= 13.0)
    assert held.from_head_m == HEADS[held.holds.index(True)]
    assert (held.as_built_mn <= held.clean_mn).all()
    assert against_demand(curves, FACTORS, 40.0, nominal_mn).from_head_m is None


def test_a_base_is_never_counted_over_its_nominal_resistance():
    inputs = CHECKS["J-w2"]["inputs"]
    model = BaseModel(model_of(inputs).ground, Nominal(2.0, 0.010))
    assert base_curve(model.ground, model.nominal).reaches_nominal
    curves = head_curves(socket(inputs), model, Cover.of([0.0], [1]), Sediment(), [0.3])
    supported = 2.0 * model.ground.area_m2
    assert curves.clean.base_mn[0] > supported
    held = against_demand(curves, FACTORS, 1.0, supported)
    assert held.clean_mn[0] == pytest.approx(0.55 * curves.clean.side_mn[0] + 0.5 * supported)


@pytest.mark.parametrize(
    ("call", "names"),
    [
        (lambda: reference([]), "head displacements"),
        (lambda: reference([0.0]), "displacement is 0 m"),
        (lambda: reference([0.01], ShaftBody(1.2, Side((SideLayer(5.0, 0.6),)))), "the same"),
        (lambda: Side(()), "at least 1"),
        (lambda: Side((SideLayer(5.0, 0.6),), "softening"), "softening side only"),
        (lambda: Softening(0.5, 1.0), "residual over w_s"),
        (lambda: SideLayer(5.0, math.nan), "unit side resistance"),
        (lambda: against_demand(reference([0.01]), FACTORS, -1.0, 10.0), "force is -1 MN"),
    ],
)
def test_an_impossible_input_is_named_with_its_range(call, names):
    with pytest.raises(OutOfRange, match=names):
        call()
