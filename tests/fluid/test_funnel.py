"""Funnel: water check, cups kept apart, effective viscosity."""

import json
import math
from fractions import Fraction
from pathlib import Path

import pytest

from fieldapp.fluid.funnel import (
    Answer,
    Cup,
    FunnelLimits,
    FunnelReading,
    check_in_water,
    cup_of,
    effective_viscosity_pa_s,
    hold_against,
)
from fieldapp.units import OutOfRange, read_si, to_si

CHECKS = {c["id"]: c for c in json.loads((Path(__file__).parent / "checks.json").read_text(encoding="utf-8"))}
WORD = {"pass": Answer.MET, "fail": Answer.NOT_MET, "not comparable": Answer.NOT_COMPARABLE}


def cup(volume_ml):
    return cup_of(to_si(volume_ml, "mL"))


@pytest.mark.parametrize("name", ["FUN-1", "FUN-2"])
def test_the_water_check_matches_the_check(name):
    inputs, expected = CHECKS[name]["inputs"], CHECKS[name]["expected"]
    warm = to_si(inputs["temperature_degF"], "degF")
    reading = FunnelReading(inputs["reading_s"], cup(inputs["cup_volume_ml"]), warm)
    assert check_in_water(reading).answer is WORD[expected["result"]]


@pytest.mark.parametrize(
    ("seconds", "answer"),
    [(25.5, Answer.MET), (26.5, Answer.MET), (Fraction(2549, 100), Answer.NOT_MET), (26.51, Answer.NOT_MET)],
)
def test_half_a_second_on_either_side_is_allowed(seconds, answer):
    assert check_in_water(FunnelReading(seconds, Cup.QUART, 21.0)).answer is answer


@pytest.mark.parametrize("degrees", ["65", "70", "75"])
def test_65_to_75_degrees_fahrenheit_are_the_right_temperature(degrees):
    for warm in (read_si(degrees, "degF"), to_si(float(degrees), "degF")):
        assert check_in_water(FunnelReading(26, Cup.QUART, warm)).answer is Answer.MET


@pytest.mark.parametrize(
    ("reading", "time_right", "temperature_right"),
    [
        (FunnelReading(26, Cup.QUART, None), True, None),
        (FunnelReading(26, Cup.QUART, 10.0), True, False),
        (FunnelReading(29, Cup.QUART, 26.0), False, False),
        (FunnelReading(28, Cup.LITRE, 21.0), None, True),
    ],
)
def test_a_water_check_that_cannot_tell_is_not_shown(reading, time_right, temperature_right):
    check = check_in_water(reading)
    assert (check.answer, check.time_right, check.temperature_right) == (
        Answer.NOT_SHOWN,
        time_right,
        temperature_right,
    )


def test_a_reading_from_one_cup_is_never_held_against_a_limit_for_another():
    """FUN-6."""
    inputs, expected = CHECKS["FUN-6"]["inputs"], CHECKS["FUN-6"]["expected"]
    reading = FunnelReading(inputs["reading_s"], cup(inputs["cup_volume_ml"]))
    limits = FunnelLimits(inputs["limit_min_s"], None, cup(inputs["limit_cup_volume_ml"]))
    answer = hold_against(reading, limits)
    assert answer is WORD[expected["result"]]
    assert (answer is not Answer.NOT_COMPARABLE) is expected["comparable"]


@pytest.mark.parametrize(
    ("seconds", "least", "most", "answer"),
    [
        (28, 28, 45, Answer.MET),
        (45, 28, 45, Answer.MET),
        (46, 28, 45, Answer.NOT_MET),
        (27.9, 28, None, Answer.NOT_MET),
        (500, 28, None, Answer.MET),
        (30, None, None, Answer.NOT_SHOWN),
    ],
)
def test_limits_for_the_same_cup_are_inclusive(seconds, least, most, answer):
    reading, limits = FunnelReading(seconds, Cup.QUART), FunnelLimits(least, most, Cup.QUART)
    assert hold_against(reading, limits) is answer


def test_a_us_quart_is_the_946_ml_cup():
    assert cup_of(read_si("1", "qt")) is cup_of(read_si("946", "mL")) is Cup.QUART
    assert cup_of(read_si("1", "L")) is Cup.LITRE


def test_another_cup_is_refused():
    with pytest.raises(OutOfRange, match="cup volume is 1500 mL"):
        cup(1500)


@pytest.mark.parametrize("name", ["FUN-3", "FUN-4", "FUN-5", "D13"])
def test_effective_viscosity_matches_the_check(name):
    check = CHECKS[name]
    inputs, expected = check["inputs"], check["expected"]
    reading = FunnelReading(inputs["funnel_time_s"], cup(inputs["cup_volume_ml"]))
    viscosity = effective_viscosity_pa_s(to_si(inputs["density_g_per_cm3"], "g/cm3"), reading)
    assert 1000 * viscosity == pytest.approx(
        expected["effective_viscosity_cP"], rel=check["tolerance"]["rel"]
    )


@pytest.mark.parametrize(
    ("density", "reading"),
    [
        (1.05, FunnelReading(40, Cup.QUART)),
        (1050.0, FunnelReading(40, Cup.LITRE)),
        (1050.0, FunnelReading(25, Cup.QUART)),
        (1050.0, FunnelReading(151, Cup.QUART)),
    ],
)
def test_viscosity_outside_its_stated_validity_is_refused(density, reading):
    with pytest.raises(OutOfRange):
        effective_viscosity_pa_s(density, reading)


@pytest.mark.parametrize(("seconds", "warm"), [(0, None), (-1, None), (math.nan, None), (26, 200.0)])
def test_a_reading_that_cannot_be_is_refused(seconds, warm):
    with pytest.raises(OutOfRange):
        FunnelReading(seconds, Cup.QUART, warm)
