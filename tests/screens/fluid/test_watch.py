"""The funnel's watch, also while another screen is open or the app is closed."""

from __future__ import annotations

import pytest

from tests.screens.fluid_journey import (
    funnel_text,
    kept,
    press,
    time_it,
    to_funnel,
)


def test_the_stopped_watch_types_whole_seconds_and_one_key_goes_on(go):
    on = go()
    ticks = to_funnel(on)
    assert on.middle.watch.ids.key.height >= 160
    assert on.middle.keypad.parent is not None  # beside it the time can be typed
    press(on)
    ticks.at_s += 40.6
    assert on.strip.next_text == "Stop the watch first"
    assert on.strip.next_button.disabled
    press(on)
    assert funnel_text(on) == "41"  # to the nearest second, as API RP 13B-1 reports it
    on.keys("next")
    assert on.screen.typing.field == "sand"
    assert on.middle.fields["funnel_time"].shown == "met"
    assert on.middle.watch.parent is None


def test_a_time_that_no_funnel_takes_is_not_typed(go):
    on = go()
    ticks = to_funnel(on)
    time_it(on, ticks, 0.4)  # touched twice
    assert funnel_text(on) == ""
    assert on.middle.said == "0 s cannot be a time of the funnel (20 to 600 s). Time it again."
    time_it(on, ticks, 40 * 60)
    assert funnel_text(on) == ""
    assert "2400 s cannot be" in on.middle.said
    time_it(on, ticks, 38.2)
    assert funnel_text(on) == "38"
    assert on.middle.said == ""


def test_the_watch_runs_on_while_another_screen_is_open(go):
    on = go()
    ticks = to_funnel(on)
    press(on)
    ticks.at_s += 10
    on.press()
    assert on.walk.current == "shaft"
    on.tap_stage("Hole")
    assert on.strip.next_text == "Go on: fluid test, the watch runs"
    assert not on.strip.next_button.disabled
    ticks.at_s += 20.2
    on.tap_next()
    assert on.walk.current == "fluid"
    assert on.screen.typing.field == "funnel_time"
    assert on.middle.watch.running
    on.tap(on.middle.fields["sand"])
    ticks.at_s += 5
    on.tap(on.middle.fields["funnel_time"])
    press(on)
    assert funnel_text(on) == "35"  # by hand: 10 + 20.2 + 5


def test_the_watch_goes_on_after_the_end_of_the_app_and_says_that_it_was_closed(go):
    on = go()
    to_funnel(on)
    press(on)
    on = go(later_s=20)
    assert on.screen.typing.field == "funnel_time"
    watch = on.middle.watch
    assert watch.running
    assert "the app was closed meanwhile" in watch.caption
    assert 20 <= watch.elapsed_s < 60  # by the tablet's clock, which goes on by a second at each look
    press(on)
    assert 20 <= int(funnel_text(on)) < 60


@pytest.mark.parametrize("later_s", [40 * 60, -300], ids=["forty minutes", "a clock that was set back"])
def test_a_watch_that_ran_too_long_while_the_app_was_closed_says_so_and_gives_no_time(go, folder, later_s):
    on = go()
    to_funnel(on)
    press(on)
    on = go(later_s=later_s)
    assert not on.middle.watch.running
    assert "ran while the app was closed. No time is taken" in on.middle.said
    assert funnel_text(on) == ""
    on.keys("back", *"4", "next")
    assert kept(on, folder)["watch"] == {}
