"""The map: never negative, honest about its doubt and its lesser answers, and properties."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.base.disk import BaseDisk
from fieldapp.base.field_fit import MapAssumptions, fitted_length_over_radius, fitted_sd_m
from fieldapp.base.grid import disk_grid, distances
from fieldapp.base.rectified import chance_within, rectified_moments
from fieldapp.base.sediment_map import (
    Draws,
    NoMap,
    SedimentMap,
    Soundings,
    field_of_length,
    sediment_map,
    simulate,
)
from fieldapp.units import OutOfRange, read_si
from tests.base.libraries import library

DISK = BaseDisk(1.5)
MM = 1e-3


def ring(n, rho, radius=DISK.radius_m):
    angle = np.arange(n) * 2 * math.pi / n
    return radius * np.vstack([[0.0, 0.0], rho * np.stack([np.sin(angle), np.cos(angle)], axis=1)])


def scattered(n, seed):
    rng = np.random.default_rng(seed)
    r, angle = DISK.radius_m * np.sqrt(rng.random(n)), rng.random(n) * 2 * math.pi
    return np.stack([r * np.cos(angle), r * np.sin(angle)], axis=1)


@st.composite
def rounds(draw, least=3, most=16):
    n = draw(st.integers(least, most))
    thickness = draw(st.lists(st.floats(0, 0.08), min_size=n, max_size=n))
    return Soundings(DISK, scattered(n, draw(st.integers(0, 10_000))), thickness)


@settings(deadline=None, max_examples=12)
@given(rounds(), st.integers(0, 1000))
def test_no_thickness_of_the_map_is_negative_and_the_band_holds_the_median(soundings, seed):
    got = sediment_map(soundings)
    assert isinstance(got, SedimentMap)
    for facts in (got.mean_m, got.median_m, got.sd_m, got.low_m, got.high_m):
        assert facts.shape == (400,)
        assert (facts >= 0).all()
    assert (got.low_m <= got.median_m).all()
    assert (got.median_m <= got.high_m).all()
    assert (got.mean_m >= got.median_m - 1e-15).all()
    assert (simulate(got, Draws(5, seed)).thickness_m >= 0).all()


@settings(deadline=None, max_examples=15)
@given(rounds(), st.randoms(use_true_random=False))
def test_the_order_of_the_points_does_not_matter(soundings, shuffler):
    order = list(range(len(soundings.thickness_m)))
    shuffler.shuffle(order)
    other = Soundings(DISK, soundings.xy_m[order], [soundings.thickness_m[k] for k in order])
    one, two = sediment_map(soundings), sediment_map(other)
    assert two.mean_m == pytest.approx(one.mean_m, abs=1e-10)
    assert two.sd_m == pytest.approx(one.sd_m, abs=1e-10)


@settings(deadline=None, max_examples=15)
@given(rounds())
def test_a_quarter_turn_of_the_points_turns_the_map(soundings):
    quarter = np.array([[0.0, -1.0], [1.0, 0.0]])
    turned = sediment_map(Soundings(DISK, soundings.xy_m @ quarter.T, soundings.thickness_m))
    plain = sediment_map(soundings)
    place = distances(plain.grid.xy_m @ quarter.T, turned.grid.xy_m).argmin(axis=1)
    assert turned.mean_m[place] == pytest.approx(plain.mean_m, abs=1e-10)
    assert turned.sd_m[place] == pytest.approx(plain.sd_m, abs=1e-10)


@settings(deadline=None, max_examples=15)
@given(st.lists(st.floats(0, 0.05), min_size=3, max_size=3), st.floats(0.3, 0.95))
def test_points_that_mirror_each_other_give_a_map_that_does(thickness, rho):
    """Centre a, north and south b, east and west c: the map has both mirror axes."""
    a, b, c = thickness
    got = sediment_map(Soundings(DISK, ring(4, rho), [a, b, c, b, c]))
    for mirror in ((-1.0, 1.0), (1.0, -1.0)):
        place = distances(got.grid.xy_m * np.array(mirror), got.grid.xy_m).argmin(axis=1)
        assert got.mean_m[place] == pytest.approx(got.mean_m, abs=1e-10)
        assert got.high_m[place] == pytest.approx(got.high_m, abs=1e-10)


@settings(deadline=None, max_examples=15)
@given(rounds(), st.floats(0.5, 4.0))
def test_a_wider_base_with_the_same_pattern_has_the_same_map(soundings, factor):
    """Correlation length and cells both go with the radius."""
    wide = BaseDisk(DISK.diameter_m * factor)
    one = sediment_map(soundings)
    two = sediment_map(Soundings(wide, soundings.xy_m * factor, soundings.thickness_m))
    assert two.mean_m == pytest.approx(one.mean_m, abs=1e-9)
    assert two.sd_m == pytest.approx(one.sd_m, abs=1e-9)


@settings(deadline=None, max_examples=15)
@given(rounds())
def test_without_noise_the_map_passes_through_the_readings(soundings):
    got = sediment_map(soundings, MapAssumptions(noise_sd_m=0.0))
    at = got.field_at(soundings.xy_m)
    assert at.mean_m == pytest.approx(soundings.known[1], abs=1e-6)


def test_readings_that_agree_leave_doubt():
    """Five readings of 5 mm do not prove 5 mm between them: the prior spread stays."""
    got = sediment_map(Soundings(DISK, ring(4, 0.8), [5 * MM] * 5))
    assert got.median_m == pytest.approx([5 * MM] * 400, abs=1e-9)
    assert got.sd_m.min() > 1 * MM
    assert got.high_m.max() > 10 * MM


def test_the_doubt_is_least_at_the_points():
    soundings = Soundings(DISK, ring(8, 0.8), [6 * MM, 8 * MM] * 4 + [7 * MM])
    got = sediment_map(soundings)
    nearest = distances(got.grid.xy_m, soundings.xy_m).min(axis=1)
    sd = np.sqrt(got.field.variance_m2)
    assert sd[nearest < 0.06].max() < sd[nearest > 0.25].min()


@pytest.mark.parametrize(
    ("thickness", "known", "unread"),
    [
        ([None] * 5, 0, 5),
        ([4 * MM, None, None, None, None], 1, 4),
        ([4 * MM, 5 * MM, None, None, None], 2, 3),
    ],
)
def test_fewer_than_three_readings_give_no_map_and_say_why(thickness, known, unread):
    got = sediment_map(Soundings(DISK, ring(4, 0.8), thickness))
    assert isinstance(got, NoMap)
    assert (got.known, got.unread) == (known, unread)
    assert "takes 3" in got.why


def test_a_point_without_a_reading_is_left_out_and_not_taken_as_clean():
    xy = ring(8, 0.8)
    thickness = [20 * MM] * 9
    without = sediment_map(Soundings(DISK, xy[:8], thickness[:8]))
    unread = sediment_map(Soundings(DISK, xy, [*thickness[:8], None]))
    assert np.array_equal(unread.mean_m, without.mean_m)
    assert unread.mean_m.min() > 19 * MM


@pytest.mark.parametrize(("n", "length_from"), [(3, "prior"), (7, "prior"), (8, "fitted"), (25, "fitted")])
def test_the_correlation_length_is_not_fitted_below_eight_readings(n, length_from):
    got = sediment_map(Soundings(DISK, scattered(n, n), [0.01 * (k % 3) for k in range(n)]))
    assert got.length_from == length_from
    if length_from == "prior":
        assert got.length_over_radius == pytest.approx(0.5)
    assert 0.2 <= got.length_over_radius <= 1.0


def test_a_correlation_length_that_is_given_is_used():
    got = sediment_map(Soundings(DISK, ring(8, 0.8), [0.01] * 9), MapAssumptions(length_over_radius=0.3))
    assert (got.length_from, got.length_over_radius) == ("given", pytest.approx(0.3))
    assert np.array_equal(field_of_length(got, 0.3).mean_m, got.field.mean_m)


def test_rough_bases_are_fitted_with_shorter_lengths_than_smooth_ones():
    """Sixty simulated bases of each kind, 25 soundings, noise of 1 mm: means of the fits in order."""
    assumed = MapAssumptions(noise_sd_m=1 * MM)
    means = []
    for length in (0.1, 0.5, 3.0):
        fits = []
        for seed in range(60):
            xy = scattered(25, seed)
            covariance = np.exp(-distances(xy, xy) / (length * DISK.radius_m))
            field = np.linalg.cholesky(covariance) @ np.random.default_rng(seed).standard_normal(25)
            fits.append(fitted_length_over_radius(xy, 0.02 + 0.008 * field, DISK.radius_m, assumed))
        means.append(np.mean(fits))
    assert means[0] < 0.4 < means[1] < means[2]


def test_the_spread_is_weighed_between_prior_and_readings_by_hand():
    """Two far points 0 and 40 mm: S = 800, nugget 16, rho 0: (4 * 64 + 800 - 16)/(4 + 1) = 208 mm2."""
    sd = fitted_sd_m(np.array([[0.0, 0.0], [1e4, 0.0]]), np.array([0.0, 40 * MM]), 0.5, MapAssumptions())
    assert sd / MM == pytest.approx(math.sqrt(208), rel=1e-12)


def test_readings_all_at_one_place_do_not_move_the_spread_by_their_distance():
    """rho = 1: only the prior is in the denominator; by hand (4 * 64 + 0)/4 for equal readings."""
    xy = np.tile([[0.1, 0.1]], (5, 1))
    assert fitted_sd_m(xy, np.full(5, 0.01), 0.5, MapAssumptions()) / MM == pytest.approx(8.0, rel=1e-12)


@settings(deadline=None, max_examples=40)
@given(st.floats(-0.05, 0.1), st.floats(1e-4, 0.05), st.floats(0, 0.1))
def test_moments_and_chances_of_the_cut_off_field_agree_with_quadrature(mean, sd, limit):
    """General library: adaptive quadrature of the chance to be over t, and its normal distribution."""
    integrate, special = library("scipy.integrate"), library("scipy.special")
    m, s = np.array([mean]), np.array([sd])
    steps = {"points": [max(mean, 0)], "limit": 200}
    top = max(mean, 0) + 12 * sd
    first = integrate.quad(lambda t: special.ndtr((mean - t) / sd), 0, top, **steps)[0]
    second = integrate.quad(lambda t: 2 * t * special.ndtr((mean - t) / sd), 0, top, **steps)[0]
    got_mean, got_sd = rectified_moments(m, s)
    assert got_mean[0] == pytest.approx(first, rel=1e-6, abs=1e-10)
    assert got_sd[0] ** 2 == pytest.approx(second - first**2, rel=1e-5, abs=1e-10)
    exact = special.ndtr((limit - mean) / sd)
    assert chance_within(m, s, limit, False)[0] == pytest.approx(exact, rel=1e-12, abs=1e-300)


def test_a_certain_place_is_within_or_not():
    mean, sd = np.array([0.01, 0.02, 0.0]), np.zeros(3)
    assert chance_within(mean, sd, 0.01, False).tolist() == [1.0, 0.0, 1.0]
    assert rectified_moments(mean, sd)[0].tolist() == [0.01, 0.02, 0.0]
    assert rectified_moments(mean, sd)[1].tolist() == [0.0, 0.0, 0.0]


def test_nothing_is_less_than_no_sediment():
    assert chance_within(np.array([-1.0]), np.array([0.1]), 0.0, True)[0] == 0.0
    assert chance_within(np.array([0.0]), np.array([0.1]), 0.0, False)[0] == pytest.approx(0.5)


def test_simulated_maps_have_the_mean_and_the_band_of_the_map():
    """2000 maps: means to 5 standard errors; 90 % of the thicknesses within the band, to 1 %."""
    got = sediment_map(Soundings(DISK, ring(8, 0.8), [k * 4 * MM for k in range(9)]))
    maps = simulate(got, Draws(2000, 11))
    assert maps.thickness_m.shape == (2000, 400)
    assert (np.abs(maps.thickness_m.mean(axis=0) - got.mean_m) <= 5 * got.sd_m / math.sqrt(2000)).all()
    assert maps.thickness_m.std(axis=0) == pytest.approx(got.sd_m, rel=0.1)
    inside = (maps.thickness_m <= got.high_m) & (maps.thickness_m >= got.low_m)
    assert (maps.thickness_m <= got.high_m).mean() == pytest.approx(0.95, abs=0.01)
    assert inside.mean() >= 0.89


def test_the_same_draws_give_the_same_maps():
    got = sediment_map(Soundings(DISK, ring(4, 0.8), [5 * MM] * 5))
    one, two, other = (simulate(got, Draws(9, seed)).thickness_m for seed in (3, 3, 4))
    assert np.array_equal(one, two)
    assert not np.array_equal(one, other)


def test_shares_and_largest_of_simulated_maps_are_those_of_their_cells():
    maps = simulate(sediment_map(Soundings(DISK, ring(4, 0.8), [10 * MM] * 5)), Draws(20, 3))
    by_hand = [sum(t <= 0.012 for t in row) / 400 for row in maps.thickness_m.tolist()]
    assert maps.share_within(0.012, False) == pytest.approx(by_hand, abs=1e-12)
    assert maps.largest_m().tolist() == [max(row) for row in maps.thickness_m.tolist()]
    assert (maps.share_within(0.0, True) == 0).all()


def test_readings_come_as_fractions_or_floats():
    exact = Soundings(DISK, ring(2, 0.5), [read_si("1/2", "in"), Fraction(1, 100), 0.0])
    assert exact.known[1].tolist() == [0.0127, 0.01, 0.0]
    assert exact.xy_m.flags.writeable is False


@pytest.mark.parametrize(
    "call",
    [
        lambda: Soundings(DISK, np.zeros((0, 2)), []),
        lambda: Soundings(DISK, np.zeros((2, 2)), [0.01]),
        lambda: Soundings(DISK, np.array([[0.8, 0.0]]), [0.01]),
        lambda: Soundings(DISK, np.array([[math.nan, 0.0]]), [0.01]),
        lambda: Soundings(DISK, np.zeros((1, 2)), [-0.001]),
        lambda: Soundings(DISK, np.zeros((1, 2)), [math.nan]),
        lambda: Draws(0, 1),
        lambda: Draws(10, -1),
        lambda: MapAssumptions(length_over_radius=0.0),
        lambda: MapAssumptions(noise_sd_m=-0.001),
        lambda: MapAssumptions(prior_sd_m=0.0),
        lambda: MapAssumptions(prior_readings=0.0),
    ],
)
def test_what_cannot_be_is_refused(call):
    with pytest.raises(OutOfRange):
        call()


@pytest.mark.parametrize("noise_sd_m", [0.0, 4 * MM])
@pytest.mark.parametrize("length", [None, 0.05, 10.0])
def test_the_outermost_readings_at_crowded_places_still_give_a_finite_map(noise_sd_m, length):
    xy = np.concatenate([np.tile([[0.1, 0.1]], (90, 1)), scattered(10, 4)])
    crowded = Soundings(DISK, xy, [100.0] + [0.0] * 99)
    got = sediment_map(crowded, MapAssumptions(length_over_radius=length, noise_sd_m=noise_sd_m))
    for facts in (got.mean_m, got.sd_m, simulate(got, Draws(4, 1)).thickness_m):
        assert np.isfinite(facts).all()
        assert (facts >= 0).all()


def test_the_grid_of_the_map_is_the_grid_of_the_base():
    got = sediment_map(Soundings(DISK, ring(4, 0.8), [5 * MM] * 5))
    assert np.array_equal(got.grid.xy_m, disk_grid(DISK).xy_m)
