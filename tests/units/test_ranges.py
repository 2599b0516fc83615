"""A range refuses what lies outside and says what it takes."""

import math
from fractions import Fraction

import pytest

from fieldapp.units import OutOfRange, Range

DIAMETER = Range("base diameter", "m", 0.0, 20.0, open_below=True)
DEPTH = Range("depth", "m", 0.0, 300.0)


def test_ends_are_inside_unless_left_out():
    DEPTH.check(0.0, 300, Fraction(300))
    DIAMETER.check(20.0)
    with pytest.raises(OutOfRange):
        DIAMETER.check(0.0)


@pytest.mark.parametrize("value", [-1e-12, 300.0001, math.inf, -math.inf, math.nan])
def test_what_lies_outside_or_is_no_number_is_refused(value):
    with pytest.raises(OutOfRange):
        DEPTH.check(1.0, value)


def test_the_message_names_quantity_value_and_range():
    with pytest.raises(OutOfRange) as caught:
        DIAMETER.check(Fraction(-3, 2))
    assert str(caught.value) == (
        "base diameter is -1.5 m, but it must be more than 0 and at most 20 m; check the reading and its unit"
    )
