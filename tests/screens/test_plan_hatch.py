"""Classes of thickness told without colour: lines inside their cells, denser for thicker."""

from __future__ import annotations

from math import dist

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, MultiPoint

from fieldapp.ui.widgets.plan_cells import HATCHES
from fieldapp.ui.widgets.plan_geometry import hatch

SQUARE = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))
spot = st.tuples(st.floats(-50, 50), st.floats(-50, 50))


def test_level_lines_of_a_square_are_as_long_as_it_and_evenly_apart():
    lines = hatch(SQUARE, 10, 0)
    # by hand: every 10 from edge to edge; those along an edge are crossed at its corners
    assert sorted(a[1] for a, _ in lines) == pytest.approx([0, 10, 20, 30, 40])
    assert [dist(*each) for each in lines] == pytest.approx([40] * len(lines))


@given(st.lists(spot, min_size=3, max_size=8, unique=True), st.sampled_from([0, 30, 45, -45, 90]))
def test_every_line_lies_inside_its_outline(spots, angle):
    hull = MultiPoint(spots).convex_hull
    if hull.geom_type != "Polygon" or hull.area < 1:
        return
    outline = tuple(hull.exterior.coords)[:-1]
    for line in hatch(outline, 7, angle):
        assert hull.buffer(1e-6).covers(LineString(line))


def test_the_thicker_the_class_the_more_lines_it_has():
    drawn = [
        sum(dist(*line) for angle in angles for line in hatch(SQUARE, spacing * 2, angle))
        for spacing, angles in HATCHES
    ]
    assert drawn[0] == 0
    assert drawn == sorted(drawn)
    assert len({round(each) for each in drawn}) == len(drawn)


def test_nothing_has_no_lines():
    assert hatch((), 5, 45) == []
