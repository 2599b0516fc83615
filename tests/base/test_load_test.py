"""Reading a base load test: closures built in by an independent formula, and what is not a flat start."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.base.back_figure import Agreement, LayerRecorded, StrainRange, hold_against_record
from fieldapp.base.load_test import Cause, Closure, NoClosure, read_load_test
from fieldapp.base.measured_curve import LoadTest, MeasuredCurve
from fieldapp.units import OutOfRange

# 1.5 m base of the reference case: k = 543.25 MPa/m, q_inf = 13.2527 MPa (mechanics survey 3.6).
AREA_M2 = math.pi * 1.5**2 / 4
STIFFNESS, MOST = 543.25 * AREA_M2, 13.2527 * AREA_M2
SIDE_MN, SLIP_M = 1.5, 0.004


def clean_load(w):
    """Hyperbola q = w/(1/k + w/q_inf), 0 before any displacement."""
    w = np.maximum(w, 0.0)
    return w / (1 / STIFFNESS + w / MOST)


def gap_load(w, gap):
    """A free gap under the base, then the clean curve."""
    return clean_load(w - gap)


def locking_load(w, thickness, modulus=0.5, strain=0.35):
    """A locking layer in series, by solving w = rock + layer for the load with bisection."""
    low, high = np.zeros_like(w), np.full_like(w, 0.999999 * MOST)
    for _ in range(80):
        load = (low + high) / 2
        q = load / AREA_M2
        moved = load / (STIFFNESS * (1 - load / MOST)) + thickness * strain * q / (modulus * strain + q)
        low, high = np.where(moved < w, load, low), np.where(moved < w, high, load)
    return low


def side_load(w):
    return SIDE_MN * np.minimum(w / SLIP_M, 1.0)


def noise(count, size, seed=7):
    return np.random.default_rng(seed).normal(0.0, size, count)


def read(w, load, **place):
    curve = MeasuredCurve(tuple(map(float, w)), tuple(map(float, load)))
    return read_load_test(LoadTest(curve, **place))


@pytest.mark.parametrize("points", [20, 40, 200])
@pytest.mark.parametrize("gap", [0.010, 0.020])
def test_a_gap_of_known_width_is_found_within_its_range(points, gap):
    w = np.linspace(0.0, 0.075, points)
    found = read(w, gap_load(w, gap))
    assert isinstance(found, Closure)
    assert found.low_m <= gap * 1.01
    assert gap * 0.99 <= found.high_m
    assert found.closure_m == pytest.approx(gap, rel=0.02)
    assert (found.free_from_m, found.free_load_mn) == (0.0, 0.0)


@pytest.mark.parametrize("points", [20, 40, 200])
@pytest.mark.parametrize("gap", [0.010, 0.020])
def test_noise_in_the_load_widens_the_range_but_keeps_the_gap_in_it(points, gap):
    w = np.linspace(0.0, 0.075, points)
    quiet = read(w, gap_load(w, gap))
    found = read(w, gap_load(w, gap) + noise(points, 0.004 * MOST))
    assert found.low_m <= gap <= found.high_m
    assert found.high_m - found.low_m > (quiet.high_m - quiet.low_m) / 2
    assert found.closure_m == pytest.approx(gap, rel=0.12)


@pytest.mark.parametrize("thickness", [0.025, 0.040])
def test_a_locking_layer_closes_near_its_locking_strain_times_its_thickness(thickness):
    """C7: the compression tends to e_L t; the tangent reads low, the range holds it."""
    w = np.linspace(0.0, 0.075, 40)
    found = read(w, locking_load(w, thickness))
    wanted = 0.35 * thickness
    assert found.low_m <= wanted <= found.high_m
    assert found.closure_m == pytest.approx(wanted, rel=0.1)
    by_method = {each.method: each.value_m for each in found.readings}
    assert by_method["tangent"] < wanted
    assert by_method["locking layer"] == pytest.approx(wanted, rel=0.03)


@pytest.mark.parametrize("points", [12, 20, 40, 200])
@pytest.mark.parametrize("size", [0.0, 0.004])
def test_a_clean_base_has_no_flat_start(points, size):
    w = np.linspace(0.0, 0.075, points)
    found = read(w, clean_load(w) + noise(points, size * MOST))
    assert isinstance(found, NoClosure)
    assert "No flat start" in found.reason


def test_a_straight_line_has_no_flat_start():
    w = np.linspace(0.0, 0.02, 30)
    assert isinstance(read(w, STIFFNESS * w / 10), NoClosure)


def test_a_logger_with_thousands_of_points_is_read_by_groups_of_neighbours():
    w = np.linspace(0.0, 0.075, 9000)
    found = read(w, gap_load(w, 0.01) + noise(9000, 0.004 * MOST))
    assert found.points_used == 400
    assert found.closure_m == pytest.approx(0.01, rel=0.02)


def test_too_few_points_are_said_and_not_read():
    w = np.linspace(0.0, 0.05, 7)
    assert "7 usable points" in read(w, gap_load(w, 0.01)).reason


@pytest.mark.parametrize("gap", [0.010, 0.020])
def test_the_side_below_the_cell_slips_first_and_the_soft_base_closes_after_it(gap):
    w = np.linspace(0.0, 0.075, 40)
    load = side_load(w) + gap_load(w - SLIP_M, gap)
    found = read(w, load, cell_above_base_m=1.2, diameter_m=1.5)
    assert found.cause is Cause.SIDE_SLIPS_THEN_SOFT_BASE
    assert found.free_load_mn == pytest.approx(SIDE_MN, rel=0.02)
    assert found.side_below_mpa == pytest.approx(SIDE_MN / (math.pi * 1.5 * 1.2), rel=0.02)
    assert found.free_from_m == pytest.approx(SLIP_M, rel=0.1)
    assert found.free_from_m + found.closure_m == pytest.approx(SLIP_M + gap, rel=0.02)


def test_without_the_place_of_the_cell_the_cause_is_not_told():
    w = np.linspace(0.0, 0.075, 40)
    for load in (gap_load(w, 0.01), side_load(w) + gap_load(w - SLIP_M, 0.01)):
        found = read(w, load)
        assert (found.cause, found.side_below_mpa) == (Cause.NOT_TOLD, None)


def test_a_free_movement_from_the_start_is_a_soft_base_wherever_the_cell_stood():
    w = np.linspace(0.0, 0.075, 40)
    for height in (0.0, 1.2):
        assert read(w, gap_load(w, 0.01), cell_above_base_m=height).cause is Cause.SOFT_BASE


def test_load_before_a_free_movement_with_the_cell_on_the_base_is_not_told():
    w = np.linspace(0.0, 0.075, 40)
    found = read(w, side_load(w) + gap_load(w - SLIP_M, 0.01), cell_above_base_m=0.0, diameter_m=1.5)
    assert (found.cause, found.side_below_mpa) == (Cause.NOT_TOLD, None)


def test_a_plunge_that_never_takes_load_again_is_no_closure():
    w = np.linspace(0.0, 0.075, 40)
    found = read(w, side_load(w), cell_above_base_m=1.2)
    assert isinstance(found, NoClosure)
    assert found.cause is Cause.SIDE_SLIPS_NO_BASE
    assert read(w, side_load(w)).cause is Cause.NOT_TOLD


def test_unloading_and_reloading_are_left_out():
    w = np.linspace(0.0, 0.075, 40)
    load = gap_load(w, 0.01)
    back = np.linspace(w[19], w[19] - 0.004, 5)[1:]
    loop_w = np.concatenate([w[:20], back, back[::-1], w[20:]])
    loop_q = np.concatenate(
        [load[:20], load[19] * np.linspace(0.8, 0.1, 4), load[19] * np.linspace(0.1, 0.9, 4), load[20:]]
    )
    assert read(loop_w, loop_q) == read(w, load)


@settings(max_examples=20, deadline=None)
@given(st.floats(0.008, 0.03), st.floats(0.2, 5.0), st.integers(20, 80))
def test_the_closure_does_not_depend_on_the_scale_of_the_load(gap, scale, points):
    w = np.linspace(0.0, 0.075, points)
    one, other = read(w, gap_load(w, gap)), read(w, scale * gap_load(w, gap))
    assert other.closure_m == pytest.approx(one.closure_m, rel=1e-6)
    assert other.low_m == pytest.approx(one.low_m, rel=1e-4)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.floats(-0.05, 2.0), st.floats(-0.5, 1000.0)), min_size=1, max_size=40))
def test_any_curve_is_read_or_declined_but_never_breaks(points):
    found = read([w for w, _ in points], [q for _, q in points])
    if isinstance(found, Closure):
        assert 0 <= found.low_m <= found.closure_m <= found.high_m < math.inf


def test_loads_that_fall_or_stay_at_nothing_are_read_or_declined_but_never_break():
    rng = np.random.default_rng(5)
    for k in range(80):
        count = int(rng.integers(8, 40))
        w = np.sort(rng.uniform(-0.05, 0.1, count))
        wild = rng.choice([0.0, 1.0, 2.0, -0.5, 1000.0], count)
        load = wild if k % 3 == 0 else np.cumsum(rng.uniform(-0.2, 1, count) ** 3)
        found = read(w, np.clip(load if k % 7 else 0 * load, -0.5, 1000.0))
        if isinstance(found, Closure):
            assert 0 <= found.low_m <= found.closure_m <= found.high_m < math.inf


def closure(low, best, high):
    return Closure(best, low, high, (), 0.0, 0.0, 500.0, Cause.SOFT_BASE, None, 30)


def test_a_closure_is_held_against_the_recorded_layer_and_a_strain_is_offered():
    """By hand: 25 mm (20 to 30) with 0.15, 0.35, 0.60 lets expect 3, 8.75, 18 mm; 10 mm is 0.4."""
    found = hold_against_record(closure(0.008, 0.010, 0.012), LayerRecorded(0.020, 0.025, 0.030))
    expected = (found.expected_low_m, found.expected_best_m, found.expected_high_m)
    assert expected == pytest.approx((0.003, 0.00875, 0.018))
    assert found.agreement is Agreement.AGREES
    assert found.offered.best == pytest.approx(0.4)
    assert found.offered.low == pytest.approx(0.008 / 0.030)
    assert found.offered.high == pytest.approx(0.012 / 0.020)


def test_more_or_less_free_movement_than_the_record_explains_is_said():
    more = hold_against_record(closure(0.019, 0.020, 0.021), LayerRecorded(0.004, 0.005, 0.006))
    assert (more.agreement, more.offered) == (Agreement.MORE, None)
    assert "further than the recorded layer" in more.why_not
    less = hold_against_record(closure(0.001, 0.002, 0.003), LayerRecorded(0.045, 0.050, 0.055))
    assert less.agreement is Agreement.LESS
    assert less.offered.best == pytest.approx(0.04)


def test_no_recorded_layer_gives_no_strain():
    found = hold_against_record(closure(0.008, 0.010, 0.012), LayerRecorded(0.0, 0.0, 0.001))
    assert (found.agreement, found.offered) == (Agreement.MORE, None)
    assert "No sediment was recorded" in found.why_not
    open_end = hold_against_record(closure(0.008, 0.010, 0.012), LayerRecorded(0.0, 0.025, 0.03))
    assert open_end.offered.high is None


def test_a_known_strain_is_found_again_from_the_curve():
    w = np.linspace(0.0, 0.075, 60)
    found = read(w, locking_load(w, 0.030, strain=0.40) + noise(60, 0.002 * MOST))
    offered = hold_against_record(found, LayerRecorded(0.028, 0.030, 0.032)).offered
    assert offered.low <= 0.40 <= offered.high
    assert offered.best == pytest.approx(0.40, rel=0.12)


@pytest.mark.parametrize(
    "make",
    [
        lambda: MeasuredCurve((), ()),
        lambda: MeasuredCurve((0.0, 0.1), (0.0,)),
        lambda: MeasuredCurve((0.0, math.nan), (0.0, 1.0)),
        lambda: MeasuredCurve((0.0, 25.4), (0.0, 1.0)),
        lambda: LoadTest(MeasuredCurve((0.0,), (0.0,)), cell_above_base_m=-1.0),
        lambda: LoadTest(MeasuredCurve((0.0,), (0.0,)), diameter_m=0.0),
        lambda: LayerRecorded(0.02, 0.01, 0.03),
        lambda: LayerRecorded(-0.01, 0.01, 0.03),
        lambda: StrainRange(0.2, 0.35, 1.2),
    ],
)
def test_what_cannot_be_is_refused(make):
    with pytest.raises(OutOfRange):
        make()
