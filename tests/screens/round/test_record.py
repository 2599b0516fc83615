"""What is kept of a round: the unit of each reading, its moment, and how it was amended."""

from __future__ import annotations

from datetime import timedelta

from fieldapp.desk.inspector import kept_form
from fieldapp.desk.workplace import open_project
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.decisions import Amend
from tests.screens.journey import DEVICE, SteppedClock, depth_keys, entries_of
from tests.screens.round_journey import begin_with, read_back, to_round
from tests.screens.views.round_views import EIGHTHS, FIRM, SHAFT, amend_round, first_round


def test_the_unit_of_the_tape_is_kept_for_the_round_and_every_reading_keeps_its_own(go, folder):
    on = go()
    on.keys(*depth_keys("31' 11\""))
    on.tap_next()
    on.keys(*depth_keys(FIRM))
    on.tap_next()
    on.tap(on.middle.tools.button("tape"))
    on.tap(on.middle.tape.ids.units.rows["ft"])
    assert on.middle.keypad.mode == "decimal"
    assert on.middle.tools.button("tape").text == "Tape: ft"
    on.keys("3", "1", "mark", "9")
    on.tap_next()
    assert on.screen.hand.typing.last_typed() == ""  # the depth before was read in another unit
    on.keys("3", "2")
    on.tap_next()
    assert {each.label: each.text for each in on.middle.plan.cells} == {"C": "1", "R1": "1.2"}
    on = go()
    assert on.screen.hand.typing.unit == "ft"
    for _ in range(7):
        on.tap_second()
        on.tap_text("could not reach")
    on.tap_next()
    on.leave()
    read = {each.label: each.first_contact for each in read_back(folder).points if each.first_contact}
    assert {label: (each.read, each.unit) for label, each in read.items()} == {
        "C": ("31' 11\"", "ft-in"),
        "R1": ("31.9", "ft"),
    }


def test_a_point_saved_twenty_minutes_ago_gives_the_moment_of_the_round(go, folder):
    on = go()
    begin_with(on, tuple(EIGHTHS))
    on.tap_next()
    on.leave()
    new = max(entries_of(folder), key=lambda each: each.stamp)
    assert new.draft.recorded_at - new.draft.observed_at > timedelta(minutes=19)


def test_a_round_is_amended_with_a_reason_and_keeps_what_was_not_touched(go, folder):
    before = entries_of(folder)
    on = go("")
    target = first_round(on)
    amend_round(on)
    assert on.screen.sides.bar.subtitle == "Round 1, amended, 9 of 9 points"
    assert (on.strip.next_text, on.strip.next_button.disabled) == ("Nothing is changed yet", True)
    on.tap_point("R4")
    assert on.middle.fields.first == "31' 11 5/8\""
    on.tap(on.middle.fields.ids.upper)
    on.keys("back", "back", "back", "1", "0", '"')
    assert on.middle.fields.first == "31' 10\""
    on.tap_next()
    assert on.strip.next_text == "Next: why it is changed"
    on.tap_next()
    assert on.strip.next_button.disabled
    on.tap(on.middle.why.ids.reasons.rows["read the wrong mark"])
    assert on.strip.next_text == "Record the change"
    on.tap_next()
    assert on.walk.current == "shaft"
    on.leave()
    (new,) = set(entries_of(folder)) - set(before)
    change = new.draft.values
    assert isinstance(change, Amend)
    assert (change.target, change.why) == (target, "read the wrong mark")
    was = next(each.draft.values for each in before if each.draft.id == target)
    points = {each.label: each for each in change.says.points}
    assert points["R4"].first_contact.read == "31' 10\""
    assert [points[each.label] for each in was.points if each.label != "R4"] == [
        each for each in was.points if each.label != "R4"
    ]
    with open_project(folder, SteppedClock(), DEVICE) as place:
        line = place.shaft(SHAFT).of(SoundingRound)[0]
        assert line.observed_at == next(each for each in before if each.draft.id == target).draft.observed_at
        assert kept_form(place, f"round amend {target}") is None


def test_a_half_typed_amendment_is_kept_apart_from_a_new_round(go):
    on = go("")
    amend_round(on)
    on.tap_point("R2")
    on.tap_second()
    on.tap_text("obstruction")
    to_round(on)
    assert on.screen.hand.typing.done == 0
    amend_round(on)
    assert on.screen.hand.typing.typed.points["R2"] == {"no_reading": "obstruction"}
