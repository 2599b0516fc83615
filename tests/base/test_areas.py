"""Nearest-point areas: closed forms, a general geometry library, and properties."""

import json
import math
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from fieldapp.base.areas import nearest_point_areas, nearest_point_cells
from fieldapp.base.layout import equal_area_ring_radius
from fieldapp.units import OutOfRange

CHECKS = json.loads((Path(__file__).parent / "checks.json").read_text(encoding="utf-8"))
RINGS = [c for c in CHECKS if c["id"].startswith("G1-")]
CHORDS = 4096
ORACLE_TOLERANCE = 2 * math.pi**3 / (3 * CHORDS**2)  # what 4096 chords cut off a whole unit disk: 1.2e-6


def ring(n, rho):
    angle = np.arange(n) * 2 * math.pi / n
    return np.vstack([[0.0, 0.0], rho * np.stack([np.sin(angle), np.cos(angle)], axis=1)])


def scattered(n, seed, radius=1.0):
    rng = np.random.default_rng(seed)
    r, angle = radius * np.sqrt(rng.random(n)), rng.random(n) * 2 * math.pi
    return np.stack([r * np.cos(angle), r * np.sin(angle)], axis=1)


def shapely_cells(xy, radius=1.0):
    """Clip a 4096-sided disk by the half-plane of every other point, one after the other."""
    angle = np.arange(CHORDS) * 2 * math.pi / CHORDS
    disk = shapely.Polygon(radius * np.stack([np.cos(angle), np.sin(angle)], axis=1))
    cells = []
    for i, p in enumerate(xy):
        cell = disk
        for j, q in enumerate(xy):
            if i != j:
                middle, away = (p + q) / 2, (p - q) / np.hypot(*(p - q))
                along = np.array([-away[1], away[0]])
                far = 10 * radius
                corners = [middle + far * along, middle - far * along]
                corners += [corners[1] + far * away, corners[0] + far * away]
                cell = cell.intersection(shapely.Polygon(corners))
        cells.append(cell)
    return cells


@pytest.mark.parametrize("check", RINGS, ids=[c["id"] for c in RINGS])
def test_centre_and_ring_match_the_closed_form(check):
    n, rho = check["inputs"]["ring_points"], check["inputs"]["ring_radius_over_R"]
    areas = nearest_point_areas(ring(n, rho), 1.0)
    expected = check["expected"]
    assert areas[0] == pytest.approx(expected["centre_area"], rel=1e-6)
    assert areas[1:] == pytest.approx([expected["ring_cell_area"]] * n, rel=1e-6)
    assert areas[0] / math.pi == pytest.approx(expected["centre_weight"], rel=1e-6)
    assert areas[1] / math.pi == pytest.approx(expected["ring_cell_weight"], rel=1e-6)


@pytest.mark.parametrize("n", [3, 4, 5, 6, 7, 8, 9, 12])
def test_the_equal_area_ring_gives_equal_areas(n):
    """G4, closed form."""
    areas = nearest_point_areas(ring(n, equal_area_ring_radius(n)), 1.0)
    assert areas == pytest.approx([math.pi / (n + 1)] * (n + 1), rel=1e-12)


@pytest.mark.parametrize("n", range(2, 26))
def test_scattered_points_match_the_voronoi_cells_of_a_general_library(n):
    xy = scattered(n, seed=n)
    disk = shapely.Point(0, 0).buffer(1.0, quad_segs=CHORDS // 4)
    cells = shapely.get_parts(shapely.voronoi_polygons(shapely.multipoints(xy), extend_to=disk))
    areas = nearest_point_areas(xy, 1.0)
    for point, area in zip(shapely.points(xy), areas, strict=True):
        (cell,) = [c for c in cells if c.intersects(point)]
        assert area == pytest.approx(cell.intersection(disk).area, abs=ORACLE_TOLERANCE)


AWKWARD = {
    "collinear": np.array([[-0.9, 0.0], [-0.2, 0.0], [0.1, 0.0], [0.3, 0.0], [0.95, 0.0]]),
    "collinear and tilted": np.outer([-0.7, -0.1, 0.4, 0.9], [0.6, 0.8]),
    "square, four cells in one corner": np.array([[0.5, 0.5], [-0.5, 0.5], [-0.5, -0.5], [0.5, -0.5]]),
    "near-duplicates 2 mm apart": np.array([[0.3, 0.2], [0.302, 0.2], [-0.5, 0.1], [0.0, -0.6]]),
    "at the wall": np.array([[0.0, 1.0], [1.0, 0.0], [0.6, -0.8], [-0.999999, 0.0]]),
    "crowded at the wall": np.array([[math.sin(a), math.cos(a)] for a in (0, 0.01, 0.02, 0.03, 0.04)])
    * 0.9999,
    "one-sided": np.array([[0.5, 0.1], [0.6, 0.0], [0.7, -0.1], [0.6, 0.2]]),
}


@pytest.mark.parametrize("name", AWKWARD)
def test_awkward_positions_match_half_planes_clipped_by_a_general_library(name):
    xy = AWKWARD[name]
    expected = [cell.area for cell in shapely_cells(xy)]
    assert nearest_point_areas(xy, 1.0) == pytest.approx(expected, abs=ORACLE_TOLERANCE)


@pytest.mark.parametrize(
    "xy", [[[1.0, 0.0], [5e-324, 1e-323], [0.5, 0.0]], [[1.0, 0.0], [0.75, 5e-324], [0.0, 0.0]]]
)
def test_lines_that_are_parallel_but_for_the_smallest_float_are_clipped_all_the_same(xy):
    """Found by search: slopes of 5e-324 once overflowed a division, or gave infinity times zero."""
    xy = np.array(xy)
    expected = [cell.area for cell in shapely_cells(xy)]
    assert nearest_point_areas(xy, 1.0) == pytest.approx(expected, abs=ORACLE_TOLERANCE)


def test_one_point_stands_for_the_whole_base():
    assert nearest_point_areas(np.array([[0.3, -0.2]]), 0.75) == pytest.approx([math.pi * 0.75**2], rel=1e-15)


def test_two_points_share_along_a_chord():
    """Circular segment beyond a chord at h: R^2 acos(h/R) - h (R^2 - h^2)^0.5."""
    areas = nearest_point_areas(np.array([[0.0, 0.0], [0.8, 0.0]]), 1.0)
    segment = math.acos(0.4) - 0.4 * math.sqrt(1 - 0.16)
    assert areas == pytest.approx([math.pi - segment, segment], rel=1e-14)


def test_points_within_a_millimetre_are_one_place_and_share_its_cell():
    apart = nearest_point_areas(np.array([[0.4, 0.0], [-0.4, 0.0]]), 1.0)
    shared = nearest_point_areas(np.array([[0.4, 0.0004], [-0.4, 0.0], [0.4, -0.0004], [0.4, 0.0]]), 1.0)
    assert shared == pytest.approx([apart[0] / 3, apart[1], apart[0] / 3, apart[0] / 3], rel=1e-9)


def test_a_ring_of_near_points_that_closes_on_another_is_still_one_place():
    angle = np.arange(16) * 2 * math.pi / 16
    crowd = 0.002 * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    areas = nearest_point_areas(np.vstack([[[0.0, 0.0]], crowd, [[0.5, 0.0]]]), 1.0)
    assert areas[:-1] == pytest.approx(areas[0])
    assert areas.sum() == pytest.approx(math.pi)


positions = st.lists(st.tuples(st.floats(0, 1), st.floats(0, 2 * math.pi)), min_size=1, max_size=12)


def placed(polar, turn=0.0):
    return np.array([[r * math.cos(a + turn), r * math.sin(a + turn)] for r, a in polar])


def far_from_the_millimetre(xy):
    gap = np.hypot(*(xy[:, None] - xy[None, :]).transpose(2, 0, 1))
    return not np.any(np.abs(gap - 0.001) < 1e-9)


@settings(deadline=None)
@given(positions, st.floats(0.2, 5))
def test_areas_are_never_negative_and_add_up_to_the_disk(polar, radius):
    areas = nearest_point_areas(radius * placed(polar), radius)
    assert (areas >= 0).all()
    assert areas.sum() == pytest.approx(math.pi * radius**2, rel=1e-9)


@settings(deadline=None)
@given(positions, st.floats(0, 2 * math.pi))
def test_turning_the_plan_leaves_the_areas(polar, turn):
    assume(far_from_the_millimetre(placed(polar)))
    turned = nearest_point_areas(placed(polar, turn), 1.0)
    assert turned == pytest.approx(nearest_point_areas(placed(polar), 1.0), abs=1e-9)


@settings(deadline=None)
@given(positions, st.randoms(use_true_random=False))
def test_the_order_of_the_points_does_not_matter(polar, shuffler):
    xy = placed(polar)
    order = list(range(len(xy)))
    shuffler.shuffle(order)
    areas = nearest_point_areas(xy, 1.0)
    assert nearest_point_areas(xy[order], 1.0) == pytest.approx(areas[order], abs=1e-9)


@settings(deadline=None)
@given(positions, st.tuples(st.floats(0, 1), st.floats(0, 2 * math.pi)))
def test_one_more_point_takes_area_and_gives_none(polar, another):
    xy = placed([*polar, another])
    gap = np.hypot(*(xy[:, None] - xy[None, :]).transpose(2, 0, 1)) + np.eye(len(xy))
    assume((gap > 0.0011).all())
    before, after = nearest_point_areas(xy[:-1], 1.0), nearest_point_areas(xy, 1.0)
    assert (after[:-1] <= before + 1e-9).all()


@pytest.mark.parametrize("n", [1, 2, 3, 7, 13, 25, 40])
def test_drawn_cells_cover_their_areas_hold_their_points_and_do_not_overlap(n):
    xy = scattered(n, seed=100 + n)
    cells = [shapely.Polygon(c) for c in nearest_point_cells(xy, 1.0, CHORDS)]
    assert [c.area for c in cells] == pytest.approx(nearest_point_areas(xy, 1.0), abs=ORACLE_TOLERANCE)
    for cell, point in zip(cells, xy, strict=True):
        assert cell.is_valid
        assert cell.buffer(1e-9).contains(shapely.Point(point))
    # by pairs: the union of all loses whole cells where edges lie within rounding of each other (GEOS 3.14.1)
    shared = sum(one.intersection(other).area for one, other in combinations(cells, 2))
    assert shared == pytest.approx(0.0, abs=ORACLE_TOLERANCE)
    assert sum(each.area for each in cells) == pytest.approx(math.pi, abs=2 * ORACLE_TOLERANCE)


def test_a_drawn_cell_runs_counter_clockwise_and_doubles_get_the_same():
    cells = nearest_point_cells(np.array([[0.5, 0.0], [-0.5, 0.0], [0.5, 0.0]]), 1.0, 36)
    assert shapely.LinearRing(cells[0]).is_ccw
    assert np.array_equal(cells[0], cells[2])


@pytest.mark.parametrize(
    ("xy", "radius"),
    [
        ([[0.0, 0.0], [0.0, 1.001]], 1.0),
        ([[math.nan, 0.0]], 1.0),
        ([[0.0, 0.0, 0.0]], 1.0),
        ([0.0, 0.0], 1.0),
        (np.empty((0, 2)), 1.0),
        (np.zeros((101, 2)), 1.0),
        ([[0.0, 0.0]], 0.0),
        ([[0.0, 0.0]], math.nan),
    ],
)
def test_points_that_are_not_on_the_base_are_refused(xy, radius):
    with pytest.raises(OutOfRange):
        nearest_point_areas(np.array(xy), radius)
    with pytest.raises(OutOfRange):
        nearest_point_cells(np.array(xy), radius, 36)


def test_the_refusal_names_the_point():
    with pytest.raises(OutOfRange, match=r"position of point 2 is \(0, 1\.5\) m.*radius 1 m"):
        nearest_point_areas(np.array([[0.0, 0.0], [0.0, 1.5]]), 1.0)
