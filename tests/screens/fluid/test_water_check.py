"""The water check of a funnel, one touch away from the sample."""

from __future__ import annotations

import pytest

from fieldapp.record.setup import Instrument
from tests.screens.fluid_journey import (
    new_entries,
    press,
    ticking,
    time_it,
    type_into,
)
from tests.screens.journey import entries_of


def test_the_last_water_check_stands_beside_the_sample(go):
    on = go()
    # sample log: funnel 1 at 18 May 06:48, 26.3 s at 70 degF; 26 +/- 0.5 s by ASTM D6910
    assert (on.middle.check.shown, on.middle.check.text) == (
        "met",
        "funnel 1: water 26.3 s at 18 May 06:48, passed.",
    )


def test_a_check_that_is_older_than_asked_is_not_shown(go):
    on = go(later_s=3 * 86400)  # us-classic: 7 days, from 18 May
    assert on.middle.check.shown == "not shown"
    assert "asked at most 7 day" in on.middle.check.text


def test_the_water_check_is_one_touch_away_and_recorded_as_the_instruments_check(go, folder):
    before = entries_of(folder)
    on = go()
    type_into(on, "density", "68.5")
    on.tap(on.middle.check)
    ticks = ticking(on)
    assert list(on.middle.fields) == ["water_time", "water_temperature"]
    assert on.middle.fields["water_time"].limit == "25.5 to 26.5 s"
    time_it(on, ticks, 25.94)
    assert on.middle.fields["water_time"].value == "25.9"  # to the tenth: held against half a second
    on.keys("next")
    assert on.strip.next_text == "Type its temperature"
    assert on.strip.next_button.disabled
    on.keys("7", "0")
    assert on.strip.next_text == "Record: funnel 1 passed"
    on.tap_next()
    assert "Water check saved" in on.middle.said
    assert on.middle.check.shown == "met"
    assert "water 25.9 s at 22 May" in on.middle.check.text
    assert on.middle.fields["density"].value == "68.5"  # the sample is where it was
    on.leave()
    (entry,) = new_entries(folder, before)
    made = entry.draft.values
    assert isinstance(made, Instrument)
    assert (entry.shaft, made.label, made.passed, made.check) == (
        None,
        "funnel 1",
        True,
        "fresh water at 70 degF",
    )
    assert (made.water_time.read, made.cup_volume.read) == ("25.9", "946")


def test_a_funnel_that_fails_in_water_is_recorded_as_failed(go, folder):
    before = entries_of(folder)
    on = go()
    on.tap(on.middle.check)
    time_it(on, ticking(on), 27.02)
    on.keys("next", "7", "0")
    assert on.strip.next_text == "Record: funnel 1 failed"
    on.tap_next()
    assert on.middle.check.shown == "not met"
    on.leave()
    (entry,) = new_entries(folder, before)
    assert not entry.draft.values.passed


@pytest.mark.parametrize("warmth", ["60", "80"])
def test_water_outside_of_the_asked_warmth_shows_nothing(go, warmth):
    on = go()
    on.tap(on.middle.check)
    time_it(on, ticking(on), 26.0)
    on.keys("next", *warmth)  # 70 +/- 5 degF by ASTM D6910
    assert on.middle.fields["water_time"].shown == "not shown"
    assert on.strip.next_button.disabled
    on.tap_second()
    assert next(iter(on.middle.fields)) == "density"


def test_a_water_check_cannot_go_on_by_the_tablets_clock(go):
    on = go()
    on.tap(on.middle.check)
    press(on)
    on = go(later_s=5)  # a second on either side would be more than the half second that is asked
    assert next(iter(on.middle.fields)) == "water_time"
    assert not on.middle.watch.running
    assert "No time is taken" in on.middle.said
