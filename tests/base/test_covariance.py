"""Kriging and conditional simulation: checks by id, the plain kriging system, a general library."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.base.covariance import FieldModel, condition, draw_fields
from fieldapp.base.grid import distances
from fieldapp.base.rectified import chance_within
from fieldapp.units import OutOfRange
from tests.base.libraries import library

CHECKS = {
    c["id"]: c for c in json.loads((Path(__file__).parent / "map_checks.json").read_text(encoding="utf-8"))
}
MM = 1e-3


def scattered(n, seed, radius=1.0):
    rng = np.random.default_rng(seed)
    r, angle = radius * np.sqrt(rng.random(n)), rng.random(n) * 2 * math.pi
    return np.stack([r * np.cos(angle), r * np.sin(angle)], axis=1), rng.random(n) * 0.03


def known_mean_field(check):
    """G11 and G12: the nugget is a share of the whole variance, the field has the rest."""
    i = check["inputs"]
    variance = (i["sd_mm"] * MM) ** 2
    share = i["nugget_share_of_variance"]
    model = FieldModel(
        math.sqrt((1 - share) * variance), i["correlation_length_over_R"], share * variance, i["mean_mm"] * MM
    )
    node = np.linspace(-1, 1, 25)
    grid = np.stack([part.ravel() for part in np.meshgrid(node, node)], axis=1)
    grid = grid[np.hypot(grid[:, 0], grid[:, 1]) <= 1]
    return condition(np.array(i["points_over_R"]), np.array(i["thickness_mm"]) * MM, grid, model)


def test_half_way_between_two_points_the_estimate_is_their_mean():
    """G6: symmetry."""
    i = CHECKS["G6"]["inputs"]
    model = FieldModel(8.0 * MM, i["correlation_length_over_R"], 0.0)
    field = condition(
        np.array(i["points_over_R"]), np.array(i["values"]) * MM, np.array([i["at_over_R"]]), model
    )
    assert field.mean_m[0] / MM == pytest.approx(CHECKS["G6"]["expected"]["estimate"], rel=1e-9)


def test_the_expected_share_matches_the_check():
    """G11: closed form; 20 000 simulations agree to 0.001."""
    check = CHECKS["G11"]
    field = known_mean_field(check)
    limit = check["inputs"]["limit_mm"] * MM
    within = chance_within(field.mean_m, np.sqrt(field.variance_m2), limit, False)
    assert within.mean() == pytest.approx(
        check["expected"]["expected_fraction"], rel=check["tolerance"]["rel"]
    )


def test_simulated_fields_match_the_check():
    """G12: simulation by an independent program."""
    check = CHECKS["G12"]
    fields = draw_fields(known_mean_field(check), check["inputs"]["simulations"], seed=12)
    share = (fields <= check["inputs"]["limit_mm"] * MM).mean(axis=1)
    expected, within = check["expected"], check["tolerance"]["abs"]
    for percent in (5, 50, 95):
        got = np.quantile(share, percent / 100)
        assert got == pytest.approx(expected[f"fraction_{percent}_percent"], abs=within)
    assert (share >= 0.5).mean() == pytest.approx(expected["probability_half_or_more"], abs=within)


@pytest.mark.parametrize("nugget", [0.0, (4 * MM) ** 2])
@pytest.mark.parametrize("n", [1, 2, 5, 25])
def test_mean_and_variance_solve_the_kriging_system_with_its_lagrange_multiplier(n, nugget):
    """Ordinary kriging as textbooks write it: [K 1; 1' 0] [w; u] = [k; 1], variance s^2 - w.k - u."""
    xy, values = scattered(n, seed=n)
    at, _ = scattered(40, seed=99)
    sd, length = 8 * MM, 0.5
    system = np.zeros((n + 1, n + 1))
    system[:n, :n] = sd**2 * np.exp(-distances(xy, xy) / length) + nugget * np.eye(n)
    system[n, :n] = system[:n, n] = sd**2  # scaled so that the system is well conditioned
    right = np.concatenate([sd**2 * np.exp(-distances(xy, at) / length), np.full((1, 40), sd**2)])
    solved = np.linalg.solve(system, right)
    field = condition(xy, values, at, FieldModel(sd, length, nugget))
    assert field.mean_m == pytest.approx(solved[:n].T @ values, rel=1e-6, abs=1e-9)
    variance = sd**2 - (solved * right).sum(axis=0)
    assert field.variance_m2 == pytest.approx(variance, rel=1e-6, abs=1e-6 * sd**2)


@pytest.mark.parametrize("n", [3, 9, 25])
def test_known_mean_agrees_with_a_general_gaussian_process(n):
    """scikit-learn: Matern 1/2 is exp(-h/l); the nugget is its alpha."""
    process, kernels = gaussian_process()
    xy, values = scattered(n, seed=n)
    at, _ = scattered(100, seed=7)
    kernel = kernels.ConstantKernel(64.0) * kernels.Matern(0.5, nu=0.5)
    fitted = process.GaussianProcessRegressor(kernel, alpha=16.0, optimizer=None).fit(xy, values / MM - 13)
    mean, covariance = fitted.predict(at, return_cov=True)
    field = condition(xy, values, at, FieldModel(8 * MM, 0.5, (4 * MM) ** 2, 13 * MM))
    assert field.mean_m / MM == pytest.approx(mean + 13, rel=1e-6)
    assert field.covariance_m2 / MM**2 == pytest.approx(covariance, rel=1e-6, abs=1e-6)
    assert field.variance_m2 / MM**2 == pytest.approx(np.diag(covariance), rel=1e-6)


def test_unknown_mean_agrees_with_a_general_gaussian_process_of_a_very_wide_mean():
    """A constant of variance 1e9 mm2 under the field leaves the mean open to 1e-8."""
    process, kernels = gaussian_process()
    xy, values = scattered(9, seed=4)
    at, _ = scattered(100, seed=8)
    kernel = kernels.ConstantKernel(64.0) * kernels.Matern(0.5, nu=0.5) + kernels.ConstantKernel(1e9)
    fitted = process.GaussianProcessRegressor(kernel, alpha=16.0, optimizer=None).fit(xy, values / MM)
    mean, covariance = fitted.predict(at, return_cov=True)
    field = condition(xy, values, at, FieldModel(8 * MM, 0.5, (4 * MM) ** 2))
    assert field.mean_m / MM == pytest.approx(mean, rel=1e-6)
    assert field.variance_m2 / MM**2 == pytest.approx(np.diag(covariance), rel=1e-6)


def gaussian_process():
    library("sklearn")
    return library("sklearn.gaussian_process"), library("sklearn.gaussian_process.kernels")


@given(st.integers(1, 25), st.integers(0, 1000))
def test_without_a_nugget_the_field_reproduces_the_readings(n, seed):
    xy, values = scattered(n, seed)
    model = FieldModel(8 * MM, 0.5, 0.0)
    field = condition(xy, values, xy, model)
    assert field.mean_m == pytest.approx(values, abs=1e-7)
    assert np.sqrt(field.variance_m2).max() < 1e-5 * model.sd_m * 5
    assert draw_fields(field, 3, seed) == pytest.approx(np.tile(values, (3, 1)), abs=2e-6)


@given(st.integers(2, 25), st.integers(0, 1000), st.floats(0, 2 * math.pi))
def test_turning_points_and_places_together_changes_nothing(n, seed, angle):
    xy, values = scattered(n, seed)
    at, _ = scattered(10, seed + 1)
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    model = FieldModel(8 * MM, 0.5, (4 * MM) ** 2)
    before, after = condition(xy, values, at, model), condition(xy @ turn.T, values, at @ turn.T, model)
    assert after.mean_m == pytest.approx(before.mean_m, abs=1e-12)
    assert after.variance_m2 == pytest.approx(before.variance_m2, rel=1e-9)


@given(st.integers(2, 25), st.integers(0, 1000))
def test_one_more_reading_never_raises_the_variance(n, seed):
    xy, values = scattered(n, seed)
    at, _ = scattered(30, seed + 1)
    model = FieldModel(8 * MM, 0.5, (4 * MM) ** 2)
    fewer, more = condition(xy[:-1], values[:-1], at, model), condition(xy, values, at, model)
    assert (more.variance_m2 <= fewer.variance_m2 * (1 + 1e-9)).all()


def test_two_readings_at_one_place_count_as_their_mean_without_a_nugget():
    """Symmetry; to a tenth of a micrometre, because the system is all but singular."""
    xy = np.array([[0.1, 0.2], [0.1, 0.2], [-0.5, 0.0]])
    field = condition(xy, np.array([10.0, 20.0, 5.0]) * MM, xy[:1], FieldModel(8 * MM, 0.5, 0.0))
    assert field.mean_m[0] / MM == pytest.approx(15.0, abs=1e-4)


def test_far_from_every_reading_only_the_prior_is_left():
    """Closed form: with the mean given, mean and variance go back to those of the field."""
    xy, values = scattered(5, seed=1)
    field = condition(xy, values, np.array([[1e4, 0.0]]), FieldModel(8 * MM, 0.5, 0.0, 13 * MM))
    assert field.mean_m[0] == pytest.approx(13 * MM, rel=1e-12)
    assert field.variance_m2[0] == pytest.approx((8 * MM) ** 2, rel=1e-12)


def test_simulated_fields_have_the_posterior_mean_and_covariance():
    """20 000 simulations: mean to 5 standard errors, covariance to 5 % of the variance."""
    xy, values = scattered(5, seed=2)
    at, _ = scattered(12, seed=3)
    field = condition(xy, values, at, FieldModel(8 * MM, 0.5, (4 * MM) ** 2))
    fields = draw_fields(field, 20_000, seed=5)
    sd = np.sqrt(field.variance_m2)
    assert (np.abs(fields.mean(axis=0) - field.mean_m) <= 5 * sd / math.sqrt(20_000)).all()
    gap = np.abs(np.cov(fields.T) - field.covariance_m2) / np.outer(sd, sd)
    assert gap.max() < 0.05


@pytest.mark.parametrize("simulations", [1, 2, 7])
def test_fields_come_in_pairs_about_the_mean_of_any_number(simulations):
    xy, values = scattered(5, seed=2)
    field = condition(xy, values, xy + 0.1, FieldModel(8 * MM, 0.5, (4 * MM) ** 2))
    fields = draw_fields(field, simulations, seed=1)
    assert fields.shape == (simulations, 5)
    half = (simulations + 1) // 2
    pairs = (fields[: simulations - half] + fields[half:]) / 2
    assert pairs == pytest.approx(np.tile(field.mean_m, (simulations - half, 1)), abs=1e-15)


def test_the_seed_alone_decides_what_is_drawn():
    xy, values = scattered(5, seed=2)
    field = condition(xy, values, xy + 0.1, FieldModel(8 * MM, 0.5, (4 * MM) ** 2))
    assert np.array_equal(draw_fields(field, 7, seed=1), draw_fields(field, 7, seed=1))
    assert not np.array_equal(draw_fields(field, 7, seed=1), draw_fields(field, 7, seed=2))


PLACES = np.zeros((1, 2))


@pytest.mark.parametrize(
    "call",
    [
        lambda: FieldModel(0.0, 0.5, 0.0),
        lambda: FieldModel(0.008, 0.0, 0.0),
        lambda: FieldModel(0.008, 0.5, -1e-9),
        lambda: FieldModel(0.008, 0.5, 0.0, math.nan),
        lambda: condition(np.zeros((0, 2)), np.zeros(0), PLACES, FieldModel(0.008, 0.5, 0.0)),
        lambda: condition(np.zeros((2, 2)), np.zeros(1), PLACES, FieldModel(0.008, 0.5, 0.0)),
        lambda: condition(np.zeros((1, 2)), np.array([math.nan]), PLACES, FieldModel(0.008, 0.5, 0.0)),
        lambda: condition(np.zeros((1, 2)), np.zeros(1), np.zeros(2), FieldModel(0.008, 0.5, 0.0)),
        lambda: draw_fields(condition(PLACES, np.ones(1), PLACES, FieldModel(0.008, 0.5, 1e-6)), 0, 1),
        lambda: draw_fields(condition(PLACES, np.ones(1), PLACES, FieldModel(0.008, 0.5, 1e-6)), 1, -1),
    ],
)
def test_what_cannot_be_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
