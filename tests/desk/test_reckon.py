"""What if, without a project: reference numbers through the file, lesser answers with their reason.

Reference numbers by id are of the collected checks: the cell model evaluated apart (C8, C25), closed forms
(C27, G4, G15), an independent finite-element model (J-w), cited rules (H2, RES-3), volume balance (D19).
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from fieldapp.cli import DONE, NOT_AS_ASKED, REFUSED, run
from fieldapp.desk.plain_text import to_json
from fieldapp.desk.reckoning.as_json import reckon_json
from fieldapp.desk.reckoning.reckon import Reckoned, reckon
from fieldapp.desk.reckoning.show import percent
from fieldapp.desk.reckoning.text import reckon_text
from reports.worth_words import credit_text

SAMPLES = Path(__file__).parents[2] / "sample_logs" / "reckon"
# B = 1.5 m, E_m = 600 MPa, nu = 0.25, q_N = 10 MPa at 75 mm: the base of the reference results
BASE = """
units = "SI"
[base]
diameter = "1.5 m"
structural_limit = "30 MPa"
[ground]
modulus = "600 MPa"
poisson = 0.25
[nominal]
unit_base = "10 MPa"
displacement = "75 mm"
"""
# half at 12.7 mm and half at 38.1 mm: the mean of C8-t12.7-w10 and C8-t38.1-w10
HALF_AND_HALF = (0.685748245532 + 0.171585059181) / 2
TWELVE = (0, 0, 0, 0, 5, 5, 10, 10, 15, 20, 25, 40)
SIDE = """
[shaft]
concrete_modulus = "30000 MPa"
concrete_strength = "30 MPa"
[[side]]
length = "5 m"
rock_strength = "4 MPa"
side_factor = 1.0
full_displacement = "6 mm"
"""


@pytest.fixture
def answer(tmp_path: Path) -> Any:
    def of(text: str) -> Reckoned:
        path = tmp_path / "what-if.toml"
        path.write_text(text, "utf-8")
        return reckon(path)

    return of


def uniform(thickness: str, service: str = "10 mm") -> str:
    return f'{BASE}[sediment]\nuniform = "{thickness}"\n[displacements]\nservice = "{service}"\n'


@pytest.mark.parametrize(
    ("thickness", "service", "expected"),
    [  # C25: least, default and greatest over all combinations of the parameter range
        ("12.7 mm", "10 mm", (0.372987343765, 0.685748245532, 0.884002660844)),
        ("1/2 in", "10 mm", (0.372987343765, 0.685748245532, 0.884002660844)),
        ("12.7 mm", "25 mm", (0.826449842416, 0.909229391228, 0.965066672716)),
        ("38.1 mm", "10 mm", (0.0235044895903, 0.171585059181, 0.643314755818)),
        ("1-1/2 in", "25 mm", (0.256086839417, 0.673757585306, 0.888237678926)),
    ],
)
def test_the_range_of_an_even_layer_is_the_reference_range(
    answer: Any, thickness: str, service: str, expected: tuple[float, ...]
) -> None:
    at = reckon_json(answer(uniform(thickness, service)))["credit"]["service"]  # type: ignore[index]
    assert (at["low"], at["best"], at["high"]) == pytest.approx(expected, rel=1e-6)


def test_the_base_curve_gives_the_reference_credit_at_each_displacement(answer: Any) -> None:
    # C8, t = 25 mm at 5, 10, 25 and 37.5 mm
    text = uniform("25 mm") + 'base = ["5 mm", "10 mm", "25 mm", "37.5 mm"]\n'
    best = [each.credit.credit for each in answer(text).curve]
    assert best == pytest.approx([0.153283630288, 0.372702054059, 0.805265350601, 0.898620407664], rel=1e-6)


def test_the_thickness_for_a_wanted_credit_gives_that_credit_when_put_back(answer: Any) -> None:
    # C27: 0.8 at 10 mm
    wanted = answer(uniform("5 mm") + '[wanted]\ncredits = ["80 %"]\n').wanted
    service = next(each for each in wanted if each.displacement_m == 0.01)
    for thickness, low_or_best in ((service.best_m, "credit"), (service.low_m, "lowest")):
        back = answer(uniform(f"{1000 * thickness:.10f} mm")).credit.service
        assert getattr(back, low_or_best) == pytest.approx(0.8, rel=1e-8)


def test_head_curves_agree_with_an_independent_finite_element_model(answer: Any) -> None:
    # J-w2 to J-w75: head load, its base part, clean and as built [MN]; agreement stated as 1e-4
    cells = ", ".join(f'{{share = "1/12", thickness = "{each} mm"}}' for each in TWELVE)
    text = f"{BASE}{SIDE}[sediment]\ncells = [{cells}]\n"
    text += '[displacements]\nhead = ["2 mm", "10 mm", "25 mm", "75 mm"]'
    heads = reckon_json(answer(text))["head_curves"]
    expected = {
        "clean": (
            [5.96918710204, 21.1626899551, 26.4198770011, 32.5318924448],
            [1.48794156682, 6.16240746318, 11.4195945092, 17.5316099529],
        ),
        "as_built": (
            [5.31021294138, 19.4838061323, 25.3742064279, 32.2908072204],
            [0.749739211891, 4.48352364042, 10.373923936, 17.2905247285],
        ),
    }
    for name, (load, base) in expected.items():
        curve = heads[name]  # type: ignore[index]
        assert [each["value"] for each in curve["load"]] == pytest.approx(load, rel=1e-4)
        assert [each["value"] for each in curve["base_load"]] == pytest.approx(base, rel=1e-4)
        assert {each["unit"] for each in curve["load"]} == {"MN"}
    assert heads["base_ratio"][0] == pytest.approx(0.503876784283, rel=1e-4)  # type: ignore[index]


def test_the_worst_map_of_the_usual_us_rule_is_half_at_each_limit(answer: Any) -> None:
    text = uniform("1/2 in") + '[[limits]]\nset = "us-classic"\n'
    text += '[[limits]]\nname = "flat"\ncap = "1/2 in"\ncap_strict = false'
    classic, flat = answer(text).limits
    assert classic.worst_credit.service.credit == pytest.approx(
        (0.685748245532 + 0.171585059181) / 2, rel=1e-6
    )
    assert flat.worst_credit.service.credit == pytest.approx(0.685748245532, rel=1e-6)
    assert classic.holds is False  # exactly 1/2 in is not less than 1/2 in
    assert flat.holds is True
    assert classic.measured.share == 0


def test_five_soundings_on_the_equal_ring_weigh_the_same_and_prove_little(answer: Any) -> None:
    # G4: rho 0.792665459521 of 0.75 m; G15-5: five clean show 0.05^(1/5) of the area
    ring = "".join(
        f', {{r = "0.59449909464 m", angle = "{90 * k} deg", thickness = "2 mm"}}' for k in range(4)
    )
    text = f'{BASE}[sediment]\nsoundings = [{{r = "0 m", thickness = "2 mm"}}{ring}]\n'
    text += '[[limits]]\nset = "us-classic"'
    found = answer(text)
    assert [each.share for each in found.cells] == pytest.approx([0.2] * 5, abs=1e-9)
    (limits,) = found.limits
    assert limits.holds is True
    assert limits.assured.share_by_counting == pytest.approx(0.549280271653, rel=1e-6)
    assert found.credit.service.maps.low <= found.credit.service.credit


def test_the_socket_that_would_replace_the_base_is_that_of_the_rule(answer: Any) -> None:
    # H2: 2.5 q_u on 1.5 m at q_u 10 MPa is worth 9.3135 m of socket; factors of 1 compare nominal values
    text = uniform("5 mm").replace('unit_base = "10 MPa"', 'rule = "intact rock"\nrock_strength = "10 MPa"')
    text += SIDE.replace('"4 MPa"', '"10 MPa"') + '[factors]\nbase = 1\nside = 1\nedition = "none, nominal"\n'
    stake = answer(text).heads.stake
    assert stake.replaces_factored_m == pytest.approx(9.31350109995, rel=1e-7)
    assert stake.lost_mn > 0


def test_the_nominal_base_by_rule_in_us_units_is_the_reference_value(answer: Any) -> None:
    # RES-3: 2.5 x 300 ksf on 4 ft is 9424.77796077 kip
    text = (
        uniform("1/4 in")
        .replace('units = "SI"', 'units = "US"')
        .replace('"1.5 m"', '"4\' 0\\""')
        .replace('structural_limit = "30 MPa"', "")
        .replace('unit_base = "10 MPa"', 'rule = "intact rock"\nrock_strength = "300 ksf"')
    )
    nominal = reckon_json(answer(text))["credit"]["nominal"]  # type: ignore[index]
    assert nominal == {"value": pytest.approx(9424.77796077, rel=1e-8), "unit": "kip"}


FLUID = """
[fluid]
kind = "water"
depth = "20 m"
samples = [{depth = "19 m", sand = "1 %", density = "1000 kg/m3"}]
"""


def test_all_the_sand_of_one_percent_over_twenty_metres_is_two_hundred_millimetres(answer: Any) -> None:
    # D19; in plain water fine sand is down within the 12 hours looked ahead
    found = answer(uniform("5 mm") + FLUID + '[[limits]]\nname = "cap"\ncap = "40 mm"\ncap_strict = false')
    ahead = reckon_json(found)["forecast"]
    assert ahead["most_rise"] == {"value": pytest.approx(200.0), "unit": "mm"}  # type: ignore[index]
    assert ahead["mean_thickness"]["best"][-1]["value"] == pytest.approx(205.0)  # type: ignore[index]
    (held,) = found.ahead.by_limits
    assert held.room_m == pytest.approx(0.035)
    assert 0 < held.answer.sound_again.by_s < 12 * 3600


def test_a_forecast_without_a_viscosity_gives_the_bound_and_says_why(answer: Any) -> None:
    found = answer(uniform("5 mm") + FLUID.replace('"water"', '"mineral slurry"'))
    assert any(each.startswith("forecast: funnel time") for each in found.missing)
    assert "at most 200 mm more if all the sand settled" in reckon_text(found)


def test_limits_that_are_broken_already_are_not_forecast(answer: Any) -> None:
    text = uniform("1/2 in") + FLUID + '[[limits]]\nset = "us-classic"'
    (held,) = answer(text).ahead.by_limits
    assert held.answer is None
    assert "not kept as it stands" in reckon_text(answer(text))


def test_a_nominal_value_that_the_modulus_cannot_reach_gives_the_lesser_answer(answer: Any) -> None:
    found = answer(uniform("5 mm").replace('"600 MPa"', '"60 MPa"'))
    # k w_N = 54.325 x 0.075 = 4.0744 MPa on 1.7671 m2 is 7.2 MN, less than the 17.67 MN stated
    assert found.credit.supported_mn == pytest.approx(7.2, rel=1e-3)
    assert found.credit.supported_mn < found.credit.nominal_mn
    assert "is not reached at 75 mm with this modulus" in reckon_text(found)


def test_two_soundings_make_no_map_and_the_answer_says_so(answer: Any) -> None:
    text = BASE + '[sediment]\nsoundings = [{r = "0 m", thickness = "5 mm"}, '
    text += '{r = "0.5 m", angle = "0 deg", thickness = "9 mm"}]'
    found = answer(text)
    assert found.credit.service.maps is None
    assert "a map takes 3" in reckon_text(found)
    assert reckon_json(found)["no_map"]


def test_a_point_without_a_reading_takes_the_credit_and_leaves_bounds(answer: Any) -> None:
    text = (
        BASE + '[sediment]\nsoundings = [{r = "0 m", thickness = "5 mm"}, '
        '{label = "E", r = "0.5 m", angle = "90 deg", '
        'thickness = "no reading"}, {r = "0.5 m", angle = "270 deg", thickness = "9 mm"}]\n'
        '[[limits]]\nset = "us-classic"'
    )
    found = answer(text)
    assert found.credit is None
    assert any("no reading at E; unknown is never clean" in each for each in found.missing)
    (limits,) = found.limits
    assert limits.holds is None
    assert limits.measured.share_if_unknown_dirty < limits.measured.share_if_unknown_clean == 1
    assert "not shown" in reckon_text(found)


@pytest.mark.parametrize("line", ["karst = true", "void = true"])
def test_ground_that_excludes_the_base_takes_every_credit(answer: Any, line: str) -> None:
    found = answer(uniform("5 mm").replace("poisson = 0.25", f"poisson = 0.25\n{line}"))
    assert found.credit is None
    assert found.curve == ()
    assert "no base resistance may be counted" in reckon_text(found)


def test_a_side_that_softens_says_when_the_answer_is_not_the_only_one(answer: Any) -> None:
    soft = SIDE.replace(
        "[shaft]", '[shaft]\nside_curve = "softening"\nresidual_share = 0.1\nresidual_at = 1.5'
    )
    text = uniform("25 mm") + soft.replace('"30000 MPa"', '"3000 MPa"').replace('"5 m"', '"40 m"')
    found = answer(text)
    assert not found.heads.curves.as_built.unique
    assert "one head displacement can belong to several loads" in reckon_text(found)


def test_a_base_alone_gives_what_it_can_and_names_the_rest(answer: Any) -> None:
    found = answer('units = "SI"\n[base]\ndiameter = "1.5 m"\n[sediment]\nuniform = "5 mm"')
    assert found.credit is None
    assert len(found.missing) == 2
    assert "no modulus of the ground" in found.missing[0]
    assert [each.share for each in found.cells] == [1.0]


def test_credits_are_rounded_down_and_never_over_one() -> None:
    assert [credit_text(each) for each in (0.996, 0.9999999, 1.0, 1.0000001, 0.29, 0.0)] == [
        "0.99", "0.99", "1.00", "1.00", "0.29", "0.00",
    ]  # fmt: skip
    assert percent(0.49999) == "49.9 %"


@pytest.mark.parametrize("name", ["us-limits", "si-soundings"])
def test_the_samples_are_answered_whole(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    path = SAMPLES / f"{name}.toml"
    assert run(["reckon", str(path)]) == DONE
    said = capsys.readouterr().out
    assert "A mechanical estimate for the engineer to accept" in said
    assert "\nNot shown:" not in said
    assert not re.search(r"\b(nan|inf|None)\b", said)
    assert run(["reckon", str(path), "--json"]) == DONE
    told = json.loads(capsys.readouterr().out)
    for at in (told["credit"]["service"], told["credit"]["strength"]):
        assert 0 < at["low"] <= at["best"] <= at["high"] <= 1
    assert told["caveats"]
    assert told["missing"] == []


def test_the_same_file_gives_the_same_bytes() -> None:
    first, second = (to_json(reckon_json(reckon(SAMPLES / "si-soundings.toml"))) for _ in range(2))
    assert first == second


def test_exit_codes_tell_not_shown_from_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "what-if.toml"
    path.write_text('units = "SI"\n[base]\ndiameter = "1.5 m"\n', "utf-8")
    assert run(["reckon", str(path)]) == NOT_AS_ASKED
    path.write_text('units = "SI"\n[base]\ndiameter = "150 m"\n', "utf-8")
    assert run(["reckon", str(path)]) == REFUSED
    assert "base diameter more than 0 and at most 20 m; that is 150 m" in capsys.readouterr().err
    assert run(["reckon", str(tmp_path / "none.toml")]) == REFUSED
    assert run(["reckon", str(tmp_path)]) == REFUSED
