"""Bounds by counting: the checks by id (source in each), a general library, and properties."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.base.areas import nearest_point_areas
from fieldapp.base.bounds import (
    effective_points,
    lower_bound,
    regularised_beta,
    soundings_needed,
    upper_bound,
    weighted_lower_bound,
)
from fieldapp.units import OutOfRange
from tests.base.libraries import library

CHECKS = json.loads((Path(__file__).parent / "map_checks.json").read_text(encoding="utf-8"))
LOWER = [c for c in CHECKS if "lower" in c["expected"]]
NEEDED = [c for c in CHECKS if "probes_by_exceedances" in c["expected"]]


@pytest.mark.parametrize("check", LOWER, ids=[f"{c['id']}, {c['source']}" for c in LOWER])
def test_the_lower_bound_matches_the_check(check):
    """G13, G15, G18."""
    i = check["inputs"]
    got = lower_bound(i["successes"], i["trials"], i["tail_probability"])
    assert got == pytest.approx(check["expected"]["lower"], rel=check["tolerance"]["rel"])


def test_there_are_sixteen_checks_of_the_lower_bound():
    assert [len(LOWER), len(NEEDED)] == [16, 2]


def test_the_upper_bound_matches_the_check():
    """G14: NIST/SEMATECH e-Handbook of Statistical Methods, 4 of 20 at 90 % two-sided."""
    (check,) = [c for c in CHECKS if c["id"] == "G14"]
    assert upper_bound(4, 20, 0.05) == pytest.approx(
        check["expected"]["upper"], rel=check["tolerance"]["rel"]
    )


@pytest.mark.parametrize("check", NEEDED, ids=[f"{c['id']}, {c['source']}" for c in NEEDED])
def test_the_soundings_needed_match_the_check(check):
    """G16, G17."""
    i = check["inputs"]
    for exceedances, probes in check["expected"]["probes_by_exceedances"].items():
        assert soundings_needed(i["fraction_min"], int(exceedances), i["tail_probability"]) == probes


def test_all_within_the_limit_gives_the_root_of_the_tail():
    """Closed form alpha^(1/n), G15."""
    for n in (1, 2, 7, 50, 1000):
        assert lower_bound(n, n, 0.05) == pytest.approx(0.05 ** (1 / n), rel=1e-12)
        assert lower_bound(0, n, 0.05) == 0.0
        assert upper_bound(n, n, 0.05) == 1.0


@given(st.floats(1e-6, 1 - 1e-6), st.floats(0.02, 500, allow_subnormal=False), st.floats(0.02, 500))
@settings(deadline=None)  # the first call imports the library
def test_the_incomplete_beta_agrees_with_a_general_library(x, a, b):
    special = library("scipy.special")
    assert regularised_beta(x, a, b) == pytest.approx(special.betainc(a, b, x), rel=1e-9, abs=1e-13)


@given(st.floats(0.01, 1.0), st.floats(1.0, 400.0), st.floats(1e-4, 0.5))
@settings(deadline=None)  # the first call imports the library
def test_bounds_with_parts_of_points_agree_with_a_general_library(share, trials, tail):
    special = library("scipy.special")
    x = min(share * trials, trials)
    expected = special.betaincinv(x, trials - x + 1, tail)
    assert lower_bound(x, trials, tail) == pytest.approx(expected, rel=1e-8, abs=1e-12)


@given(st.integers(1, 60), st.data())
def test_bounds_enclose_the_share_and_rise_with_it(trials, data):
    x = data.draw(st.integers(0, trials))
    low, high = lower_bound(x, trials, 0.05), upper_bound(x, trials, 0.05)
    assert 0 <= low <= x / trials <= high <= 1
    if x < trials:
        assert low < lower_bound(x + 1, trials, 0.05)
    assert upper_bound(x, trials, 0.05) == pytest.approx(1 - lower_bound(trials - x, trials, 0.05), abs=1e-12)


@given(st.floats(0.05, 0.95), st.integers(0, 12))
def test_the_soundings_needed_are_enough_and_one_fewer_is_not(share, exceedances):
    n = soundings_needed(share, exceedances, 0.05)
    assert lower_bound(n - exceedances, n, 0.05) >= share
    assert n == exceedances + 1 or lower_bound(n - 1 - exceedances, n - 1, 0.05) < share


@given(st.lists(st.floats(0.01, 10), min_size=1, max_size=30))
def test_unequal_weights_count_as_fewer_points(weights):
    n = effective_points(weights)
    assert 1 - 1e-12 <= n <= len(weights) * (1 + 1e-12)
    assert effective_points([1.0] * len(weights)) == pytest.approx(len(weights), rel=1e-14)


def test_equal_weights_give_the_exact_bound():
    """G18-8of9, Clopper-Pearson."""
    assert weighted_lower_bound(8 / 9, [0.3] * 9, 0.05) == pytest.approx(0.570864452969, rel=1e-7)


def test_a_heavy_cell_lowers_the_bound_by_counting():
    """Hand: weights 1/2 and 4 of 1/8 are 1/(1/4 + 4/64) = 3.2 points, all clean 0.05^(1/3.2)."""
    weights = [0.5, 0.125, 0.125, 0.125, 0.125]
    assert effective_points(weights) == pytest.approx(3.2, rel=1e-14)
    assert weighted_lower_bound(1.0, weights, 0.05) == pytest.approx(0.05 ** (1 / 3.2), rel=1e-12)


def test_areas_of_a_layout_can_be_given_as_they_come():
    angle = [2 * math.pi * k / 4 for k in range(4)]
    xy = [(0.0, 0.0), *((0.6 * math.cos(a), 0.6 * math.sin(a)) for a in angle)]
    areas = nearest_point_areas(np.array(xy), 1.0)
    assert 4 < effective_points(areas) < 5


@pytest.mark.parametrize(
    "call",
    [
        lambda: lower_bound(-1, 5, 0.05),
        lambda: lower_bound(6, 5, 0.05),
        lambda: lower_bound(1, 0, 0.05),
        lambda: lower_bound(math.nan, 5, 0.05),
        lambda: upper_bound(1, 5, 0.0),
        lambda: lower_bound(1, 5, 0.6),
        lambda: effective_points([0.0, 0.0]),
        lambda: effective_points([1.0, -1.0]),
        lambda: soundings_needed(1.0, 0, 0.05),
        lambda: soundings_needed(0.5, -1, 0.05),
        lambda: regularised_beta(1.5, 1, 1),
        lambda: regularised_beta(0.5, 0, 1),
    ],
)
def test_a_number_out_of_range_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
