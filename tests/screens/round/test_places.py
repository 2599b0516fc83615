"""Points of a round moved, added and taken out, by the plan and by numbers."""

from __future__ import annotations

import pytest

from tests.screens.journey import depth_keys
from tests.screens.round_journey import FIVE, begin_with, read_back
from tests.screens.views.round_views import EIGHTHS


def test_a_point_is_moved_by_a_tap_on_the_plan_and_stands_there_in_the_record(go, folder):
    on = go()
    begin_with(on, tuple(label for label in EIGHTHS if label != "R3"))
    assert on.screen.hand.typing.label == "R3"
    on.tap(on.middle.tools.button("move"))
    assert (on.middle.fields.r, on.middle.fields.angle) == ("31", "90")
    plan = on.middle.plan
    on.hand.tap_at(*plan.to_window(*plan.place((0.5, 0.0))))
    on.wait()
    # by hand: half of the radius of 36 in, to the right
    assert (on.middle.fields.r, on.middle.fields.angle) == ("18", "90")
    assert on.strip.next_text == "Move R3 here"
    on.tap_next()
    assert dict(plan.places())["R3"] == pytest.approx(plan.place((0.5, 0.0)), abs=0.5)
    assert on.screen.hand.typing.label == "R3"  # in hand again, to be read
    on.keys(*depth_keys("31' 11 1/2\""))
    on.tap_next()
    on.keys("same")
    on.tap_next()
    on.tap_next()
    on.leave()
    moved = next(each for each in read_back(folder).points if each.label == "R3")
    assert (str(moved.r), str(moved.angle)) == ("18 in", "90 deg")


def test_a_moved_point_survives_the_end_of_the_app_before_it_is_read(go):
    on = go()
    on.tap_point("R2")
    on.tap(on.middle.tools.button("move"))
    on.tap(on.middle.fields.ids.upper)
    on.keys("back", "back", "2", "0")
    on.tap(on.middle.fields.ids.lower)
    on.keys("back", "back", "6", "0")
    on.tap_next()
    on = go()
    assert on.screen.hand.typing.typed.places == {"R2": {"r": "20", "angle": "60"}}
    at = next(each.at for each in on.middle.plan.points if each.label == "R2")
    # by hand: 20/36 at 60 degrees clockwise from upstation
    assert at == pytest.approx((20 / 36 * 0.8660254, 20 / 36 * 0.5))


def test_a_place_off_the_base_is_refused_beside_its_number(go):
    on = go()
    on.tap(on.middle.tools.button("move"))
    on.keys("back", "5", "0")
    assert on.strip.next_button.disabled
    assert on.middle.plan.ghost is None
    on.keys("back", "back", "3")
    assert not on.strip.next_button.disabled
    on.tap(on.middle.fields.ids.lower)
    on.keys("back", "9", "9", "9")
    on.tap_next()
    assert on.middle.fields.refused == "angle"
    assert on.screen.hand.typing.typed.places == {}


def test_a_tap_on_an_empty_place_adds_a_point_that_is_recorded_with_the_others(go, folder):
    on = go()
    begin_with(on, tuple(EIGHTHS))
    plan = on.middle.plan
    on.hand.tap_at(*plan.to_window(*plan.place((-0.42, 0.17))))
    on.wait()
    assert on.strip.next_text == "Add A1 here"
    on.tap_next()
    assert on.screen.sides.bar.subtitle.endswith("9 of 10 points")
    assert on.middle.figures.ids.share.number == "not shown"  # an added point is unread
    on.keys(*depth_keys("31' 11 3/4\""))
    on.tap_next()
    on.keys("same")
    on.tap_next()
    on.wait(hops=3)
    assert on.middle.figures.ids.share.number.endswith("%")
    on.tap_next()
    on.leave()
    labels = [each.label for each in read_back(folder).points]
    assert labels == [*EIGHTHS, "A1"]


def test_a_point_is_added_where_the_next_sounding_tells_most_and_can_be_taken_out(go):
    on = go()
    begin_with(on, ("C", "R1", "R2", "R5"))
    place = on.screen.hand.now.next_place
    on.tap(on.middle.tools.button("add"))
    assert (on.middle.fields.r, on.middle.fields.angle) == (place.r, place.angle)
    on.tap_next()
    assert on.screen.hand.typing.label == "A1"
    on.tap(on.middle.tools.button("move"))
    on.tap(on.middle.tools.button("take out"))
    assert "A1" not in on.screen.hand.typing.labels
    assert "A1" not in dict(on.middle.plan.places())
    on = go()
    assert "A1" not in on.screen.hand.typing.labels


def test_leaving_a_place_changes_nothing(go):
    on = go()
    on.tap(on.middle.tools.button("move"))
    on.keys("back", "9")
    on.press()  # escape
    assert on.walk.current == "round"
    assert on.screen.hand.typing.typed.places == {}
    on.tap(on.middle.tools.button("move"))
    on.tap_second()
    assert (on.screen.hand.place.in_hand, on.middle.fields.placing) == (None, False)


def test_moving_a_point_that_was_read_keeps_the_moment_of_its_reading(go):
    on = go()
    begin_with(on, FIVE)
    read_at = on.screen.hand.typing.typed.read_at
    on.tap_point("R2")
    on.tap(on.middle.tools.button("move"))
    on.keys("back", "0")
    on.tap_next()
    typed = on.screen.hand.typing.typed
    assert typed.places["R2"]["r"] == "30"
    assert typed.read_at == read_at
