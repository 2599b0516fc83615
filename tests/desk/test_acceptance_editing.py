"""Choosing an acceptance set, entering and editing its numbers, and adopting it."""

from __future__ import annotations

import pytest

from fieldapp.criteria.adopted_rules import NOT_HELD
from fieldapp.criteria.findings import RULE_NAMES
from fieldapp.criteria.parameters import PARAMETERS
from fieldapp.desk.entry_forms.form import Ask
from fieldapp.desk.inspector import Refused, keep_form
from fieldapp.desk.projects.acceptance_editing import (
    ADOPTED,
    adopt,
    adopted_shown,
    begin_draft,
    differences,
    draft,
    drop_draft,
    edit,
    keys_of,
    not_in,
    presets_shown,
    take_back,
    written,
)
from fieldapp.desk.projects.acceptance_numbers import ASKED_BY, asked_by, number_form, value_field
from fieldapp.desk.projects.presets import preset, preset_names
from fieldapp.record.reading import Impossible
from fieldapp.record.words import UnitSystem

ENGINEER, INSPECTOR = "Resident engineer", "Inspector A"
CHECKED = {"verified_by": ENGINEER, "source": "project contract", "clause": "4.2"}
LARGEST = "max_thickness_anywhere"


def typed(value: str, **more: str) -> dict[str, str]:
    return {"value": value, **CHECKED, **more}


def test_every_preset_is_shown_with_what_must_be_entered() -> None:
    shown = {each.name: each for each in presets_shown()}
    assert set(shown) == set(preset_names())
    # counted by hand in the file: parameters of eu-en1536 whose value is "user"
    assert shown["eu-en1536"].to_enter == 5
    assert shown["eu-en1536"].title == "Bored piles, EN 1536 form"
    assert "no number for sediment" in shown["eu-en1536"].note


def test_every_number_says_which_requirement_asks_for_it() -> None:
    said = {name for names in ASKED_BY.values() for name in names}
    assert said <= set(RULE_NAMES)
    # of the names without a requirement, this one alone is held elsewhere: signatures on a paper
    assert set(PARAMETERS) - set(ASKED_BY) - NOT_HELD == {"signatures_required"}
    assert asked_by("tremie_embed_min") == ("limits without a rule",)
    assert asked_by("phi_side_clay") == ()


def test_a_draft_begins_as_the_adopted_set_and_changes_nothing(place) -> None:
    found = draft(place)
    assert (found.start, found.edits, found.accepted) == (ADOPTED, (), place.accepted())
    assert differences(place.accepted(), found.accepted) == ()
    with pytest.raises(Impossible, match="something else than the adopted one"):
        adopt(place, ENGINEER)


def test_a_number_that_must_be_entered_is_entered_with_who_verified_it(place) -> None:
    begin_draft(place, "eu-en1536")
    found = edit(place, LARGEST, typed("50"))
    number = keys_of(found.accepted)[LARGEST]
    assert (number.value, number.unit, number.confidence) == ("50", "mm", "contract")
    assert (number.verified_by, number.source, number.clause) == (ENGINEER, "project contract", "4.2")
    assert draft(place).accepted == found.accepted
    adopt(place, ENGINEER)
    assert keys_of(place.accepted())[LARGEST] == number
    assert draft(place).edits == ()
    assert adopted_shown(place).to_enter == 4


def test_a_number_may_be_in_another_unit_with_a_comma_and_strict(place) -> None:
    found = edit(place, LARGEST, typed("3,5 cm", strict="yes"))
    number = keys_of(found.accepted)[LARGEST]
    assert (number.value, number.unit, number.strict) == ("3.5", "cm", True)
    (change,) = differences(place.accepted(), found.accepted)
    assert (change.key, change.before) == (LARGEST, "1 1/2 in")
    assert change.after == "3.5 cm, not the value itself"


def test_the_same_value_under_a_contract_is_a_difference_of_source(place) -> None:
    found = edit(place, LARGEST, typed("1-1/2 in"))
    (change,) = differences(place.accepted(), found.accepted)
    assert (change.before, change.after) == ("1 1/2 in", "1 1/2 in, by project contract")


def test_a_number_that_the_set_does_not_hold_is_added_and_taken_back(place) -> None:
    assert "flatness_limit" in not_in(place.accepted())
    found = edit(place, "flatness_limit", typed("2"))
    assert written(keys_of(found.accepted)["flatness_limit"]) == "2 in"
    (change,) = differences(place.accepted(), found.accepted)
    assert (change.before, change.after) == ("", "2 in")
    assert take_back(place, "flatness_limit").accepted == place.accepted()


def test_words_are_chosen_as_well_as_numbers(place) -> None:
    found = edit(place, "rounds_required", typed("after cage\nbefore concrete"))
    assert keys_of(found.accepted)["rounds_required"].value == "after cage, before concrete"


@pytest.mark.parametrize(
    ("key", "texts", "field"),
    [
        (LARGEST, typed("-1 in"), "value"),
        (LARGEST, typed("3 pcf"), "value"),
        (LARGEST, typed(""), "value"),
        (LARGEST, typed("thick"), "value"),
        ("area_fraction_min", typed("120 %"), "value"),
        (LARGEST, {**typed("1 in"), "verified_by": " "}, "verified_by"),
        (LARGEST, {**typed("1 in"), "source": ""}, "source"),
        ("no_such_number", typed("1 in"), "number"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field_and_not_kept(place, key, texts, field) -> None:
    with pytest.raises(Impossible) as problem:
        edit(place, key, texts)
    assert problem.value.field_name == field
    assert draft(place).edits == ()


def test_adopting_is_for_the_office_and_a_refusal_keeps_the_draft(place) -> None:
    found = edit(place, LARGEST, typed("1 in"))
    before = len(place.entries())
    with pytest.raises(Refused, match="may not make a project set-up"):
        adopt(place, INSPECTOR)
    assert len(place.entries()) == before
    assert draft(place).accepted == found.accepted
    drop_draft(place)
    assert draft(place).accepted == place.accepted()


def test_an_edit_that_fits_no_more_is_named_and_left_out(place) -> None:
    edit(place, LARGEST, typed("1 in"))
    edit(place, "flatness_limit", typed("2"))
    adopt(place, ENGINEER)
    begin_draft(place, "eu-en1536")
    edit(place, "flatness_limit", typed("40"))
    made = draft(place)
    assert made.unfit == ()
    gone = {"key": "no_such_number", "value": "1 in", "verified_by": "a", "source": "b"}
    keep_form(place, "acceptance set", "", {"start": "us-classic", "edits": [gone, "rubbish"]})
    assert set(draft(place).unfit) == {"no_such_number", ""}
    assert draft(place).accepted == preset("us-classic")


@pytest.mark.parametrize("system", list(UnitSystem))
@pytest.mark.parametrize("name", list(PARAMETERS))
def test_every_known_number_has_a_field_whose_every_unit_fits(name, system) -> None:
    field = value_field(name, system)
    kind = PARAMETERS[name]
    assert all(kind.takes_unit(each) for each in field.units)
    assert bool(field.units) == bool(kind.dimensions)
    assert field.ask is not Ask.CHOICE or {each.value for each in field.options} == set(kind.words)


def test_the_form_says_what_the_number_says_now(place) -> None:
    key = next(each for each in keys_of(place.accepted()) if each.startswith("density_max"))
    form, now = number_form(keys_of(place.accepted())[key], UnitSystem.US, (ENGINEER,))
    assert form.field("value").unit == keys_of(place.accepted())[key].unit
    assert now["strict"] in {"yes", "no"}
    assert "verified_by" not in now
    assert [each.value for each in form.field("verified_by").options] == [ENGINEER]
