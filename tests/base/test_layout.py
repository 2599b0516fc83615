"""Proposed layouts and ring radii."""

import json
import math
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from fieldapp.base.disk import polar_to_xy_m
from fieldapp.base.layout import (
    LayoutRule,
    covering_radius,
    covering_ring_radius,
    equal_area_ring_radius,
    proposed_layout,
)
from fieldapp.units import OutOfRange, read_si, to_si

CHECKS = {c["id"]: c for c in json.loads((Path(__file__).parent / "checks.json").read_text(encoding="utf-8"))}


@pytest.mark.parametrize(
    ("feet", "points"), [("2", 5), ("4.99", 5), ("5", 9), ("6", 9), ("8", 9), ("8.01", 13), ("12", 13)]
)
def test_the_number_of_points_follows_the_diameter(feet, points):
    """Proposed default (judgment): under 5 ft 5, 5 to 8 ft 9, over 8 ft 13."""
    assert len(proposed_layout(read_si(feet, "ft"))) == points
    assert len(proposed_layout(to_si(float(feet), "ft"))) == points


def test_five_points_are_the_centre_and_four_quadrants_5_in_off_the_wall():
    points = proposed_layout(1.2)
    assert [(p.label, p.angle_deg) for p in points] == [
        ("C", 0),
        ("R1", 0),
        ("R2", 90),
        ("R3", 180),
        ("R4", 270),
    ]
    assert [p.r_m for p in points] == pytest.approx([0, 0.473, 0.473, 0.473, 0.473])


def test_thirteen_points_are_the_centre_four_half_way_and_eight_at_the_rim():
    points = proposed_layout(3.0)
    assert [p.label for p in points] == [
        "C",
        *(f"M{i}" for i in range(1, 5)),
        *(f"R{i}" for i in range(1, 9)),
    ]
    assert [p.r_m for p in points] == pytest.approx([0] + [0.6865] * 4 + [1.373] * 8)
    assert [p.angle_deg for p in points[5:]] == [0, 45, 90, 135, 180, 225, 270, 315]


def test_limits_and_edge_offset_are_arguments():
    rule = LayoutRule(nine_from_m=1.0, thirteen_over_m=1.1, edge_offset_m=0.1)
    points = proposed_layout(1.2, rule)
    assert len(points) == 13
    assert points[-1].r_m == pytest.approx(0.5)


@pytest.mark.parametrize("diameter", [0.6, 1.2, 1.524, 2.4384, 3.6])
def test_no_point_is_proposed_twice_or_nearer_to_the_wall_than_the_offset(diameter):
    points = proposed_layout(diameter)
    assert len({p.label for p in points}) == len(points)
    xy = np.array([polar_to_xy_m(p.r_m, p.angle_deg) for p in points])
    gap = np.hypot(*(xy[:, None] - xy[None, :]).transpose(2, 0, 1)) + 9 * np.eye(len(xy))
    assert gap.min() > 0.1
    assert np.hypot(*xy.T).max() <= diameter / 2 - 0.127 + 1e-12


@pytest.mark.parametrize(
    ("diameter", "rule"),
    [
        (0.0, LayoutRule()),
        (math.nan, LayoutRule()),
        (0.25, LayoutRule()),
        (1.2, LayoutRule(edge_offset_m=-0.1)),
        (1.2, LayoutRule(edge_offset_m=Fraction(6, 10))),
    ],
)
def test_a_layout_that_cannot_be_is_refused(diameter, rule):
    with pytest.raises(OutOfRange):
        proposed_layout(diameter, rule)


def test_the_equal_area_ring_radius_matches_the_check():
    """G4."""
    check = CHECKS["G4"]
    got = [equal_area_ring_radius(n) for n in check["inputs"]["ring_points"]]
    assert got == pytest.approx(check["expected"]["ring_radius_over_R"], rel=1e-7)


@pytest.mark.parametrize("name", ["G5-6", "G5-7", "G5-8"])
def test_the_covering_ring_matches_the_check(name):
    check = CHECKS[name]
    n = check["inputs"]["ring_points"]
    assert covering_radius(n) == pytest.approx(check["expected"]["covering_radius_over_R"], rel=1e-5)
    assert covering_ring_radius(n) == pytest.approx(check["expected"]["ring_radius_over_R"], rel=1e-5)


@pytest.mark.parametrize("n", [6, 7, 8, 9, 12])
def test_no_place_on_the_base_is_farther_from_a_point_than_the_covering_radius(n):
    """Looked up on a fine polar grid; another ring radius leaves a larger spot."""

    def farthest(rho):
        angle = np.arange(n) * 2 * math.pi / n
        sites = np.vstack([[0, 0], rho * np.stack([np.cos(angle), np.sin(angle)], axis=1)])
        r, a = np.meshgrid(np.linspace(0, 1, 201), np.linspace(0, 2 * math.pi / n, 101))
        places = np.stack([r * np.cos(a), r * np.sin(a)], axis=-1).reshape(-1, 1, 2)
        return np.hypot(*(places - sites).transpose(2, 0, 1)).min(axis=1).max()

    assert farthest(covering_ring_radius(n)) == pytest.approx(covering_radius(n), abs=5e-3)
    assert farthest(covering_ring_radius(n)) <= covering_radius(n) + 1e-12
    assert farthest(covering_ring_radius(n) * 1.05) > covering_radius(n)
    assert farthest(covering_ring_radius(n) * 0.95) > covering_radius(n)


@pytest.mark.parametrize("function", [equal_area_ring_radius, covering_radius, covering_ring_radius])
def test_a_ring_of_too_few_points_is_refused(function):
    with pytest.raises(OutOfRange, match="number of ring points"):
        function(2)
