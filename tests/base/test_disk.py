"""Base disk: area and volume checks by id, and the plan convention."""

import json
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldapp.base.disk import BaseDisk, layer_volume_m3, polar_to_xy_m, xy_to_polar
from fieldapp.units import OutOfRange, from_si, to_si

CHECKS = json.loads((Path(__file__).parent / "checks.json").read_text(encoding="utf-8"))
AREAS = [c for c in CHECKS if c["topic"] == "area and volume"]
FT2_M2 = 0.3048**2


@pytest.mark.parametrize("check", AREAS, ids=[c["id"] for c in AREAS])
def test_area_layer_and_water_match_the_check(check):
    given_, expected, rel = check["inputs"], check["expected"], check["tolerance"]["rel"]
    us = "diameter_ft" in given_
    thin = ("in", "ft3") if us else ("mm", "L")
    disk = BaseDisk(to_si(given_["diameter_ft"], "ft") if us else given_["diameter_m"])
    layers = [disk.volume_m3(to_si(t, thin[0])) for t in given_[f"layer_thickness_{thin[0]}"]]
    water = disk.volume_m3(to_si(given_[f"water_depth_{thin[0]}"], thin[0]))
    area = disk.area_m2 / FT2_M2 if us else disk.area_m2
    assert area == pytest.approx(expected["area_ft2" if us else "area_m2"], rel=rel)
    assert [from_si(v, thin[1]) for v in layers] == pytest.approx(
        expected[f"layer_volume_{thin[1]}"], rel=rel
    )
    key, symbol = ("water_volume_us_gal", "gal") if us else ("water_volume_L", "L")
    assert from_si(water, symbol) == pytest.approx(expected[key], rel=rel)


def test_twice_the_diameter_is_four_times_the_base():
    """Common practice: base grows with the square of the diameter, 20 % more is 44 % more."""
    assert BaseDisk(2.4).area_m2 == pytest.approx(4 * BaseDisk(1.2).area_m2)
    assert BaseDisk(1.8).area_m2 == pytest.approx(1.44 * BaseDisk(1.5).area_m2)


@pytest.mark.parametrize("diameter", [0.0, -1.5, 20.1, math.nan, math.inf])
def test_a_base_without_a_possible_diameter_is_refused(diameter):
    with pytest.raises(OutOfRange, match="base diameter"):
        BaseDisk(diameter)


@pytest.mark.parametrize(
    ("angle", "place"), [(0, (0, 1)), (90, (1, 0)), (180, (0, -1)), (270, (-1, 0)), (45, (2**-0.5, 2**-0.5))]
)
def test_angles_run_clockwise_from_plan_north_seen_from_above(angle, place):
    assert polar_to_xy_m(1.0, angle) == pytest.approx(place, abs=1e-15)
    assert xy_to_polar(*place) == pytest.approx((1.0, angle))


@given(st.floats(0.001, 10), st.floats(0, 359.999))
def test_a_position_comes_back_from_x_and_y(r_m, angle):
    back_r, back_angle = xy_to_polar(*polar_to_xy_m(r_m, angle))
    assert back_r == pytest.approx(r_m)
    assert math.remainder(back_angle - angle, 360) == pytest.approx(0, abs=1e-9)


def test_an_angle_is_never_shown_as_360():
    assert xy_to_polar(-1e-30, 1.0)[1] == 0.0


def test_the_rim_belongs_to_the_base_and_beyond_it_does_not():
    disk = BaseDisk(2.0)
    assert disk.point_inside(*polar_to_xy_m(1.0, 123.0))
    assert not disk.point_inside(0.0, 1.001)


@pytest.mark.parametrize(("r_m", "angle"), [(-0.1, 0.0), (math.nan, 0.0), (1.0, 400.0), (1.0, math.nan)])
def test_a_position_that_cannot_be_is_refused(r_m, angle):
    with pytest.raises(OutOfRange):
        polar_to_xy_m(r_m, angle)


def test_an_uneven_layer_is_the_sum_of_its_cells():
    assert layer_volume_m3([0.01, 0.03], [0.5, 0.25]) == pytest.approx(0.0125)


def test_an_even_layer_has_the_volume_of_the_disk():
    disk = BaseDisk(1.5)
    assert layer_volume_m3([0.0127] * 4, [disk.area_m2 / 4] * 4) == pytest.approx(disk.volume_m3(0.0127))


@pytest.mark.parametrize(
    ("thickness", "areas"),
    [([math.nan, 0.01], [1, 1]), ([-0.01], [1]), ([0.01], [1, 1]), ([], []), ([0.01], [-1])],
)
def test_a_volume_with_an_unknown_or_impossible_part_is_refused(thickness, areas):
    with pytest.raises(OutOfRange):
        layer_volume_m3(thickness, areas)
