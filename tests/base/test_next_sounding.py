"""The next sounding: the check by id, brute force, and the answers that end the search."""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from numpy.polynomial.hermite_e import hermegauss

from fieldapp.base.assured import AskedOfBase
from fieldapp.base.covariance import FieldModel, condition, draw_fields
from fieldapp.base.disk import BaseDisk
from fieldapp.base.field_fit import MapAssumptions
from fieldapp.base.next_sounding import (
    NextSounding,
    Settled,
    candidate_places,
    decision_spread,
    greatest_variance,
    limit_entropy,
    next_sounding,
)
from fieldapp.base.sediment_map import Draws, Soundings, sediment_map
from fieldapp.units import OutOfRange

CHECKS = {
    c["id"]: c for c in json.loads((Path(__file__).parent / "map_checks.json").read_text(encoding="utf-8"))
}
DISK = BaseDisk(2.0)
MM = 1e-3
HALF = AskedOfBase(limit_m=0.0127, strict=True, share_min=0.5)
DRAWS = Draws(200, 5)


def ring(n, rho):
    angle = np.arange(n) * 2 * math.pi / n
    return np.vstack([[0.0, 0.0], rho * np.stack([np.sin(angle), np.cos(angle)], axis=1)])


OPEN = Soundings(DISK, ring(4, 0.8), [10 * MM, 12 * MM, 15 * MM, 9 * MM, 18 * MM])


def test_the_greatest_variance_lies_on_the_rim_between_the_points():
    """G19: symmetry; one quadrant scanned."""
    check = CHECKS["G19"]
    radius, angle = np.meshgrid(np.linspace(0, 1, 41), np.radians(np.linspace(0, 90, 91)))
    places = np.stack([(radius * np.cos(angle)).ravel(), (radius * np.sin(angle)).ravel()], axis=1)
    model = FieldModel(8 * MM, check["inputs"]["correlation_length_over_R"], 0.0)
    best, variance = greatest_variance(np.array(check["inputs"]["points_over_R"]), places, model)
    x, y = places[best]
    assert math.hypot(x, y) == pytest.approx(check["expected"]["radius_over_R"], rel=1e-6)
    assert math.degrees(math.atan2(y, x)) == pytest.approx(check["expected"]["angle_deg"], rel=1e-6)
    assert variance > 0


@pytest.mark.parametrize("noise_sd_m", [1 * MM, 20 * MM])
def test_the_doubt_expected_after_a_reading_agrees_with_conditioning_and_simulating_anew(noise_sd_m):
    """Brute force with other seeds: each value of the reading is added as a sounding, 2000 fields drawn.

    Three soundings in one corner, so that a reading takes from 0.002 to 0.1 off P (1 - P) = 0.25.
    """
    corner = Soundings(DISK, np.array([[0.5, 0.5], [0.6, 0.4], [0.4, 0.6]]), [11 * MM, 12 * MM, 13 * MM])
    sediment = sediment_map(corner, MapAssumptions(length_over_radius=1.0, noise_sd_m=noise_sd_m))
    chance, after = decision_spread(sediment, HALF, Draws(3000, 1))
    assert chance == pytest.approx(0.5, abs=0.05)
    xy, values = corner.known
    nodes, weights = hermegauss(5)
    for place in (0, 20, 40, int(after.argmin())):
        at = candidate_places(DISK)[place : place + 1]
        told = sediment.field_at(at)
        spread = math.sqrt(told.variance_m2[0] + noise_sd_m**2)
        spreads = []
        for seed, node in enumerate(nodes):
            more = np.append(values, told.mean_m[0] + spread * node)
            field = condition(np.concatenate([xy, at]), more, sediment.grid.xy_m, sediment.model)
            p = ((draw_fields(field, 2000, 100 + seed) < HALF.limit_m).mean(axis=1) >= 0.5 - 1e-9).mean()
            spreads.append(p * (1 - p))
        assert after[place] == pytest.approx(np.average(spreads, weights=weights), abs=0.012)


def test_a_reading_never_adds_to_the_doubt_about_the_decision():
    chance, after = decision_spread(sediment_map(OPEN), HALF, DRAWS)
    assert after.shape == (65,)
    assert (after >= 0).all()
    assert (after <= chance * (1 - chance)).all()


def test_the_next_sounding_goes_where_nothing_was_sounded():
    """Eight points in the east half, on both sides of the limit, none in the west."""
    angle = np.radians(np.linspace(10, 170, 4))
    east = np.concatenate([r * np.stack([np.sin(angle), np.cos(angle)], axis=1) for r in (0.4, 0.85)])
    thickness = [8 * MM, 16 * MM, 10 * MM, 14 * MM, 12 * MM, 11 * MM, 17 * MM, 9 * MM]
    got = next_sounding(Soundings(DISK, east, thickness), HALF, Draws(500, 3))
    assert isinstance(got, NextSounding)
    assert got.reason == "decision"
    assert got.x_m < -0.2
    assert got.after < got.now == pytest.approx(got.chance * (1 - got.chance))
    assert math.hypot(got.x_m, got.y_m) == pytest.approx(got.r_m)
    assert (got.r_m * math.sin(math.radians(got.angle_deg))) == pytest.approx(got.x_m)


@pytest.mark.parametrize(("thickness", "holds"), [(1 * MM, True), (40 * MM, False)])
def test_a_clear_base_needs_no_more_soundings(thickness, holds):
    got = next_sounding(Soundings(DISK, ring(8, 0.8), [thickness] * 9), HALF, DRAWS)
    assert isinstance(got, Settled)
    assert got.holds is holds
    assert got.chance >= 0.95 or got.chance <= 0.05
    assert "cannot change" in got.why


def test_a_cap_can_settle_what_the_share_leaves_open():
    one_heap = Soundings(DISK, ring(8, 0.8), [12 * MM] * 8 + [80 * MM])
    assert isinstance(next_sounding(one_heap, AskedOfBase(0.0127, True, 0.5, 0.0381), DRAWS), Settled)


def test_with_sixty_coarse_soundings_one_more_tells_little_and_the_place_of_most_doubt_is_named():
    rng = np.random.default_rng(3)
    r, angle = np.sqrt(rng.random(60)), rng.random(60) * 2 * math.pi
    xy = np.stack([r * np.cos(angle), r * np.sin(angle)], axis=1)
    many = Soundings(DISK, xy, (0.03 + 0.01 * rng.random(60)).tolist())
    assumed = MapAssumptions(noise_sd_m=0.02)
    sediment = sediment_map(many, assumed)
    asked = AskedOfBase(float(np.median(sediment.field.mean_m)), True, 0.5)
    got = next_sounding(many, asked, DRAWS, assumed)
    assert isinstance(got, NextSounding)
    assert (got.reason, got.after) == ("entropy", None)
    assert got.now == pytest.approx(limit_entropy(sediment, asked, candidate_places(DISK)).max())
    assert 0.05 < got.chance < 0.95


def test_the_doubt_about_the_limit_is_greatest_where_the_median_meets_it():
    """Closed form: ln 2 at even chances, nothing far from the limit."""
    sediment = sediment_map(OPEN)
    at = np.array([[0.3, 0.1]])
    median = float(sediment.field_at(at).mean_m[0])
    assert limit_entropy(sediment, AskedOfBase(median, False, 0.5), at)[0] == pytest.approx(math.log(2))
    assert limit_entropy(sediment, AskedOfBase(1.0, False, 0.5), at)[0] < 1e-12


def test_when_nothing_is_asked_the_greatest_variance_decides():
    got = next_sounding(OPEN, None, DRAWS)
    model = FieldModel(8 * MM, 0.5, (4 * MM) ** 2)
    best, variance = greatest_variance(OPEN.xy_m, candidate_places(DISK), model)
    assert (got.reason, got.chance, got.now) == ("variance", None, pytest.approx(variance))
    assert (got.x_m, got.y_m) == pytest.approx(tuple(candidate_places(DISK)[best]))
    assert got.r_m > 0.8


def test_too_few_readings_for_a_map_still_get_a_next_place():
    one = next_sounding(Soundings(DISK, ring(4, 0.8), [5 * MM, None, None, None, None]), HALF, DRAWS)
    assert (one.reason, one.chance) == ("variance", None)
    assert one.r_m > 0.8
    none = next_sounding(Soundings(DISK, ring(4, 0.8), [None] * 5), HALF, DRAWS)
    assert (none.r_m, none.reason) == (0.0, "variance")


def test_the_same_seed_names_the_same_place():
    assert next_sounding(OPEN, HALF, DRAWS) == next_sounding(OPEN, HALF, DRAWS)


def test_nothing_is_less_than_no_sediment():
    got = next_sounding(OPEN, AskedOfBase(0.0, True, 0.1), DRAWS)
    assert isinstance(got, Settled)
    assert got.chance == 0.0


def test_no_reading_at_all_has_no_kriging_variance():
    with pytest.raises(OutOfRange):
        greatest_variance(np.zeros((0, 2)), np.zeros((1, 2)), FieldModel(8 * MM, 0.5, 0.0))
