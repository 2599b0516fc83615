"""What is at stake: checks H by id, practice figures, and what a credit loses."""

import math

import pytest

from fieldapp.base.bearing import intact_rock_base
from fieldapp.base.factored import Factors
from fieldapp.base.side_resistance import SocketRock, rock_side
from fieldapp.base.stake import Socket, at_stake, base_area_gain, even_length_over_diameter
from fieldapp.units import OutOfRange, from_si, to_si
from tests.base.worth import NOTHING_KNOWN, hold, of_topic

FACTORS = Factors(0.55, 0.5, "as seeded, with its edition")


def units_of(inputs, q_u):
    side = rock_side(SocketRock(q_u, None, inputs["pa_MPa"]), inputs["C"]).unit_side_mpa
    return intact_rock_base(q_u, NOTHING_KNOWN).unit_base_mpa, side


def stake_of(inputs, diameter_m, length_m):
    base, side = units_of(inputs, inputs["qu_MPa"])
    return at_stake(Socket(diameter_m, length_m, side, base), FACTORS)


def ratio_of_base_and_side(inputs):
    stake = stake_of(inputs, 1.5, 1.5 * inputs["L_over_B"])
    return {"base_over_side": stake.base_over_side, "base_share_of_total": stake.share_of_nominal}


def where_they_are_even(inputs):
    return {"L_over_B": [even_length_over_diameter(*units_of(inputs, q_u)) for q_u in inputs["qu_MPa"]]}


ANSWERS = {
    "H1": ratio_of_base_and_side,
    "H2": lambda i: {"length_m": stake_of(i, i["diameter_m"], 5.0).replaces_nominal_m},
    "H3": where_they_are_even,
    "H4": lambda i: {"gain": base_area_gain(*i["diameter_m"])},
}


@of_topic("value of the base")
def test_the_value_of_the_base_matches_the_check(check):
    hold(check, ANSWERS[check["id"]](check["inputs"]))


def test_a_modest_base_in_a_large_socket_is_worth_thousands_of_kips():
    """Common practice: 82 ksf on 8 ft is about 4,120 kip."""
    stake = at_stake(Socket(to_si(8, "ft"), to_si(16, "ft"), 0.2, to_si(82, "ksf")), FACTORS)
    assert from_si(stake.nominal_base_mn, "kip") == pytest.approx(4120, rel=1e-3)


def test_the_big_base_of_the_page_is_forty_four_meganewton():
    """Mechanics section 8: 25 MPa on 1.5 m is 44.2 MN (9930 kip), 22 MN (4970 kip) at phi 0.5."""
    stake = at_stake(Socket(1.5, 4.5, 1.0066, 25.0), FACTORS)
    assert stake.nominal_base_mn == pytest.approx(44.2, abs=0.05)
    assert from_si(stake.nominal_base_mn, "kip") == pytest.approx(9930, abs=5)
    assert from_si(stake.factored_base_mn, "kip") == pytest.approx(4970, abs=5)


def test_twice_the_diameter_is_four_times_the_base():
    """Common practice: 20 % more diameter is 44 % more base."""
    assert base_area_gain(1.2, 2.4) == pytest.approx(3.0)
    assert base_area_gain(1.0, 1.2) == pytest.approx(0.44)


def test_a_credit_loses_its_part_of_the_base_and_of_the_socket_that_replaces_it():
    full, some = (at_stake(Socket(1.5, 4.5, 1.0, 25.0), FACTORS, credit) for credit in (1.0, 0.7))
    assert (full.lost_mn, full.replaces_lost_m) == (0.0, 0.0)
    assert some.lost_mn == pytest.approx(0.3 * full.factored_base_mn)
    assert some.factored_credited_mn == pytest.approx(full.factored_total_mn - some.lost_mn)
    longer = Socket(1.5, 4.5 + some.replaces_lost_m, 1.0, 25.0)
    assert at_stake(longer, FACTORS, 0.7).factored_credited_mn == pytest.approx(full.factored_total_mn)


def test_a_socket_longer_by_the_replacing_length_carries_the_same_without_its_base():
    stake = at_stake(Socket(1.5, 4.5, 1.0, 25.0), FACTORS)
    side_only = at_stake(Socket(1.5, 4.5 + stake.replaces_factored_m, 1.0, 25.0), FACTORS, 0.0)
    assert side_only.factored_credited_mn == pytest.approx(stake.factored_total_mn)


def test_without_side_resistance_no_length_of_socket_replaces_the_base():
    stake = at_stake(Socket(1.5, 4.5, 0.0, 25.0), FACTORS, 0.5)
    assert math.isinf(stake.replaces_nominal_m)
    assert math.isinf(stake.replaces_lost_m)
    assert stake.share_of_nominal == 1.0


def test_what_is_not_possible_is_refused():
    with pytest.raises(OutOfRange, match=r"credit is 1\.2"):
        at_stake(Socket(1.5, 4.5, 1.0, 25.0), FACTORS, 1.2)
    with pytest.raises(OutOfRange, match="unit side resistance"):
        even_length_over_diameter(25.0, 0.0)
