"""Entries amended and struck by touch, and those half typed."""

from __future__ import annotations

from fieldapp.desk.inspector import kept_form
from fieldapp.desk.workplace import open_project
from fieldapp.record.decisions import Amend, Strike
from tests.screens.entry_journey import box, head_of, new_entry, take, type_number, write
from tests.screens.journey import DEVICE, SteppedClock, entries_of


def test_an_entry_is_amended_with_a_reason_and_shows_what_it_said(go, folder):
    before = entries_of(folder)
    target, said = head_of(folder)
    on = go("P1-4", amend=target)
    assert box(on, "fluid_level").value == said.removesuffix(" ft")
    assert on.strip.next_text == "Nothing is changed yet"
    assert on.strip.next_button.disabled
    take(on, "fluid_level")
    on.keys(*["back"] * len(said), "1", "'", "0")
    on.keys("next")
    assert box(on, "fluid_level").before == f"it said {said.removesuffix(' ft')}"
    assert on.strip.next_text == "Next: why it is amended"
    on.tap_next()
    on.tap(on.middle.tools.suggested.rows["read the wrong mark"])
    assert on.strip.next_text == "Record the change"
    on.tap_next()
    assert on.walk.current == "shaft"
    on.leave()
    change = new_entry(folder, before).values
    assert isinstance(change, Amend)
    assert (change.target, change.why) == (target, "read the wrong mark")
    assert change.says.fluid_level.read == "1' 0\""
    assert head_of(folder) == (target, "1' 0\"")


def test_an_entry_is_struck_only_when_held_and_with_a_reason(go, folder, hand):
    before = entries_of(folder)
    target, _ = head_of(folder)
    on = go("P1-4", amend=target)
    on.tap_second()
    assert on.strip.next_text == "Hold down to strike"
    assert on.strip.next_button.disabled
    assert "counts no more" in on.texts()
    on.press()  # back leads to amending, not away
    assert on.walk.current == "entry"
    on.tap_second()
    assert on.middle.fields["why"].caption == "why it is struck, needed"
    on.tap(on.middle.tools.suggested.rows["wrong point"])
    assert (on.middle.fields["why"].caption, on.middle.fields["why"].value) == (
        "why it is struck", "wrong point",
    )  # fmt: skip
    on.tap_next()  # a tap is not held: nothing happens
    assert on.walk.current == "entry"
    hand.until(lambda: on.strip.next_button.state == "normal")  # a button stays down for a moment after a tap
    touch = hand.touch(*on.strip.next_button.to_window(*on.strip.next_button.center))
    hand.until(lambda: on.walk.current == "shaft")
    touch.touch_up()
    on.wait()
    on.leave()
    struck = new_entry(folder, before).values
    assert struck == Strike(target, "wrong point")


def test_a_half_typed_entry_survives_building_the_app_anew(go, folder):
    on = go("P1-4", kind="head reading")
    type_number(on, "fluid_level", "3", "'", "6")
    write(on, "stratum", "sandstone")
    hand = on.hand
    hand.until(lambda: not on.screen.hand._rest.is_triggered)  # kept when the hand rests
    on.wait()
    on = go("P1-4", kind="head reading")
    assert (box(on, "fluid_level").value, box(on, "stratum").value) == ("3' 6\"", "sandstone")
    assert box(on, "fluid_level").shown == "not met"
    on.tap_second()
    on.tap(on.middle.ids.foot.question.ids.yes)
    assert box(on, "fluid_level").value == ""
    on.leave()
    with open_project(folder, SteppedClock(), DEVICE) as place:
        assert kept_form(place, "entry head reading P1-4") is None


def test_a_recorded_entry_leaves_no_draft(go, folder):
    on = go("P2-1", kind="note")
    write(on, "text", "made level")
    on.tap_next()
    on.leave()
    with open_project(folder, SteppedClock(), DEVICE) as place:
        assert kept_form(place, "entry note P2-1") is None
