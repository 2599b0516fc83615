"""Removal per pass, trend, and what the next pass is likely to gain."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.base.pass_worth import (
    Band,
    NextPass,
    NoTrend,
    PassSeen,
    Trend,
    next_pass,
    passes_to_reach,
)
from fieldapp.units import INCH_M, OutOfRange


def seen(*thicknesses, seconds=1200.0):
    """Passes between successive mean thicknesses [m]."""
    return [
        PassSeen(k + 1, before, after, seconds) for k, (before, after) in enumerate(pairwise(thicknesses))
    ]


def test_removal_per_pass_and_per_minute():
    """By hand: 2 in to 3/4 in in 25 min is 1 1/4 in, 1/20 in a minute, 5/8 of what there was."""
    one = PassSeen(1, 2 * INCH_M, 3 * INCH_M / 4, 1500.0)
    assert one.removed_m == 5 * INCH_M / 4
    assert one.removed_m_per_min == pytest.approx(float(INCH_M) / 20)
    assert one.removed_share == pytest.approx(5 / 8)


def test_depths_by_tape_give_a_removal_but_no_share():
    one = PassSeen(1, duration_s=600.0, depths_m=(18.20, 18.26))
    assert one.removed_m == pytest.approx(0.06)
    assert one.removed_m_per_min == pytest.approx(0.006)
    assert one.removed_share is None


def test_soundings_come_before_depths_by_tape():
    assert PassSeen(1, 0.050, 0.020, depths_m=(18.20, 18.26)).removed_m == pytest.approx(0.030)


def test_a_layer_that_grew_is_a_negative_removal():
    assert PassSeen(1, 0.010, 0.015, 600.0).removed_m == pytest.approx(-0.005)


def test_what_was_not_read_is_unknown_and_not_nothing():
    one = PassSeen(1, 0.050, None, 600.0)
    assert (one.removed_m, one.removed_m_per_min, one.removed_share) == (None, None, None)
    assert PassSeen(1, 0.050, 0.020).removed_m_per_min is None


def test_with_one_pass_no_trend_is_known():
    found = next_pass(seen(0.050, 0.020), 0.020)
    assert isinstance(found, NoTrend)
    assert "One pass has soundings" in found.reason
    assert "No pass has" in next_pass([], 0.020).reason
    assert "No pass has" in next_pass([PassSeen(1, depths_m=(10.0, 10.1))], 0.020).reason


def test_with_nothing_left_there_is_nothing_to_gain():
    assert next_pass(seen(0.050, 0.010, 0.0), 0.0) == NoTrend("The soundings show nothing left to remove.")


def test_passes_that_leave_the_same_share_are_carried_on():
    """By hand: 80, 40, 20, 10 mm halve; no residual, so the range is that of the readings alone."""
    found = next_pass(seen(0.080, 0.040, 0.020, 0.010), 0.010, reading_doubt_m=0.001)
    assert isinstance(found, NextPass)
    assert found.remaining_share.best == pytest.approx(0.5)
    assert found.gain_m.best == pytest.approx(0.005)
    assert found.after_m.best == pytest.approx(0.005)
    half = 1.645 * 0.001 * math.sqrt(1.25 / (0.080**2 + 0.040**2 + 0.020**2))
    assert found.remaining_share.high - 0.5 == pytest.approx(half)
    assert found.trend is Trend.ALIKE
    assert found.minutes == pytest.approx(20.0)


def test_scatter_between_passes_widens_the_range_by_students_t():
    """By hand: 60 to 30 and 60 to 18 mm: r = 0.4, residuals 6 and -6 mm, t = 6.314 for one degree."""
    found = next_pass([PassSeen(1, 0.060, 0.030), PassSeen(2, 0.060, 0.018)], 0.018, reading_doubt_m=0.0)
    error = math.sqrt(2 * 0.006**2 / 1 / (2 * 0.060**2))
    assert found.remaining_share.best == pytest.approx(0.4)
    assert found.remaining_share.high == pytest.approx(0.4 + 6.314 * error)
    assert found.remaining_share.low == 0
    assert found.trend is Trend.MORE


def test_when_later_passes_remove_less_the_last_one_is_the_best_word():
    found = next_pass(seen(0.100, 0.040, 0.030, 0.027), 0.027, reading_doubt_m=0.001)
    assert found.trend is Trend.LESS
    assert found.remaining_share.best == pytest.approx(0.9)
    assert found.gain_m.best == pytest.approx(0.0027)
    assert found.remaining_share.low <= 0.9 <= found.remaining_share.high


def test_thin_layers_under_doubtful_readings_tell_no_trend():
    assert next_pass(seen(0.010, 0.006, 0.003), 0.003).trend is Trend.NOT_TOLD


@settings(deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.001, 0.3), st.floats(0.0, 0.3)), min_size=2, max_size=14),
    st.floats(0.0001, 0.3),
    st.floats(0.0, 0.02),
)
def test_the_best_word_lies_in_its_range_and_no_gain_passes_what_is_there(pairs, now, doubt):
    found = next_pass([PassSeen(k, a, b) for k, (a, b) in enumerate(pairs)], now, doubt)
    for band in (found.remaining_share, found.gain_m, found.after_m):
        assert band.low <= band.best <= band.high
    assert found.gain_m.high <= now
    assert found.after_m.low >= 0
    assert found.gain_m.best + found.after_m.best == pytest.approx(now)


@given(st.floats(0.05, 0.95), st.floats(0.01, 0.2), st.integers(2, 6))
def test_exact_geometric_decay_is_found_again(share, first, count):
    found = next_pass(seen(*(first * share**k for k in range(count + 1))), first * share**count, 0.0)
    assert found.remaining_share.best == pytest.approx(share, rel=1e-6)


def test_passes_to_reach_a_thickness():
    """By hand: 40 mm to 12.7 mm: halving takes two, a third left one and a bit, nine tenths eleven."""
    assert passes_to_reach(Band(1 / 3, 0.5, 0.9), 0.040, 0.0127) == (2, 2, 11)
    assert passes_to_reach(Band(0.0, 0.5, 1.1), 0.040, 0.010) == (1, 2, None)
    assert passes_to_reach(Band(0.0, 0.5, 1.1), 0.010, 0.010) == (0, 0, 0)
    assert passes_to_reach(Band(0.1, 0.5, 0.9), 0.010, 0.0) == (None, None, None)


@pytest.mark.parametrize(
    "make",
    [
        lambda: PassSeen(1, -0.001),
        lambda: PassSeen(1, math.nan),
        lambda: PassSeen(1, 0.05, 0.02, 0.0),
        lambda: PassSeen(1, depths_m=(-1.0, 2.0)),
        lambda: next_pass(seen(0.05, 0.02, 0.01), -0.01),
        lambda: next_pass(seen(0.05, 0.02, 0.01), 0.01, 2.0),
    ],
)
def test_what_cannot_be_is_refused(make):
    with pytest.raises(OutOfRange):
        make()
