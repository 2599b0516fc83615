"""Each unit check by its id; sources stand in checks.json beside the numbers."""

import json
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.units import INCH_M, UNITS, NotANumber, from_si, read_si, show, to_si, unit_named

CHECKS = {c["id"]: c for c in json.loads((Path(__file__).parent / "checks.json").read_text(encoding="utf-8"))}
SYMBOL = {
    "density_g_per_cm3": "g/cm3",
    "density_kg_per_m3": "kg/m3",
    "specific_gravity": "g/cm3",
    "unit_weight_pcf": "pcf",
    "mud_weight_lb_per_gal": "lb/gal",
    "length_in": "in",
    "length_mm": "mm",
    "length_m": "m",
    "volume_us_qt": "qt",
    "volume_ml": "mL",
    "pressure_ksf": "ksf",
    "pressure_psi": "psi",
    "pressure_kPa": "kPa",
    "force_kip": "kip",
    "force_kN": "kN",
    "temperature_degF": "degF",
    "temperature_degC": "degC",
    "rate_in_per_h": "in/h",
    "rate_mm_per_h": "mm/h",
}
GRAVITY = 9.80665


def si_of(key, number):
    """The SI value of a check's number; a gradient stands for the density of its fluid."""
    if key == "gradient_psi_per_ft":
        return to_si(number, "psi") * 1e6 / 0.3048 / GRAVITY
    if key == "as_read_ft_in":
        return read_si(number, "ft-in")
    if key == "rate_in_per_5_min":
        return to_si(number, "in") / to_si(5, "min")
    return to_si(number, SYMBOL[key])


def number_of(key, si):
    if key == "gradient_psi_per_ft":
        return from_si(si * GRAVITY * 0.3048 / 1e6, "psi")
    return from_si(si, SYMBOL[key])


@pytest.mark.parametrize("name", CHECKS)
def test_a_conversion_gives_the_checked_numbers(name):
    check = CHECKS[name]
    ((key, number),) = check["inputs"].items()
    si = si_of(key, number)
    assert check["expected"]
    for wanted, value in check["expected"].items():
        assert number_of(wanted, si) == pytest.approx(value, rel=check["tolerance"]["rel"])


@given(st.sampled_from(sorted(UNITS)), st.floats(-1e6, 1e6))
def test_a_number_comes_back_from_si_in_every_unit(symbol, number):
    assert from_si(to_si(number, symbol), symbol) == pytest.approx(number, rel=1e-12, abs=1e-9)


@given(st.sampled_from(sorted(set(UNITS) - {"ft-in"})), st.integers(-(10**7), 10**7), st.integers(0, 4))
def test_a_written_decimal_is_read_exactly_in_every_unit(symbol, digits, places):
    text = f"{digits / 10**places:.{places}f}"
    unit = unit_named(symbol)
    assert read_si(text, symbol) / unit.factor - unit.shift == Fraction(digits, 10**places)


def test_half_an_inch_read_is_exactly_the_limit_of_half_an_inch():
    assert read_si("1/2", "in") == read_si("0.5", "in") == read_si("12.7", "mm") == INCH_M / 2


def test_an_unknown_unit_names_the_known_ones():
    with pytest.raises(NotANumber, match=r"'furlong' is not known; known are m, cm"):
        to_si(1.0, "furlong")


@pytest.mark.parametrize(
    ("value", "symbol", "digits", "text"),
    [
        (Fraction(127, 10_000), "in", 2, "0.5 in"),
        (1097.2, "pcf", 1, "68.5 pcf"),  # 1097.2/16.018463 = 68.496
        (0.04, "%", 1, "4 %"),
        (18.326, "MN", 0, "18 MN"),
        (-0.00001, "m", 2, "0 m"),
        (9.0, "pH", 1, "9"),
        (1200.0, "kg/m3", 0, "1,200 kg/m3"),
        (300.0, "m", 0, "300 m"),
    ],
)
def test_a_value_is_shown_rounded_with_its_unit(value, symbol, digits, text):
    assert show(value, symbol, digits) == text
