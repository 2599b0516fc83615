"""The base cut into equal cells for maps: rings and sectors whose areas are the same exactly.

Ring j of N reaches from (j - 1)/N to j/N of the radius and has 4 (2 j - 1) cells, so every cell is
1/(4 N^2) of the base.  Ten rings give 400 cells, close to square, the same in all four quadrants.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np

from fieldapp.base.disk import BaseDisk, FloatArray
from fieldapp.units import Range

MAP_RINGS: Final = 10
_RINGS: Final = Range("number of rings", "", 1, 30)


@dataclass(frozen=True, slots=True, eq=False)
class DiskGrid:
    """Cells of a base: centres of area [m], shape (n, 2), and weights, shape (n,), summing to 1.

    Ring by ring from the centre, clockwise from plan north in each ring.  The arrays are read-only.
    """

    disk: BaseDisk
    rings: int
    xy_m: FloatArray
    weight: FloatArray


def disk_grid(disk: BaseDisk, rings: int = MAP_RINGS) -> DiskGrid:
    """Equal cells of the base: 4 N^2 of them for N rings, 1 to 30, else OutOfRange.

    A cell is known by its centre of area, r = (2/3) (b^3 - a^3)/(b^2 - a^2) sin(h)/h for a sector
    from radius a to b with half angle h.  Geometry; mathematics.
    """
    _RINGS.check(rings)
    unit, weight = _unit_grid(rings)
    return DiskGrid(disk, rings, read_only(unit * disk.radius_m), weight)


def cell_corners(disk: BaseDisk, rings: int = MAP_RINGS) -> FloatArray:
    """Inner and outer radius [m] and first and last angle [deg, clockwise from north], shape (n, 4).

    For drawing; in the order of the cells of disk_grid.  ``rings`` 1 to 30, else OutOfRange.
    """
    _RINGS.check(rings)
    inner, first, width = _sectors(rings)
    step = disk.radius_m / rings
    corners = [inner * step, (inner + 1) * step, np.degrees(first), np.degrees(first + width)]
    return np.stack(corners, axis=1)


def distances(a_m: FloatArray, b_m: FloatArray) -> FloatArray:
    """Distances [m] between places, shapes (n, 2) and (m, 2) to (n, m)."""
    across = a_m[:, None, 0] - b_m[None, :, 0]
    along = a_m[:, None, 1] - b_m[None, :, 1]
    across *= across
    along *= along
    across += along
    gap: FloatArray = np.sqrt(across, out=across)
    return gap


def read_only(array: FloatArray) -> FloatArray:
    """The same array, closed for writing: facts are shared, not copied."""
    array.setflags(write=False)
    return array


def _sectors(rings: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Number of the ring less 1, first angle and angle width [rad] of every cell."""
    ring = np.arange(rings)
    cells = 4 * (2 * ring + 1)
    inner = np.repeat(ring, cells)
    place = np.concatenate([np.arange(n) for n in cells])
    width = 2 * math.pi / np.repeat(cells, cells)
    return inner.astype(np.float64), place * width, width


@cache
def _unit_grid(rings: int) -> tuple[FloatArray, FloatArray]:
    inner, first, width = _sectors(rings)
    a, b = inner / rings, (inner + 1) / rings
    r = 2 / 3 * (b**3 - a**3) / (b**2 - a**2) * np.sin(width / 2) / (width / 2)
    angle = first + width / 2
    xy = np.stack([r * np.sin(angle), r * np.cos(angle)], axis=1)
    return read_only(xy), read_only(np.full(len(xy), 1 / len(xy)))
