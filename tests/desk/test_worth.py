"""What a base is worth, out of the sample record: ranges, reasons for silence, and an independent sum."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from importlib.resources import files
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from scipy.optimize import brentq

from fieldapp.base.load_test import Closure
from fieldapp.base.sediment_map import NoMap
from fieldapp.cli import DONE, NOT_AS_ASKED, REFUSED, run
from fieldapp.criteria.acceptance import Adoption, added
from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.office import begin_project
from fieldapp.desk.papers.shaft_facts import shaft_facts
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.desk.worth.inputs import plan_without_numbers
from fieldapp.desk.worth.load_tests import load_test_lines, load_tests
from fieldapp.desk.worth.outlook import base_outlook
from fieldapp.desk.worth.text import worth_text
from fieldapp.desk.worth.worth import BaseWorth, base_worth
from fieldapp.fluid.forecast import Forecast
from fieldapp.record.acceptance import Applies
from fieldapp.record.setup import ShaftScheduled
from fieldapp.record.words import UnitSystem
from reports.worth_words import credit_text
from tests.desk.conftest import SiteClock


@pytest.fixture(scope="module")
def larkwater(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workplace]:
    folder = tmp_path_factory.mktemp("worth") / "larkwater"
    begin_project(folder)
    clock = SiteClock(datetime(2026, 5, 30, 9, 0, tzinfo=ZoneInfo("America/Denver")))
    with open_project(folder, clock, device="desk") as place:
        logs = Path(str(files("sample_logs") / "larkwater"))
        add_logs(place, read_logs(list(logs.glob("*.log"))))
        yield place


@pytest.fixture(scope="module")
def worths(larkwater: Workplace) -> dict[str, BaseWorth]:
    return {each: base_worth(larkwater, each, None) for each in larkwater.record().shafts}


def test_a_credit_is_a_range_at_a_displacement_and_never_over_one(worths: dict[str, BaseWorth]) -> None:
    told = [each.credit for each in worths.values() if each.credit is not None]
    assert len(told) == 7  # P2-1 unread, P2-2 overtaken by water, P2-5 void
    for credit in told:
        for at in (credit.service, credit.strength):
            assert 0 <= at.lowest <= at.credit <= at.greatest.credit <= 1
        assert credit.service.displacement_m < credit.strength.displacement_m
        assert credit.credited_mn <= credit.nominal_mn


def test_what_is_not_shown_gives_no_number_and_says_why(worths: dict[str, BaseWorth]) -> None:
    unread, void = worths["P2-1"], worths["P2-5"]
    assert (unread.credit, unread.stake, void.credit) == (None, None, None)
    assert any("C, R1, R2, R3, R4" in each for each in unread.missing)
    assert any("void" in each for each in void.missing)
    assert "not shown, for want of" in worth_text(unread, UnitSystem.US)


def test_a_dirty_base_is_worth_less_than_a_clean_one(worths: dict[str, BaseWorth]) -> None:
    service = {name: each.credit.service.credit for name, each in worths.items() if each.credit}
    assert (
        max(service["P1-3"], service["P1-4"], service["P2-4"], service["T-1"])
        < 0.6
        < min(service["P1-1"], service["P1-2"])
    )


def test_the_credit_is_the_sum_that_a_root_finder_gives(worths: dict[str, BaseWorth]) -> None:
    # Mechanics 3.2, cell by cell by bracketing: w = q/(k(1 - q/q_inf)) + t e_L q/(M_0 e_L + q).
    worth = worths["P1-3"]
    assert worth.inputs is not None
    assert worth.inputs.model is not None
    assert worth.cover is not None
    assert worth.credit is not None
    curve, w = worth.inputs.model.curve, worth.credit.service.displacement_m
    k, q_inf, m0, strain = curve.stiffness_mpa_per_m, curve.asymptote_mpa, 1.0, 0.35
    clean = w / (1 / k + w / q_inf)

    def cell(t: float) -> float:
        def gap(q: float) -> float:
            return q / (k * (1 - q / q_inf)) + t * strain * q / (m0 * strain + q) - w

        return float(brentq(gap, 0.0, clean * (1 + 1e-9), xtol=1e-12))

    thickness, share = worth.cover.thickness_m.ravel(), worth.cover.share.ravel()
    expected = sum(a * cell(t) for a, t in zip(share, thickness, strict=True)) / clean
    assert worth.credit.service.credit == pytest.approx(expected, rel=1e-6)
    assert float(share.sum()) == pytest.approx(1.0)


def test_the_same_record_gives_the_same_numbers(larkwater: Workplace, worths: dict[str, BaseWorth]) -> None:
    again = base_worth(larkwater, "P1-1", None)
    assert again.credit == worths["P1-1"].credit
    assert again.assured is not None
    assert worths["P1-1"].assured is not None
    assert again.assured.by_map == worths["P1-1"].assured.by_map


def test_displacements_are_those_of_the_designer(worths: dict[str, BaseWorth]) -> None:
    credit = worths["P1-1"].credit
    assert credit is not None
    assert credit.service.displacement_m == pytest.approx(0.4 * 0.0254)  # 0.4 in, as scheduled
    assert credit.strength.displacement_m == pytest.approx(3.6 * 0.0254)


def test_credits_are_rounded_down() -> None:
    assert [credit_text(each) for each in (0.999, 1.0, 0.5, 0.4999)] == ["0.99", "1.00", "0.50", "0.49"]


def test_shares_are_told_rounded_down(worths: dict[str, BaseWorth]) -> None:
    told = 0
    for worth in worths.values():
        if worth.assured is None or isinstance(worth.assured.by_map, NoMap):
            continue
        text = worth_text(worth, UnitSystem.US)
        (by_map,) = re.findall(r"by the map (\d+) % at 95 % confidence", text)
        (by_counting,) = re.findall(r"by counting points alone (\d+) %", text)
        for said, share in (
            (by_map, worth.assured.by_map.assured_share),
            (by_counting, worth.assured.share_by_counting),
        ):
            assert int(said) <= 100 * share < int(said) + 1
            told += 1
    assert told > 10


def test_a_forecast_never_falls_and_is_held_against_what_came(larkwater: Workplace) -> None:
    outlook = base_outlook(larkwater, "P2-4", None)
    assert isinstance(outlook.answer, Forecast)
    for course in outlook.answer.courses:
        assert np.all(np.diff(course.thickness_m) >= 0)
    assert [(each.from_round, each.to_round) for each in outlook.held] == [(1, 2), (2, 3)]
    assert outlook.held[1].comparison.measured_m > outlook.held[0].comparison.measured_m
    assert outlook.sound_again_by == outlook.from_moment  # the requirement is broken already


def test_nothing_settles_in_a_dry_hole_and_no_test_is_no_forecast(larkwater: Workplace) -> None:
    assert "dry" in base_outlook(larkwater, "P2-2", None).missing[0]
    unread = base_outlook(larkwater, "P2-1", None)
    assert (unread.mean_m, unread.sound_again_by) == (None, None)


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (["credit", "P1-3"], DONE),
        (["credit", "P2-1"], NOT_AS_ASKED),
        (["forecast", "P1-1"], DONE),
        (["forecast", "P2-2"], NOT_AS_ASKED),
        (["credit", "P9-9"], REFUSED),
    ],
)
def test_the_command_line_says_the_same(
    larkwater: Workplace, words: list[str], code: int, capsys: pytest.CaptureFixture[str]
) -> None:
    command, shaft = words
    asked = [command, str(larkwater.folder), shaft, "--as-of", "last"]
    assert run(asked) == code
    capsys.readouterr()
    if code != REFUSED:
        run([*asked, "--json"])
        assert json.loads(capsys.readouterr().out)["shaft"] == shaft


def test_the_load_test_of_t_1_starts_flat_and_offers_a_strain_without_adopting_it(
    larkwater: Workplace, worths: dict[str, BaseWorth]
) -> None:
    (test,) = load_tests(larkwater, worths["T-1"])
    assert isinstance(test.reading, Closure)
    # The invented curve was drawn with a closure of about 0.5 in.
    assert 0.45 * 0.0254 <= test.reading.low_m <= 0.5 * 0.0254 <= test.reading.high_m + 0.0005
    assert test.against is not None
    assert test.against.offered is not None
    cover = worths["T-1"].cover
    assert cover is not None
    mean = float(cover.thickness_m.ravel() @ cover.share.ravel())
    assert test.against.offered.best == pytest.approx(test.reading.closure_m / mean)
    inputs = worths["T-1"].inputs
    assert inputs is not None
    assert inputs.spread.best.locking_strain == 0.35
    assert load_tests(larkwater, worths["P1-1"]) == ()
    assert "offered" in "\n".join(load_test_lines((test,), UnitSystem.US))


def test_a_strain_counts_once_the_designer_has_adopted_it(larkwater: Workplace) -> None:
    before = base_worth(larkwater, "T-1", None)
    setup = larkwater.setup()
    adopted = added(
        setup.acceptance,
        "sediment_locking_strain",
        Applies(),
        "45 %",
        Adoption("Designer", source="load test T-1"),
    )
    record_entry(larkwater, Saying(None, replace(setup, acceptance=adopted), "Designer"))
    after = base_worth(larkwater, "T-1", None)
    assert before.credit is not None
    assert after.credit is not None
    assert after.credit.service.credit < before.credit.service.credit
    # Paper and table say the same: the drawn band passes through the credit told.
    at = shaft_facts(larkwater, "T-1", after.now.at, "Designer")
    assert at.worth is not None
    assert at.worth.band is not None
    told = after.credit.service
    drawn = float(np.interp(told.displacement_m, at.worth.band.moved_m, at.worth.band.best_mn))
    assert drawn == pytest.approx(told.as_built_mn, rel=1e-3)


def test_a_plan_without_its_design_numbers_is_named_so_that_they_can_be_entered(larkwater: Workplace) -> None:
    shaft = larkwater.shaft("P1-1")
    assert plan_without_numbers(shaft) == ""
    line = shaft.of(ShaftScheduled)[-1]
    assert line.values.design is not None
    for lacking in (
        None,
        replace(line.values.design, rock_modulus=None, geological_strength_index=None),
        replace(line.values.design, nominal_base=None, rock_strength=None),
    ):
        bare = replace(line, values=replace(line.values, design=lacking))
        assert plan_without_numbers(replace(shaft, lines=(bare,))) == line.id
    assert plan_without_numbers(replace(shaft, lines=())) == ""
