"""Unit base and side resistance, rock mass and factors: every check by id, caps and refusals."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from fieldapp.base import bearing, rock_mass, side_resistance
from fieldapp.base.conditions import BaseEvidence
from fieldapp.base.factored import Factors, single_shaft_factor
from fieldapp.base.side_resistance import SocketRock
from fieldapp.base.stake import Socket, at_stake
from fieldapp.units import OutOfRange, from_si, to_si
from tests.base.worth import NOTHING_KNOWN, hold, of_topic


def rock_of(inputs):
    q_u = inputs["qu_MPa"] if "qu_MPa" in inputs else to_si(inputs["qu_ksf"], "ksf")
    p_a = inputs["pa_MPa"] if "pa_MPa" in inputs else to_si(inputs["pa_ksf"], "ksf")
    return SocketRock(q_u, None, p_a)


def hoek(inputs):
    return rock_mass.hoek_brown(inputs["GSI"], inputs["mi"], inputs["D"])


def imperial_stake(inputs):
    rock = rock_of(inputs)
    unit_side = side_resistance.rock_side(rock, inputs["C"]).unit_side_mpa
    unit_base = bearing.intact_rock_base(rock.q_u_mpa, NOTHING_KNOWN).unit_base_mpa
    diameter, length = (to_si(inputs[key], "ft") for key in ("diameter_ft", "socket_length_ft"))
    socket = Socket(diameter, length, unit_side, unit_base)
    return at_stake(socket, Factors(inputs["phi_side"], inputs["phi_base"], "given in the check"))


def nominal_base_at(inputs):
    q_u = to_si(inputs["qu_ksf"], "ksf")
    base = bearing.intact_rock_base(q_u, NOTHING_KNOWN)
    nominal = bearing.nominal_base_mn(base.unit_base_mpa, to_si(inputs["diameter_ft"], "ft"))
    kip = from_si(nominal, "kip")
    return {"nominal_base_kip": kip, "factored_base_kip": inputs["phi_base"] * kip}


def total_with_and_without(inputs):
    stake = imperial_stake(inputs)
    return {
        "factored_total_kip": from_si(stake.factored_total_mn, "kip"),
        "factored_without_base_kip": from_si(stake.factored_side_mn, "kip"),
        "share_lost": stake.share_of_factored,
    }


def where_the_rules_cross(inputs):
    def apart(q_u):
        intact = bearing.intact_rock_base(q_u, NOTHING_KNOWN).unit_base_mpa
        return intact - bearing.empirical_rock_base(q_u, NOTHING_KNOWN).unit_base_mpa

    return {"qu_MPa": brentq(apart, 1.0, 10.0, xtol=1e-14)}


def clay(inputs):
    base = bearing.clay_base(inputs["cu_kPa"] / 1000, 10.0, NOTHING_KNOWN)
    return {"nominal_base_kN": 1000 * bearing.nominal_base_mn(base.unit_base_mpa, inputs["diameter_m"])}


def jointed(inputs):
    return bearing.jointed_rock_base(
        inputs["qu_MPa"], hoek(inputs), inputs["overburden_MPa"], NOTHING_KNOWN
    ).unit_base_mpa


def older_bound(inputs):
    rock = rock_mass.HoekBrown(inputs["mb"], inputs["s"], 0.7)
    return bearing.older_jointed_rock_base(inputs["qu_MPa"], rock, NOTHING_KNOWN).unit_base_mpa


def rigidity(inputs):
    return {"Nc_star": bearing.clay_rigidity_factor(inputs["rigidity_index"])}


BASE = {
    "RES-3": nominal_base_at,
    "RES-4": total_with_and_without,
    "A1": lambda i: {
        "nominal_base_MN": bearing.nominal_base_mn(
            bearing.intact_rock_base(i["qu_MPa"], NOTHING_KNOWN).unit_base_mpa, i["diameter_m"]
        )
    },
    "A2": lambda i: {"unit_base_MPa": bearing.empirical_rock_base(i["qu_MPa"], NOTHING_KNOWN).unit_base_mpa},
    "A3": where_the_rules_cross,
    "A7": lambda i: {"mb": hoek(i).m_b, "s": hoek(i).s, "a": hoek(i).a},
    "A8": lambda i: {"unit_base_MPa": older_bound(i)},
    "A9": lambda i: {"unit_base_MPa": jointed(i)},
    "A10": lambda i: {"unit_base_MPa": jointed(i)},
    "A11": clay,
    "A17": lambda i: {"unit_base_kPa": 1000 * bearing.sand_base(i["N60"], NOTHING_KNOWN).unit_base_mpa},
    "A18-50": rigidity,
    "A18-150": rigidity,
    "A18-300": rigidity,
    "A19": lambda i: {"m0": bearing.thick_deposit_factor(i["sediment_over_diameter"])},
}


@of_topic("base resistance")
def test_base_resistance_matches_the_check(check):
    hold(check, BASE[check["id"]](check["inputs"]))


def unit_side(inputs):
    return side_resistance.rock_side(rock_of(inputs), inputs["C"]).unit_side_mpa


def side_in_si(inputs):
    side = side_resistance.nominal_side_mn(unit_side(inputs), inputs["diameter_m"], inputs["socket_length_m"])
    base = bearing.intact_rock_base(inputs["qu_MPa"], NOTHING_KNOWN).unit_base_mpa
    return {
        "unit_side_kPa": 1000 * unit_side(inputs),
        "nominal_side_kN": 1000 * side,
        "nominal_base_kN": 1000 * bearing.nominal_base_mn(base, inputs["diameter_m"]),
    }


def side_in_kip(inputs):
    diameter, length = (to_si(inputs[key], "ft") for key in ("diameter_ft", "socket_length_ft"))
    kip = from_si(side_resistance.nominal_side_mn(unit_side(inputs), diameter, length), "kip")
    return {"nominal_side_kip": kip, "factored_side_kip": inputs["phi_side"] * kip}


def concrete_cap(inputs):
    p_a, f_c = to_si(inputs["pa_ksf"], "ksf"), to_si(inputs["concrete_strength_ksi"], "ksi")
    return {"cap_ksf": from_si(side_resistance.concrete_cap_mpa(SocketRock(1.0, f_c, p_a)), "ksf")}


def older_socket(inputs):
    diameter, length = (to_si(inputs[key], "ft") for key in ("diameter_ft", "socket_length_ft"))
    unit = side_resistance.older_socket_side_mpa(to_si(inputs["qu_psi"], "psi"))
    nominal = side_resistance.nominal_side_mn(unit, diameter, length)
    return {"allowable_kip": from_si(nominal / inputs["factor_of_safety"], "kip")}


def granite(inputs):
    side = side_resistance.caving_rock_side(rock_of(inputs), inputs["alpha_E"])
    return {"unit_side_ksf": from_si(side.unit_side_mpa, "ksf")}


SIDE = {
    "RES-1": lambda i: {"unit_side_ksf": from_si(unit_side(i), "ksf")},
    "RES-2": side_in_kip,
    "RES-5": side_in_si,
    "A4": lambda i: {"unit_side_MPa": unit_side(i)},
    "A5": concrete_cap,
    "A6": granite,
    "A16": older_socket,
}


@of_topic("side resistance")
def test_side_resistance_matches_the_check(check):
    hold(check, SIDE[check["id"]](check["inputs"]))


MASS = {
    "A20": lambda i: {"rock_mass_modulus_MPa": rock_mass.rock_mass_modulus_mpa(i["GSI"], i["D"])},
    "A21": BASE["A7"],
    "A22": lambda i: {"alpha_E": rock_mass.alpha_e(i["Em_over_Ei"])},
}


@of_topic("rock mass")
def test_rock_mass_matches_the_check(check):
    hold(check, MASS[check["id"]](check["inputs"]))


@of_topic("resistance factors")
def test_a_single_shaft_under_a_pier_has_a_lower_factor(check):
    inputs = check["inputs"]
    hold(check, {"phi": single_shaft_factor(inputs["phi"], inputs["single_shaft_multiplier"])})


def test_the_table_of_alpha_e_is_the_one_that_the_check_was_made_with():
    """AASHTO LRFD 10.8.3.5.4b, memory: fair: 1.0: 1.0; 0.5: 0.8; 0.3: 0.7; 0.1: 0.55; 0.05: 0.45."""
    rows = {1.0: 1.0, 0.5: 0.8, 0.3: 0.7, 0.1: 0.55, 0.05: 0.45}
    assert {ratio: rock_mass.alpha_e(ratio) for ratio in rows} == pytest.approx(rows)


@pytest.mark.parametrize(
    ("rqd", "closed", "open_"),
    [(1.0, 1.00, 0.85), (0.7, 0.85, 0.55), (0.5, 0.60, 0.55), (0.3, 0.50, 0.50), (0.2, 0.45, 0.45)],
)
def test_the_joint_factor_has_the_rows_of_its_table(rqd, closed, open_):
    """FHWA-NHI-10-016 Table 13-3, read in an extract."""
    assert rock_mass.joint_factor(rqd, "closed") == pytest.approx(closed)
    assert rock_mass.joint_factor(rqd, "open") == pytest.approx(open_)


@pytest.mark.parametrize(
    ("rqd", "closed", "open_"), [(1.0, 1.0, 0.6), (0.7, 0.7, 0.1), (0.5, 0.15, 0.1), (0.2, 0.05, 0.05)]
)
def test_the_modulus_ratio_has_the_rows_of_its_table(rqd, closed, open_):
    """AASHTO LRFD 10.4.6.5, memory: fair."""
    assert rock_mass.modulus_ratio(rqd, "closed") == pytest.approx(closed)
    assert rock_mass.modulus_ratio(rqd, "open") == pytest.approx(open_)


def test_the_two_routes_to_the_joint_factor_differ_a_little():
    """RQD 70 %, closed joints: 0.88 by E_m/E_i (A22) against 0.85 by Table 13-3."""
    assert rock_mass.alpha_e(rock_mass.modulus_ratio(0.7, "closed")) == pytest.approx(0.88)
    assert rock_mass.joint_factor(0.7, "closed") == pytest.approx(0.85)


def test_weaker_concrete_governs_the_side_and_says_so():
    governed = side_resistance.rock_side(SocketRock(80.0, 30.0))
    assert governed.unit_side_mpa == side_resistance.rock_side(SocketRock(30.0, 30.0)).unit_side_mpa
    assert "concrete is weaker" in governed.says
    assert side_resistance.rock_side(SocketRock(10.0, 30.0)).says == ""


def test_the_side_of_caving_rock_is_cut_at_the_strength_of_the_concrete():
    cut = side_resistance.caving_rock_side(SocketRock(100.0, 30.0), 1.0)
    assert cut.unit_side_mpa == pytest.approx(0.65 * 0.101325 * math.sqrt(30.0 / 0.101325))
    assert "is cut to" in cut.says


def test_a_side_without_a_concrete_strength_is_not_shown_to_be_usable():
    assert side_resistance.rock_side(SocketRock(10.0, None)).usable is None
    assert side_resistance.rock_side(SocketRock(10.0, 30.0)).usable is True
    assert side_resistance.stated_side(0.2).usable is True


def test_clay_is_cut_at_80_ksf_and_n_c_at_9():
    """AASHTO LRFD 10.8.3.5.1c, memory: fair."""
    cut = bearing.clay_base(1.0, 10.0, NOTHING_KNOWN)
    assert from_si(cut.unit_base_mpa, "ksf") == pytest.approx(80.0)
    assert "80 ksf" in cut.says
    shallow = bearing.clay_base(0.1, 0.0, NOTHING_KNOWN)
    assert (shallow.unit_base_mpa, shallow.says) == (pytest.approx(0.6), "")


def test_sand_stops_at_50_blows_which_is_60_ksf():
    assert from_si(bearing.sand_base(50, NOTHING_KNOWN).unit_base_mpa, "ksf") == pytest.approx(60.0)
    with pytest.raises(OutOfRange, match="N60"):
        bearing.sand_base(51, NOTHING_KNOWN)


def test_a_wide_base_in_sand_is_reduced_and_a_narrow_one_is_not():
    """Das, second-hand: 1.27/B for B over 1.27 m."""
    assert bearing.wide_base_in_sand(2.54) == pytest.approx(0.5)
    assert bearing.wide_base_in_sand(1.0) == 1.0


def test_the_factor_for_thick_deposits_ends_where_its_rule_ends():
    """JTG D63-2007 5.3.3, second-hand: 1.0 at t/d 0.1, 0.7 at 0.3."""
    assert bearing.thick_deposit_factor(0.05) == 1.0
    assert bearing.thick_deposit_factor(0.3) == pytest.approx(0.7)
    with pytest.raises(OutOfRange, match="t/d"):
        bearing.thick_deposit_factor(0.31)


def test_the_empirical_rule_tells_the_band_of_its_tests():
    """3.0 to 6.6 q_u^0.5 MPa at q_u 9 MPa: 9 to 19.8 MPa."""
    assert "between 9 and 19.8 MPa" in bearing.empirical_rock_base(9.0, NOTHING_KNOWN).says


def test_the_structural_limit_cuts_and_is_not_shown_when_nobody_states_it():
    base = bearing.stated_base(40.0, BaseEvidence(1.5, void=False, karst=False, base_clean=True))
    cut = bearing.structural_cap(base, 25.0)
    assert (base.usable, cut.usable, cut.unit_base_mpa) == (True, True, 25.0)
    assert "40 MPa is cut to 25 MPa" in cut.says
    unknown = bearing.structural_cap(base, None)
    assert (unknown.usable, unknown.unit_base_mpa) == (None, 40.0)


@given(st.floats(0.1, 300), st.floats(0, 100), st.floats(1, 40), st.floats(0, 5))
def test_jointed_rock_is_never_below_its_older_bound_with_the_same_exponent(q_u, gsi, m_i, overburden):
    rock = rock_mass.hoek_brown(gsi, m_i)
    half = rock_mass.HoekBrown(rock.m_b, rock.s, 0.5)
    full = bearing.jointed_rock_base(q_u, half, overburden, NOTHING_KNOWN).unit_base_mpa
    assert full >= bearing.older_jointed_rock_base(q_u, rock, NOTHING_KNOWN).unit_base_mpa * (1 - 1e-12)


@pytest.mark.parametrize(
    ("call", "names"),
    [
        (lambda: bearing.intact_rock_base(-1.0, NOTHING_KNOWN), "compressive strength is -1 MPa"),
        (lambda: bearing.intact_rock_base(math.nan, NOTHING_KNOWN), "compressive strength"),
        (lambda: rock_mass.hoek_brown(101, 10), "GSI"),
        (lambda: rock_mass.joint_factor(0.1, "open"), "RQD"),
        (lambda: rock_mass.joint_factor(70, "open"), "RQD"),
        (lambda: rock_mass.alpha_e(0.01), "E_m/E_i"),
        (lambda: side_resistance.rock_side(SocketRock(10.0, 30.0), 4.0), "side factor C"),
        (lambda: SocketRock(10.0, 30.0, 101.3), "p_a"),
        (lambda: side_resistance.stated_side(math.nan), "unit side resistance"),
        (lambda: bearing.stated_base(0.0, NOTHING_KNOWN), "unit base resistance is 0 MPa"),
        (lambda: bearing.nominal_base_mn(10.0, 60.0), "base diameter is 60 m"),
        (lambda: Factors(1.2, 0.5, "none"), "resistance factor"),
    ],
)
def test_an_impossible_input_is_named_with_its_range(call, names):
    with pytest.raises(OutOfRange, match=names):
        call()
