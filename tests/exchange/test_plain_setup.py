"""The project set-up as typed, with the limits of the contract."""

from __future__ import annotations

import pytest

from fieldapp.exchange.plain_log import read_plain_log
from fieldapp.exchange.plain_problem import PlainLogRefused
from fieldapp.record.acceptance import AcceptanceSet, Applies, Parameter
from fieldapp.record.words import Fluid, FluidStage
from tests.exchange.plain_text import HEAD

SETUP = """09:00  project set-up
  name        Vesker quay
  units       SI
  time zone   Europe/Brussels
  acceptance  a preset
  person      Inspector C        inspector
  person      Two hats           resident engineer, designer
"""
MINERAL = Applies(fluid=(Fluid.MINERAL,), stage=(FluidStage.BEFORE_CONCRETE,))
PRESET = AcceptanceSet(
    "a preset",
    "A preset",
    "none",
    (
        Parameter("mean_thickness_limit", None, "mm", "invented", "none"),
        Parameter("sand_max", "4", "%", "invented", "judgment", strict=True, applies=MINERAL),
        Parameter("sand_max", "1", "%", "invented", "judgment", applies=Applies(fluid=(Fluid.POLYMER,))),
    ),
)


def settled(*limits: str):
    (entry,) = read_plain_log(
        HEAD + SETUP + "".join(f"  limit  {each}\n" for each in limits), "p.log"
    ).entries
    return entry.says.settled(PRESET, entry.author)


def found(setup, name, applies=None):
    return [
        each
        for each in setup.acceptance.parameters
        if each.name == name and (applies is None or each.applies == applies)
    ]


def test_people_have_their_roles():
    assert [(each.name, each.roles) for each in settled().people] == [
        ("Inspector C", ("inspector",)),
        ("Two hats", ("resident engineer", "designer")),
    ]


def test_a_limit_that_was_open_is_entered_by_the_author():
    (limit,) = found(
        settled("mean_thickness_limit  at most 25 mm  contract: specification 4.2"), "mean_thickness_limit"
    )
    assert (limit.value, limit.unit, limit.strict) == ("25", "mm", False)
    assert (limit.confidence, limit.source) == ("contract", "specification 4.2")
    assert limit.verified_by == "Inspector A"


def test_a_limit_for_one_case_leaves_the_others():
    setup = settled("sand_max  3 %  contract: 4.3  for mineral, before concrete")
    assert found(setup, "sand_max", MINERAL)[0].value == "3"
    assert [each.value for each in found(setup, "sand_max")] == ["3", "1"]


def test_a_limit_without_a_case_replaces_all_and_keeps_their_strictness():
    both = found(settled("sand_max  2 %  contract: 4.3"), "sand_max")
    assert [(each.value, each.strict) for each in both] == [("2", True), ("2", False)]


def test_words_say_whether_the_limit_itself_is_met():
    assert [each.strict for each in found(settled("sand_max  at most 2 %  contract: 4.3"), "sand_max")] == [
        False,
        False,
    ]
    assert [each.strict for each in found(settled("sand_max  less than 2 %  contract: 4.3"), "sand_max")] == [
        True,
        True,
    ]


def test_a_limit_that_the_set_does_not_hold_is_added():
    (limit,) = found(settled("flatness_limit  75 mm  contract: 4.4"), "flatness_limit")
    assert (limit.value, limit.unit) == ("75", "mm")


@pytest.mark.parametrize(
    ("limit", "expected"),
    [
        ("sand_maximum  2 %  contract: 4.3", "a known name, such as sand_max"),
        ("sand_max  2 mm  contract: 4.3", "ratio"),
        ("sand_max  2 %", "name, value and source two spaces apart"),
        ("sand_max  2 %  contract: 4.3  for slurry", "one of dry, wet, cased"),
        ("sand_max  -2 %  contract: 4.3", "not negative"),
    ],
)
def test_a_limit_that_does_not_fit_is_refused_with_its_line(limit, expected):
    with pytest.raises(PlainLogRefused) as refused:
        settled(limit)
    (problem,) = refused.value.problems
    assert problem.line == 15
    assert expected in problem.expected


@pytest.mark.parametrize(("typed", "kept"), [("", False), ("no", False), ("yes", True)])
def test_a_set_up_asks_for_the_positions_of_pictures_by_name(typed, kept):
    line = f"  keep picture positions  {typed}\n" if typed else ""
    (entry,) = read_plain_log(HEAD + SETUP + line, "p.log").entries
    assert entry.says.settled(PRESET, entry.author).keep_picture_positions is kept


def test_a_set_up_names_one_acceptance_set():
    with pytest.raises(PlainLogRefused, match="line 8, acceptance: read 'nothing'"):
        read_plain_log(HEAD + SETUP.replace("  acceptance  a preset\n", ""), "p.log")
