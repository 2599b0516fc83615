"""What is read as a number and what is refused."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.units import (
    FOOT_M,
    INCH_M,
    NotANumber,
    parse_feet_inch,
    parse_number,
    read_si,
    show,
    show_feet_inch,
    with_blank,
)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12", Fraction(12)),
        ("12.5", Fraction(25, 2)),
        ("12,5", Fraction(25, 2)),
        ("0,125", Fraction(1, 8)),
        ("3/4", Fraction(3, 4)),
        ("1 1/2", Fraction(3, 2)),
        ("1-1/2", Fraction(3, 2)),
        ("-1 1/2", Fraction(-3, 2)),
        (" +7 ", Fraction(7)),
    ],
)
def test_a_number_as_people_write_it_is_read_exactly(text, value):
    assert parse_number(text) == value


@pytest.mark.parametrize(
    "text",
    ["", " ", "nan", "inf", "1e3", "1.5.2", "1/0", "1 /2", "--1", "12 in", "1_000", "1" * 25, ".5", "5."],
)
def test_anything_else_is_refused(text):
    with pytest.raises(NotANumber):
        parse_number(text)


@pytest.mark.parametrize("text", ["1,234", "12,000", "-4,120", "1,234,567", "1,234.5"])
def test_a_thousands_comma_is_refused_and_never_read_as_a_decimal_comma(text):
    with pytest.raises(NotANumber):
        parse_number(text)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("61'", 732),
        ("61' 4\"", 736),
        ("61'4\"", 736),
        ("61' 4 1/2\"", Fraction(1473, 2)),
        ("61' 4-1/2\"", Fraction(1473, 2)),
        ("61' 1/2\"", Fraction(1465, 2)),
        ("61' 4.25\"", Fraction(2945, 4)),
        ("-0' 4\"", -4),
    ],
)
def test_feet_and_inches_are_read_exactly(text, inches):
    assert parse_feet_inch(text) == Fraction(inches) / 12


@pytest.mark.parametrize(
    ("text", "sixteenths"), [("61' 11/16\"", 11), ("61' 15/16\"", 15), ("61' 13/16\"", 13)]
)
def test_a_two_digit_fraction_of_an_inch_is_not_split_into_inches_and_a_fraction(text, sixteenths):
    assert parse_feet_inch(text) == 61 + Fraction(sixteenths, 16) / 12


@pytest.mark.parametrize(
    "text",
    [
        "",
        "61",
        '61"',
        "61' 12\"",
        "61' 12 1/2\"",
        "61' 4",
        "61' -4\"",
        "61' \"",
        "61' 4.5 1/2\"",
        "61' 1/0\"",
        "6.5' 1\"",
    ],
)
def test_feet_and_inches_of_another_form_are_refused(text):
    with pytest.raises(NotANumber):
        parse_feet_inch(text)


@given(st.integers(-(200 * 12 * 16), 200 * 12 * 16), st.sampled_from([8, 16]))
def test_feet_and_inches_shown_are_read_back_exactly(steps, parts):
    length_m = Fraction(steps, parts) * INCH_M
    assert read_si(show_feet_inch(length_m, parts), "ft-in") == length_m


@given(st.floats(-100, 100))
def test_feet_and_inches_shown_are_within_a_sixteenth_of_an_inch(length_m):
    assert abs(read_si(show(length_m, "ft-in"), "ft-in") - Fraction(length_m)) <= INCH_M / 16


def test_feet_and_inches_carry_into_the_next_foot():
    assert show_feet_inch(FOOT_M * 6 - INCH_M / 100) == "6' 0\""


def test_the_reading_of_the_check_list_is_shown_as_it_was_read():
    assert show(Fraction(187_071, 10_000), "ft-in") == "61' 4 1/2\""  # UNIT-33


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("1-1/2", "1 1/2"),
        ("1 1/2", "1 1/2"),
        ("-1/2", "-1/2"),
        ("-1-1/2", "-1 1/2"),
        ("61' 4-1/2\"", "61' 4 1/2\""),
    ],
)
def test_a_fraction_is_written_in_one_way_for_people(typed, shown):
    assert with_blank(typed) == shown
