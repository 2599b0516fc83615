"""How quantities are said."""

from __future__ import annotations

from fractions import Fraction

import pytest

from fieldapp.criteria.phrasing import Phrases, Quantity, at_least, at_most, clock, named, source_of
from fieldapp.record.acceptance import Parameter
from fieldapp.record.words import UnitSystem
from tests.support.journals import at, parameter, reading

US, SI = Phrases(UnitSystem.US), Phrases(UnitSystem.SI)


@pytest.mark.parametrize(
    ("quantity", "text", "us", "si"),
    [
        (Quantity.THICKNESS, "1/2 in", "1/2 in", "12.7 mm"),
        (Quantity.THICKNESS, "1 1/2 in", "1 1/2 in", "38.1 mm"),
        (Quantity.THICKNESS, "3 in", "3 in", "76.2 mm"),
        (Quantity.THICKNESS, "0 in", "0 in", "0 mm"),
        (Quantity.THICKNESS, "0.49 in", "0.49 in", "12.4 mm"),
        (Quantity.DEPTH, "61' 4 1/2\"", "61' 4 1/2\"", "18.71 m"),
        (Quantity.HEAD, "5 ft", "5 ft", "1.5 m"),
        (Quantity.DENSITY, "75 pcf", "75 pcf", "1.2 g/cm3"),
        (Quantity.DENSITY, "1.15 g/cm3", "71.8 pcf", "1.15 g/cm3"),
        (Quantity.FUNNEL, "45 s", "45 s/qt", "45 s"),
        (Quantity.SHARE, "45 %", "45 %", "45 %"),
        (Quantity.RISE, "12 in/h", "12 in/h", "304.8 mm/h"),
        (Quantity.TEMPERATURE, "40 degF", "40 degF", "4.4 degC"),
    ],
)
def test_quantities_in_both_systems(quantity, text, us, si):
    assert (US.say(quantity, reading(text).si), SI.say(quantity, reading(text).si)) == (us, si)


def test_negative_inches_keep_their_sign():
    assert US.say(Quantity.THICKNESS, -reading("1 1/4 in").si) == "-1 1/4 in"


def test_a_value_and_the_limit_it_misses_never_look_alike():
    half, nearly = Fraction(1, 2), Fraction(49_996, 100_000)
    assert US.apart(Quantity.SHARE, nearly, half) == ("49.996 %", "50 %")
    assert US.apart(Quantity.SHARE, half, half) == ("50 %", "50 %")


def test_limits_are_said_as_strict_as_they_are():
    assert (at_most("1/2 in", True), at_most("1/2 in", False)) == ("under 1/2 in", "at most 1/2 in")
    assert (at_least("50 %", True), at_least("50 %", False)) == ("over 50 %", "at least 50 %")


def test_sources_carry_their_confidence_once():
    one = parameter("sand_max", "4 %")
    other = Parameter("ph_max", "11", "pH", "guide", "memory: sure", edition="1999", clause="5.4")
    assert source_of(one, one, other, None) == "test contract (contract); guide 1999 5.4 (memory: sure)"


def test_names_and_moments():
    assert (named("point", []), named("point", ["4"]), named("point", ["4", "5"])) == (
        "",
        "point 4",
        "points 4, 5",
    )
    assert clock(at("09:05")) == "12 May 09:05"
