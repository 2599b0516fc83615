"""An acceptance set by touch: edited, refused, begun anew, adopted by the office alone."""

from __future__ import annotations

from fieldapp.ui.words import projects as words
from tests.screens.journey import entries_of
from tests.screens.office_journey import (
    leave_as_killed,
    open_part,
    press_next,
    rows,
    tap_row,
    write,
)


def test_an_edited_set_is_there_after_a_kill_and_an_inspector_cannot_adopt_it(opens, folder):
    on = opens(folder)
    on.session.person = "Inspector A"
    open_part(on, "base")
    tap_row(on, "Most sediment at any point")
    on.keys("back", "back", "back", "back", "back", "back", "1")
    write(on, "source", "contract")
    press_next(on)
    leave_as_killed(on)
    before = len(entries_of(folder))
    on = opens(folder)
    on.session.person = "Inspector A"
    on.walk.go("setup")
    on.wait()
    assert words.IN_THE_MAKING in on.texts()
    open_part(on, "base")
    assert rows(on)["Most sediment at any point"].value == "1 in"
    press_next(on)
    assert "1 1/2 in becomes 1 in" in on.texts()
    press_next(on)
    assert on.walk.current == "acceptance changes"
    assert "may not make a project set-up" in on.middle.said
    on.press()
    tap_row(on, "Most sediment at any point")
    on.tap(on.middle.second)
    assert rows(on)["Most sediment at any point"].value == "1 1/2 in"
    leave_as_killed(on)
    assert len(entries_of(folder)) == before


def test_a_number_that_cannot_be_is_refused_beside_its_field(opens, folder):
    on = opens(folder)
    on.session.person = "Designer"
    open_part(on, "base")
    tap_row(on, "Least share of the base")
    on.keys(*["back"] * 4, "1", "2", "0")
    write(on, "source", "contract")
    press_next(on)
    assert on.walk.current == "acceptance number"
    assert "at most 100 %" in on.middle.fields["value"].says
    assert on.middle.typing.name == "value"


def test_a_preset_asks_before_it_forgets_what_was_edited(opens, folder):
    on = opens(folder)
    on.session.person = "Designer"
    open_part(on, "base")
    tap_row(on, "Most sediment at any point")
    on.keys(*["back"] * 6, "1")
    write(on, "source", "contract")
    press_next(on)
    on.tap(on.middle.second)
    tap_row(on, "Bored piles, EN 1536 form")
    question = on.middle.ids.foot.question
    assert question is not None
    on.tap(question.ids.no)
    assert on.walk.current == "acceptance"
    tap_row(on, "Bored piles, EN 1536 form")
    on.tap(on.middle.ids.foot.question.ids.yes)
    assert on.walk.current == "acceptance set"
    assert "Bored piles, EN 1536 form" in on.texts()


def test_what_is_missing_in_the_adopted_set_is_the_next_thing(opens, folder):
    on = opens(folder)
    on.session.person = "Designer"
    on.walk.go("acceptance")
    on.wait()
    tap_row(on, "Bored piles, EN 1536 form")
    assert on.middle.next.text == "Enter what is missing"
    press_next(on)
    assert (on.walk.current, on.middle.fields["value"].value) == ("acceptance number", "")
    on.keys("5", "0")
    write(on, "source", "contract")
    press_next(on)
    assert (on.walk.current, on.middle.next.text) == ("acceptance set", "See what changes")
