"""A reckoning file is read strictly: every problem is told at once, with its key and the allowed range."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from fieldapp.desk.projects.presets import preset as preset_of_the_program
from fieldapp.exchange.reckoning import CellLayer, EvenLayer, Reckoning, SoundedLayer
from fieldapp.exchange.reckoning_file import MOST_BYTES, TOP_KEYS, read_reckoning
from fieldapp.exchange.reckoning_problem import MOST_PROBLEMS, ReckoningRefused
from fieldapp.record.words import UnitSystem

SAMPLES = Path(__file__).parents[2] / "sample_logs" / "reckon"
preset = cache(preset_of_the_program)
SMALL = """
units = "SI"
[base]
diameter = "1.5 m"
[ground]
modulus = "600 MPa"
poisson = 0.25
[nominal]
unit_base = "10 MPa"
displacement = "75 mm"
"""


def read(text: str) -> Reckoning:
    return read_reckoning(text.encode(), "what-if.toml", preset)


def problems(text: str) -> list[str]:
    with pytest.raises(ReckoningRefused) as refused:
        read(text)
    return [str(each) for each in refused.value.problems]


def only(text: str) -> str:
    (found,) = problems(text)
    return found


@pytest.mark.parametrize("name", ["us-limits", "si-soundings"])
def test_the_samples_are_read(name: str) -> None:
    asked = read_reckoning((SAMPLES / f"{name}.toml").read_bytes(), name, preset)
    assert asked.title
    assert asked.limits
    assert asked.shaft.factors is not None


def test_feet_and_inches_fractions_and_percent_are_exact() -> None:
    asked = read((SAMPLES / "us-limits.toml").read_text("utf-8"))
    assert asked.units is UnitSystem.US
    assert asked.base.diameter_m == Fraction(1524, 1000)  # 5 ft of 0.3048 m
    assert asked.layer == EvenLayer(Fraction(127, 10_000))  # 1/2 in of 25.4 mm
    assert asked.limits[0].area_limit_m == Fraction(127, 10_000)
    assert asked.limits[0].share_min == Fraction(1, 2)
    assert asked.limits[0].strict
    assert asked.limits[0].cap_m == Fraction(381, 10_000)


def test_values_that_the_file_leaves_out_are_named() -> None:
    said = " ".join(read(SMALL.replace("poisson = 0.25", "")).assumed)
    for each in ("Poisson's ratio 0.25", "service displacement", "sediment modulus", "locking strain"):
        assert each in said
    assert "Poisson" not in " ".join(read(SMALL).assumed)


@pytest.mark.parametrize(
    ("line", "wrong", "expected"),
    [
        ('diameter = "1.5 m"', "diameter = 1.5", "a text with its unit"),
        ('diameter = "1.5 m"', 'diameter = "1.5"', "a text with its unit"),
        ('diameter = "1.5 m"', 'diameter = "1.5 MPa"', "units of length"),
        ('diameter = "1.5 m"', 'diameter = "25 m"', "more than 0 and at most 20 m; that is 25 m"),
        ('diameter = "1.5 m"', 'diameter = "0 m"', "more than 0"),
        ('diameter = "1.5 m"', 'diameter = "-1 m"', "more than 0"),
        ('diameter = "1.5 m"', 'diameter = "nan m"', "not a number"),
        ('diameter = "1.5 m"', 'diameter = "1,500 mm"', "two ways"),
        ('diameter = "1.5 m"', "diameter = true", "a text with its unit"),
        ('diameter = "1.5 m"', "diameter = [1, 2]", "a text with its unit"),
        ('diameter = "1.5 m"', "diameter = 2026-05-12", "a text with its unit"),
        ("poisson = 0.25", "poisson = 0.6", "at least 0 and at most 0.5"),
        ("poisson = 0.25", "poisson = nan", "a number without a unit"),
        ("poisson = 0.25", "poisson = 1e999999999", "a number without a unit"),
        ("poisson = 0.25", 'poisson = "0.25 m"', "a number without a unit"),
        ("poisson = 0.25", "poisson = true", "a number without a unit"),
        ('modulus = "600 MPa"', 'modulus = "900000 MPa"', "at most 500000 MPa"),
        ('displacement = "75 mm"', 'displacement = "75 kip"', "units of length"),
    ],
)
def test_a_quantity_that_does_not_fit_is_told_with_what_was_read(
    line: str, wrong: str, expected: str
) -> None:
    said = only(SMALL.replace(line, wrong))
    key = line.split(" ", maxsplit=1)[0]
    assert re.match(rf"what-if.toml, [a-z]+\.{key}: read '", said)
    assert expected in said


def test_every_problem_of_a_file_is_told_at_once() -> None:
    said = problems(SMALL.replace('"1.5 m"', '"1.5"').replace('"600 MPa"', "600").replace('"SI"', '"metric"'))
    assert len(said) == 3
    assert [each.split(":")[0] for each in said] == [
        "what-if.toml, units",
        "what-if.toml, base.diameter",
        "what-if.toml, ground.modulus",
    ]


def test_an_unknown_key_is_refused_with_the_closest_one() -> None:
    assert "did you mean 'diameter'?" in only(SMALL.replace("[base]", '[base]\ndiametre = "2 m"'))
    assert "did you mean 'sediment'?" in only(SMALL + '[sedimnt]\nuniform = "5 mm"')


def test_what_is_needed_and_absent_is_named() -> None:
    assert [each.split(":")[0] for each in problems("")] == [
        "what-if.toml, units",
        "what-if.toml, base.diameter",
    ]
    assert "one of unit_base, rule" in only(SMALL.replace('unit_base = "10 MPa"', ""))


def test_a_rule_needs_its_own_values_and_no_others() -> None:
    text = SMALL.replace('unit_base = "10 MPa"', 'rule = "clay"\nrock_strength = "5 MPa"')
    said = " ".join(problems(text))
    assert "nominal.undrained_strength: read 'nothing'" in said
    assert "nominal.embedment: read 'nothing'" in said
    assert "'clay' does not use it" in said
    jointed = SMALL.replace(
        'unit_base = "10 MPa"', 'rule = "jointed rock"\nrock_strength = "5 MPa"\noverburden = "0.2 MPa"'
    )
    assert "both, for the rule 'jointed rock'" in only(jointed)


def test_sediment_is_given_in_one_way() -> None:
    assert "one of uniform, cells, soundings" in only(
        SMALL + '[sediment]\nuniform = "5 mm"\ncells = [{share = "100 %", thickness = "5 mm"}]'
    )
    assert "one of uniform, cells, soundings" in only(SMALL + "[sediment]\n")
    assert read(SMALL).layer is None


def test_shares_of_cells_must_sum_to_one() -> None:
    cells = (
        '[sediment]\ncells = [{{share = "1/3", thickness = "5 mm"}}, {{share = "{}", thickness = "0 mm"}}]'
    )
    assert "shares that sum to 0.833333" in only(SMALL + cells.format("50 %"))
    layer = read(SMALL + cells.format("2/3")).layer
    assert isinstance(layer, CellLayer)
    assert layer.share == (Fraction(1, 3), Fraction(2, 3))


def test_a_sounding_without_a_reading_stays_unread_and_one_off_the_base_is_refused() -> None:
    points = (
        '[sediment]\nsoundings = [{r = "0 m", thickness = "no reading"}, '
        '{r = "R", angle = "90 deg", thickness = "5 mm"}]'
    )
    layer = read(SMALL + points.replace('"R"', '"0.5 m"')).layer
    assert isinstance(layer, SoundedLayer)
    assert layer.soundings.thickness_m == (None, Fraction(5, 1000))
    assert layer.soundings.xy_m[1].tolist() == pytest.approx([0.5, 0.0], abs=1e-12)  # clockwise from y
    assert "on the base of radius 0.75 m" in only(SMALL + points.replace('"R"', '"0.8 m"'))
    assert "soundings[2].angle" in only(
        SMALL + points.replace('"R"', '"0.5 m"').replace('angle = "90 deg", ', "")
    )


@pytest.mark.parametrize(
    ("limits", "expected"),
    [
        ('name = "a"\nthickness = "10 mm"\nstrict = true', "both, or neither"),
        ('name = "a"\nthickness = "10 mm"\nshare = "50 %"', "true (less than the thickness)"),
        ('name = "a"\ncap = "10 mm"', "true (less than the cap)"),
        ('cap = "10 mm"\ncap_strict = false', "a name for these limits"),
        ('name = "a"', "a 'set', or thickness with share, or a cap"),
        ('set = "us-clasic"', "us-classic"),
        ('set = "us-classic"\ncap = "10 mm"', "not both"),
        ('set = "eu-en1536"', "a set that states a limit on thickness"),
        ('set = "us-friction-only"', "state design_basis or structure_class"),
    ],
)
def test_limits_that_do_not_say_all_are_refused(limits: str, expected: str) -> None:
    assert expected in only(f"{SMALL}[[limits]]\n{limits}")


def test_a_set_for_a_case_gives_the_limits_of_that_case() -> None:
    text = f'{SMALL}[[limits]]\nset = "us-friction-only"\ndesign_basis = "side"'
    (limits,) = read(text).limits
    assert limits.area_limit_m is None
    assert limits.cap_m == Fraction(762, 10_000)  # 3 in, in assets/acceptance/us-friction-only.toml


def test_names_of_limits_are_their_own() -> None:
    one = '[[limits]]\nset = "us-classic"\n'
    assert "a name of its own" in only(SMALL + one + one)


def test_ranges_of_parameters_are_in_rising_order() -> None:
    assert "least, best and greatest" in only(
        SMALL + '[parameters]\nsediment_modulus = ["2 MPa", "1 MPa", "5 MPa"]'
    )
    assert "least, best and greatest" in only(SMALL + '[parameters]\nlocking_strain = ["20 %", "30 %"]')
    assert "in order" in only(SMALL.replace("poisson = 0.25", 'modulus_range = ["900 MPa", "300 MPa"]'))
    spread = read(SMALL + '[parameters]\nlocking_strain = "30 %"').spread
    assert spread.locking_strain.least == spread.locking_strain.greatest == 0.3


def test_softening_needs_its_own_values() -> None:
    side = '[[side]]\nlength = "5 m"\nunit_side = "0.5 MPa"\n[shaft]\n'
    assert len(problems(SMALL + side + 'side_curve = "softening"')) == 2
    assert "only the side_curve 'softening'" in only(SMALL + side + "residual_share = 0.5")


def test_samples_of_fluid_stand_above_the_base_and_name_their_cup() -> None:
    fluid = '[fluid]\nkind = "water"\ndepth = "18 m"\nsamples = [{depth = "19 m", sand = "1 %"}]'
    assert "none below the base at 18 m" in only(SMALL + fluid)
    assert "fluid.samples[1].cup" in only(
        SMALL + fluid.replace("19 m", "17 m").replace("}]", ', funnel_time = "34 s"}]')
    )
    assert "946 mL (one US quart) or 1000 mL" in only(
        SMALL + fluid.replace("19 m", "17 m").replace("}]", ', funnel_time = "34 s", cup = "500 mL"}]')
    )


@pytest.mark.parametrize(
    "content",
    [
        b"units = ",
        b"units = 'SI'\nunits = 'SI'",
        b"\xff\xfe units",
        b"a = " + b"[" * 5000,
        b"a = " + b"9" * 5000,
        b"#" * (MOST_BYTES + 1),
        "units\u0000".encode(),
    ],
)
def test_what_is_not_toml_is_refused_with_a_sentence(content: bytes) -> None:
    with pytest.raises(ReckoningRefused, match="was not reckoned"):
        read_reckoning(content, "what-if.toml", preset)


def test_a_flood_of_problems_stops_early() -> None:
    flood = "".join(f"key{number} = 1\n" for number in range(2000))
    assert len(problems(flood + SMALL)) == MOST_PROBLEMS + 1


@pytest.mark.parametrize("wrong", ["7", '"x"', "true", "[]", "[[]]", "[{}]", "{}", '["1 m"]', "-1e400"])
@pytest.mark.parametrize("key", TOP_KEYS)
def test_no_value_of_a_wrong_type_gets_past_or_raises_anything_else(key: str, wrong: str) -> None:
    text = f"{key} = {wrong}\n" + ('units = "SI"\n' if key != "units" else "")
    with pytest.raises(ReckoningRefused):
        read(text)


@pytest.mark.parametrize("wrong", ["7", '"x"', "[[1]]", "{}", '"0 m"', '"99999 mm"'])
@pytest.mark.parametrize("name", ["us-limits", "si-soundings"])
def test_no_key_of_a_sample_can_be_broken_into_anything_but_a_refusal_or_an_answer(
    name: str, wrong: str
) -> None:
    lines = (SAMPLES / f"{name}.toml").read_text("utf-8").split("\n")
    for number, line in enumerate(lines):
        if re.match(r"[a-z_]+ = [^\[]", line):
            key = line.split(" ", maxsplit=1)[0]
            changed = [*lines[:number], f"{key} = {wrong}", *lines[number + 1 :]]
            try:
                read("\n".join(changed))
            except ReckoningRefused as refused:
                assert refused.problems
