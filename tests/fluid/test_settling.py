"""Settling velocities, hindered settling and the yield-stress hold: the checks by id, limits, refusals.

The source of each expected number stands beside it in settling_checks.json.
"""

import json
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.fluid.settling import (
    HOLD,
    HOLD_UPPER_CLAIM,
    Grain,
    Liquid,
    Shape,
    bearing_factor,
    cheng_m_per_s,
    ferguson_church_m_per_s,
    free_m_per_s,
    guo_m_per_s,
    hindered_exponent,
    hindered_m_per_s,
    largest_held_m,
    reynolds,
    solids_fraction_of,
    song_m_per_s,
    soulsby_m_per_s,
    stokes_m_per_s,
)
from fieldapp.units import OutOfRange

CHECKS = {c["id"]: c for c in json.loads((Path(__file__).parent / "settling_checks.json").read_text("utf-8"))}
SHAPES = {shape.value: shape for shape in Shape}
WATER = Liquid(1000.0, 0.001, 9.81)
LAWS = (ferguson_church_m_per_s, soulsby_m_per_s, song_m_per_s, guo_m_per_s, cheng_m_per_s)


def of(name):
    """Grain, liquid, inputs, expected and relative tolerance of a check."""
    check = CHECKS[name]
    inputs = check["inputs"]
    liquid = Liquid(
        inputs["fluid_density_kg_per_m3"], inputs.get("viscosity_Pa_s", 0.001), inputs["gravity_m_per_s2"]
    )
    grain = Grain(inputs.get("diameter_mm", 1.0) / 1000, inputs["solids_density_kg_per_m3"])
    return grain, liquid, inputs, check["expected"], check["tolerance"]["rel"]


def shape_of(inputs):
    return SHAPES[(inputs["C1"], inputs["C2"])]


def test_stokes_matches_the_check():
    grain, liquid, _, expected, rel = of("D1")
    assert stokes_m_per_s(grain, liquid) == pytest.approx(expected["velocity_mm_per_s"] / 1000, rel=rel)


@pytest.mark.parametrize("name", ["D2-0.1", "D2-0.25", "D2-0.5", "D2-1"])
def test_ferguson_and_church_matches_the_check(name):
    grain, liquid, inputs, expected, rel = of(name)
    velocity = ferguson_church_m_per_s(grain, liquid, shape_of(inputs))
    assert velocity == pytest.approx(expected["velocity_mm_per_s"] / 1000, rel=rel)
    assert velocity == ferguson_church_m_per_s(grain, liquid)


@pytest.mark.parametrize("name", ["D10-sphere", "D10-natural"])
def test_ferguson_and_church_matches_the_check_for_a_light_grain(name):
    grain, liquid, inputs, expected, rel = of(name)
    velocity = ferguson_church_m_per_s(grain, liquid, shape_of(inputs))
    assert velocity == pytest.approx(expected["velocity_m_per_s"], rel=rel)


def test_ferguson_and_church_tends_to_stokes_for_small_grains():
    """D3."""
    grain, liquid, inputs, expected, rel = of("D3")
    ratio = ferguson_church_m_per_s(grain, liquid, shape_of(inputs)) / stokes_m_per_s(grain, liquid)
    assert ratio == pytest.approx(expected["ratio_to_stokes"], rel=rel)


def test_ferguson_and_church_tends_to_a_constant_drag_for_large_grains():
    """D4, the limit (4 R g d/(3 C2))^0.5 by hand with R = 1.65."""
    grain, liquid, inputs, expected, rel = of("D4")
    limit = math.sqrt(4 * 1.65 * 9.81 * 10.0 / (3 * inputs["C2"]))
    ratio = ferguson_church_m_per_s(grain, liquid, shape_of(inputs)) / limit
    assert ratio == pytest.approx(expected["ratio_to_limit"], rel=rel)


@pytest.mark.parametrize("name", ["D5-0.1", "D5-0.2", "D5-0.5"])
def test_soulsby_matches_the_check(name):
    grain, liquid, _, expected, rel = of(name)
    assert soulsby_m_per_s(grain, liquid) == pytest.approx(expected["velocity_mm_per_s"] / 1000, rel=rel)


@pytest.mark.parametrize(
    ("law", "stokes_constant"),
    [
        (ferguson_church_m_per_s, 18.0),
        (soulsby_m_per_s, 2 * 10.36 / 1.049),
        (song_m_per_s, 38.1 ** (7 / 8)),
        (guo_m_per_s, 18.0),
        (cheng_m_per_s, 18.0),
    ],
)
def test_every_law_has_its_viscous_limit(law, stokes_constant):
    """By expanding each law for D* to 0: v = R g d^2/(C nu)."""
    grain = Grain(1e-6)
    wanted = 1.65 * 9.81 * 1e-12 / (stokes_constant * 1e-6)
    assert law(grain, WATER) == pytest.approx(wanted, rel=2e-3)


@pytest.mark.parametrize(
    ("law", "square"),
    [
        (soulsby_m_per_s, 1.049),
        (guo_m_per_s, 3.0),
        (cheng_m_per_s, 4 / (3 * 0.47)),
        (song_m_per_s, 0.93**-1.75),
    ],
)
def test_every_law_has_its_limit_for_coarse_grains(law, square):
    """By expanding each law for large D*: v^2 = k R g d (Cheng's drag also keeps its 0.022 term)."""
    velocity = law(Grain(1.0), WATER)
    assert velocity**2 == pytest.approx(square * 1.65 * 9.81 * 1.0, rel=0.05)


@given(st.floats(0.07e-3, 1.0e-3), st.floats(0.001, 0.04))
def test_the_laws_agree_on_sand_as_well_as_their_authors_do(diameter, viscosity):
    liquid = Liquid(1100.0, viscosity, 9.81)
    speeds = [law(Grain(diameter), liquid) for law in LAWS]
    assert max(speeds) / min(speeds) < 1.6


@given(st.floats(1e-6, 0.4e-3), st.floats(1.01, 5.0), st.floats(0.001, 0.1))
def test_a_larger_grain_falls_faster_and_a_thicker_fluid_slows_it(diameter, more, viscosity):
    thin, thick = Liquid(1050.0, viscosity), Liquid(1050.0, viscosity * more)
    for law in LAWS:
        assert law(Grain(diameter * more), thin) > law(Grain(diameter), thin)
        assert law(Grain(diameter), thick) < law(Grain(diameter), thin)


def test_a_free_velocity_from_a_hindered_one_matches_the_check():
    """D11."""
    inputs, expected = CHECKS["D11"]["inputs"], CHECKS["D11"]["expected"]
    free = free_m_per_s(
        inputs["hindered_velocity_um_per_s"] * 1e-6, inputs["solids_fraction"], inputs["exponent"]
    )
    assert free * 1e6 == pytest.approx(
        expected["free_velocity_um_per_s"], rel=CHECKS["D11"]["tolerance"]["rel"]
    )
    again = hindered_m_per_s(free, inputs["solids_fraction"], inputs["exponent"])
    assert again == pytest.approx(inputs["hindered_velocity_um_per_s"] * 1e-6, rel=1e-12)


def test_a_solids_fraction_from_a_velocity_ratio_matches_the_check():
    """D12."""
    check = CHECKS["D12"]
    fraction = solids_fraction_of(check["inputs"]["velocity_ratio"], check["inputs"]["exponent"])
    assert fraction == pytest.approx(check["expected"]["solids_fraction"], rel=check["tolerance"]["rel"])


def test_the_exponent_falls_with_the_reynolds_number_as_stated():
    """Mechanics survey: 4.65 under 0.2, 4.4 Re^-0.03 to 1, 4.4 Re^-0.1 to 500, 2.4 over (memory: fair)."""
    assert hindered_exponent(0.0115) == 4.65
    assert hindered_exponent(1.0) == pytest.approx(4.4)
    assert hindered_exponent(10.0) == pytest.approx(4.4 * 10**-0.1)
    assert hindered_exponent(501.0) == 2.4


@pytest.mark.parametrize("name", ["D14-1", "D14-5", "D14-10"])
def test_the_largest_grain_held_matches_the_check(name):
    grain, liquid, inputs, expected, rel = of(name)
    held = [
        largest_held_m(inputs["yield_stress_Pa"], liquid, grain.density_kg_per_m3, each)
        for each in inputs["Y"]
    ]
    assert [1000 * each for each in held] == pytest.approx(expected["diameter_mm"], rel=rel)


def test_the_cautious_hold_is_used_and_the_upper_claim_holds_four_times_as_large_a_grain():
    """Mechanics survey, suspension: 0.2 by default, 0.05 the upper claim; the diameter goes with 1/Y."""
    liquid = Liquid(1100.0, 0.0165)
    cautious = largest_held_m(5.0, liquid, 2650.0)
    assert cautious == largest_held_m(5.0, liquid, 2650.0, HOLD)
    assert largest_held_m(5.0, liquid, 2650.0, HOLD_UPPER_CLAIM) == pytest.approx(4 * cautious)
    assert largest_held_m(0.0, liquid, 2650.0) == 0


def test_the_hold_as_a_bearing_factor_matches_the_check():
    """D15."""
    check = CHECKS["D15"]
    factor = bearing_factor(check["inputs"]["Y_times_3"] / 3)
    assert factor == pytest.approx(check["expected"]["bearing_factor"], rel=check["tolerance"]["rel"])
    assert 10.98 < factor < 15.10


def test_stokes_is_refused_where_it_does_not_hold():
    with pytest.raises(OutOfRange, match="Reynolds number"):
        stokes_m_per_s(Grain(0.5e-3), WATER)


def test_a_grain_that_would_float_is_refused():
    for law in LAWS:
        with pytest.raises(OutOfRange, match="more than that of the fluid, 1100 kg/m3"):
            law(Grain(0.001, 1050.0), Liquid(1100.0, 0.01))


@pytest.mark.parametrize(
    "make",
    [
        lambda: Grain(0.0),
        lambda: Grain(math.nan),
        lambda: Grain(0.001, 900.0),
        lambda: Liquid(1.05, 0.001),
        lambda: Liquid(1050.0, 0.0),
        lambda: Liquid(1050.0, 16.5),
        lambda: hindered_m_per_s(0.01, 0.7, 4.65),
        lambda: solids_fraction_of(0.0, 4.5),
        lambda: largest_held_m(-1.0, WATER, 2650.0),
        lambda: largest_held_m(1.0, WATER, 2650.0, 0.0),
        lambda: reynolds(-0.1, Grain(0.001), WATER),
    ],
)
def test_what_cannot_be_is_refused(make):
    with pytest.raises(OutOfRange):
        make()
