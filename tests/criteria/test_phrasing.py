"""How quantities are said."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.criteria.phrasing import (
    Phrases,
    Quantity,
    as_read,
    at_least,
    at_most,
    both,
    clock,
    days,
    joined,
    longest_within,
    named,
    seconds,
    sentence,
    source_of,
    term,
    unended,
)
from fieldapp.record.acceptance import Parameter
from fieldapp.record.said import said
from fieldapp.record.words import UnitSystem
from fieldapp.ui.words.tongue import ENGLISH, choose, tr
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


@pytest.fixture
def spanish():
    choose("es")
    yield
    choose(ENGLISH)


def test_rows_and_days_are_said_as_they_were_written():
    assert (joined([]), joined(["a"]), joined(["a", "b", "c"], "; ")) == ("", "a", "a; b; c")
    assert (both([]), both(["a"]), both(["a", "b", "c"])) == ("", "a", "a and b and c")
    assert (as_read(reading("2 day")), as_read(reading("4 h")), days(Fraction(129_600))) == (
        "2 day",
        "4 h",
        "1.5 day",
    )


@pytest.mark.usefixtures("spanish")
def test_what_is_said_is_said_in_another_language_to_its_capital_and_its_last_point():
    whole = said("{requirement} was not measured.", requirement=term("plumbness"))
    assert sentence(whole) == "Plumbness was not measured."
    assert tr(sentence(whole)) == "Verticalidad: sin medir."
    assert tr(unended(whole)) == "verticalidad: sin medir"
    assert tr(joined([term("density"), "R3", clock(at("09:05"))])) == "densidad, R3, 12 may 09:05"
    assert tr(both([at_least("7 in", strict=False), at_most("9 in", strict=True)])) == (
        "mínimo 7 in y menos de 9 in"
    )


@pytest.mark.usefixtures("spanish")
def test_a_source_keeps_its_document_and_says_its_confidence():
    other = Parameter("ph_max", "11", "pH", "guide", "memory: sure", edition="1999", clause="5.4")
    assert tr(source_of(other)) == "guide 1999 5.4 (de memoria: seguro)"


@given(
    limit_s=st.fractions(0, 10**9, max_denominator=10**7),
    span=st.timedeltas(timedelta(0), timedelta(days=20_000)),
)
def test_a_span_is_over_a_limit_as_exact_fractions_have_it(limit_s: Fraction, span: timedelta) -> None:
    assert (span > longest_within(limit_s)) == (seconds(span) > limit_s)


@pytest.mark.parametrize("step_us", [0, 1])
def test_a_span_as_long_as_the_limit_is_within_it(step_us: int) -> None:
    span = timedelta(hours=1, microseconds=step_us)
    assert (span > longest_within(Fraction(3600))) == bool(step_us)
    assert longest_within(Fraction(10**30)) == timedelta.max
