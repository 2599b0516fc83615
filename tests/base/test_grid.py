"""Equal cells of the base: areas and centres against quadrature and a general library."""

import math

import numpy as np
import pytest
import shapely

from fieldapp.base.disk import BaseDisk
from fieldapp.base.grid import cell_corners, disk_grid, distances
from fieldapp.units import OutOfRange

DISK = BaseDisk(1.8)


def test_ten_rings_give_four_hundred_cells_of_the_same_area():
    grid = disk_grid(DISK)
    corners = cell_corners(DISK)
    area = (corners[:, 1] ** 2 - corners[:, 0] ** 2) / 2 * np.radians(corners[:, 3] - corners[:, 2])
    assert grid.xy_m.shape == (400, 2)
    assert area == pytest.approx([DISK.area_m2 / 400] * 400, rel=1e-12)
    assert grid.weight.sum() == pytest.approx(1.0, rel=1e-14)


def test_a_cell_is_known_by_its_centre_of_area():
    """Centroids of finely cut polygons by a general library; 64 chords cut off less than 1e-4."""
    grid, corners = disk_grid(DISK, 3), cell_corners(DISK, 3)
    for place, (inner, outer, first, last) in zip(grid.xy_m, corners, strict=True):
        angle = np.radians(np.linspace(first, last, 65))
        arc = np.stack([np.sin(angle), np.cos(angle)], axis=1)
        middle = shapely.Polygon(np.concatenate([outer * arc, inner * arc[::-1]])).centroid
        assert place == pytest.approx((middle.x, middle.y), abs=1e-4 * DISK.radius_m)


def test_centres_of_area_carry_the_moments_of_the_disk():
    """First moments of a disk are 0; of the right half 4 R/(3 pi) from the middle (geometry)."""
    grid = disk_grid(DISK)
    assert grid.weight @ grid.xy_m == pytest.approx([0.0, 0.0], abs=1e-14)
    right = grid.xy_m[:, 0] > 0
    assert grid.xy_m[right, 0].mean() == pytest.approx(4 * DISK.radius_m / (3 * math.pi), rel=1e-12)


def test_a_quarter_turn_of_the_grid_is_the_same_grid():
    grid = disk_grid(DISK)
    turned = np.stack([-grid.xy_m[:, 1], grid.xy_m[:, 0]], axis=1)
    assert distances(turned, grid.xy_m).min(axis=1).max() < 1e-12


def test_distances_are_those_of_the_plane():
    a, b = np.array([[0.0, 0.0], [1.0, 2.0]]), np.array([[3.0, 4.0]])
    assert distances(a, b) == pytest.approx(np.array([[5.0], [math.hypot(2, 2)]]))


def test_the_cells_are_closed_for_writing():
    with pytest.raises(ValueError, match="read-only"):
        disk_grid(DISK).xy_m[0, 0] = 1.0


@pytest.mark.parametrize("rings", [0, 31])
def test_a_number_of_rings_out_of_range_is_refused(rings):
    with pytest.raises(OutOfRange):
        disk_grid(DISK, rings)
