"""Which point a finger means, and how much room a number has."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from fieldapp.ui.widgets.plan_geometry import nearest, room_at

SQUARE = ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0))
coordinate = st.floats(-1, 1)


def test_the_nearest_point_within_reach_wins():
    places = [("1", (0.0, 0.0)), ("2", (50.0, 0.0))]
    assert nearest(places, (20.0, 0.0), 40.0) == "1"
    assert nearest(places, (30.0, 0.0), 40.0) == "2"


def test_beyond_reach_nothing_is_meant():
    assert nearest([("1", (0.0, 0.0))], (0.0, 41.0), 40.0) is None
    assert nearest([], (0.0, 0.0), 40.0) is None


def test_a_square_of_two_has_room_one_in_its_middle():
    assert room_at(SQUARE, (0.0, 0.0)) == pytest.approx(1.0)


@given(coordinate, coordinate)
def test_room_is_the_distance_to_the_outline_as_shapely_sees_it(x, y):
    outline = ((-1.0, -0.8), (0.9, -1.0), (1.0, 0.7), (0.1, 1.0), (-0.7, 0.6))
    assert room_at(outline, (x, y)) == pytest.approx(
        Polygon(outline).exterior.distance(Point(x, y)), abs=1e-9
    )
