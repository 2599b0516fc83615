"""Airlift: pressure, submergence, air needed, drawdown."""

import json
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.fluid.airlift import (
    Airlift,
    Enough,
    Losses,
    check_airlift,
    drawdown_rate_m_per_min,
    injection_pressure_kpa,
    least_void_fraction,
    minutes_to_least_head,
    riser_density_kg_per_m3,
    submergence_ratio,
)
from fieldapp.units import OutOfRange, from_si, to_si

CHECKS = {c["id"]: c for c in json.loads((Path(__file__).parent / "checks.json").read_text(encoding="utf-8"))}


def of(name):
    return CHECKS[name]["inputs"], CHECKS[name]["expected"]


def test_air_pressure_in_us_units_matches_the_check():
    """HEAD-3."""
    inputs, expected = of("HEAD-3")
    pressure = injection_pressure_kpa(
        to_si(inputs["fluid_pcf"], "pcf"), to_si(inputs["injection_depth_ft"], "ft")
    )
    assert from_si(pressure / 1000, "psi") == pytest.approx(expected["pressure_psi"], rel=1e-9)


def test_air_pressure_in_si_matches_the_check():
    """E1."""
    inputs, expected = of("E1")
    pressure = injection_pressure_kpa(
        inputs["fluid_density_kg_per_m3"], inputs["injection_depth_m"], inputs["gravity_m_per_s2"]
    )
    assert pressure == pytest.approx(expected["pressure_kPa"], rel=1e-9)


def test_submergence_matches_the_checks():
    """E2, HEAD-6."""
    inputs, expected = of("E2")
    ratio = submergence_ratio(inputs["injection_below_fluid_m"], inputs["lift_above_fluid_m"])
    assert ratio == pytest.approx(expected["submergence_ratio"], rel=1e-9)
    inputs, expected = of("HEAD-6")
    depths = (to_si(inputs[key], "ft") for key in ("injection_below_fluid_ft", "lift_above_fluid_ft"))
    assert submergence_ratio(*depths) == pytest.approx(expected["submergence_ratio"], rel=1e-9)


def test_least_air_without_and_with_solids_matches_the_checks():
    """E3, E4."""
    inputs, expected = of("E3")
    ratio = submergence_ratio(inputs["injection_below_fluid_m"], inputs["lift_above_fluid_m"])
    assert least_void_fraction(ratio, 1100.0, 1100.0) == pytest.approx(expected["void_fraction"], rel=1e-9)
    inputs, expected = of("E4")
    fluid = inputs["fluid_density_kg_per_m3"]
    riser = riser_density_kg_per_m3(
        fluid, inputs["solids_density_kg_per_m3"], inputs["solids_volume_fraction"]
    )
    assert least_void_fraction(ratio, fluid, riser) == pytest.approx(expected["void_fraction"], rel=1e-8)


DEEP = Airlift(1100.0, 30.0, 2.0, air_pressure_kpa=400.0, pump_out_m3_per_min=3.0)


def test_the_check_gives_every_figure_apart():
    """By hand, g 9.81: 323.73 kPa and 5 to 10 psi (34.47, 68.95 kPa); 3 m3/min over 1.5 m2."""
    check = check_airlift(DEEP, 1.5, gravity_m_per_s2=9.81)
    assert check.needed_low_kpa == pytest.approx(323.73 + 34.4738, abs=1e-3)
    assert check.needed_high_kpa == pytest.approx(323.73 + 68.9476, abs=1e-3)
    assert check.enough is Enough.YES
    assert check.submergence_ratio == pytest.approx(30 / 32)
    assert check.least_void_fraction == pytest.approx(2 / 32)
    assert check.drawdown_m_per_min == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("air", "enough"),
    [
        (300.0, Enough.NO),
        (365.0, Enough.PERHAPS),
        (None, Enough.UNKNOWN),
        (392.0, Enough.PERHAPS),
        (393.0, Enough.YES),
    ],
)
def test_between_the_two_losses_the_pressure_is_perhaps_enough_and_unread_it_is_not_shown(air, enough):
    airlift = Airlift(1100.0, 30.0, 2.0, air_pressure_kpa=air)
    assert check_airlift(airlift, 1.5, gravity_m_per_s2=9.81).enough is enough


def test_other_losses_and_solids_in_the_riser_are_taken():
    check = check_airlift(DEEP, 1.5, Losses(50.0, 100.0), 1255.0, 9.81)
    assert (check.needed_low_kpa, check.needed_high_kpa) == pytest.approx((373.73, 423.73))
    assert check.enough is Enough.PERHAPS
    assert check.least_void_fraction == pytest.approx(1 - 30 / 32 * 1100 / 1255)


def test_without_a_flow_the_drawdown_is_unknown():
    assert check_airlift(Airlift(1100.0, 30.0, 2.0), 1.5).drawdown_m_per_min is None


def test_minutes_until_the_least_head_when_make_up_stops():
    """By hand: 2.0 to 1.5 m at 2 m/min is a quarter of a minute."""
    assert minutes_to_least_head(2.0, 1.5, drawdown_rate_m_per_min(3.0, 1.5)) == pytest.approx(0.25)
    assert minutes_to_least_head(1.5, 1.5, 2.0) == 0.0
    assert minutes_to_least_head(1.0, 1.5, 0.0) == 0.0
    assert minutes_to_least_head(2.0, 1.5, 0.0) is None


@given(st.floats(1000, 1300), st.floats(1, 100), st.floats(0, 10), st.floats(0, 0.4))
def test_submergence_and_air_stay_shares_and_solids_ask_for_more_air(fluid, injection, lift, solids):
    ratio = submergence_ratio(injection, lift)
    clean = least_void_fraction(ratio, fluid, fluid)
    dirty = least_void_fraction(ratio, fluid, riser_density_kg_per_m3(fluid, 2650.0, solids))
    assert 0 < ratio <= 1
    assert 0 <= clean <= dirty + 1e-12 < 1


@pytest.mark.parametrize(
    ("function", "arguments"),
    [
        (injection_pressure_kpa, (66.0, 30.0)),
        (injection_pressure_kpa, (1100.0, 0.0)),
        (submergence_ratio, (25.0, -1.0)),
        (submergence_ratio, (math.nan, 1.0)),
        (least_void_fraction, (1.2, 1100.0, 1100.0)),
        (least_void_fraction, (0.9, 1100.0, 1000.0)),
        (riser_density_kg_per_m3, (1100.0, 2.65, 0.1)),
        (riser_density_kg_per_m3, (1100.0, 2650.0, 10.0)),
        (drawdown_rate_m_per_min, (-1.0, 1.5)),
        (drawdown_rate_m_per_min, (1.0, 0.0)),
        (minutes_to_least_head, (2.0, math.nan, 1.0)),
        (Airlift, (1100.0, 30.0, 2.0, -1.0)),
        (Airlift, (1100.0, 30.0, 2.0, None, math.nan)),
        (Losses, (100.0, 50.0)),
        (Losses, (-1.0, 50.0)),
    ],
)
def test_what_lies_outside_the_stated_range_is_refused(function, arguments):
    with pytest.raises(OutOfRange):
        function(*arguments)
