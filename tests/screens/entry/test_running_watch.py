"""While a stopwatch runs on a half-typed entry, its shaft leads back to it before anything else."""

from __future__ import annotations

from tests.screens.entry_journey import take, typing


def test_the_next_thing_on_a_shaft_is_the_pass_that_is_being_timed(go):
    on = go("P1-4", kind="cleanout pass")
    take(on, "started_at")
    on.tap(on.middle.tools.watch.ids.key)
    assert typing(on).typed.watch
    on.press()
    assert on.walk.current == "shaft"
    assert on.strip.next_text == "Go on: cleanout pass, the watch runs"
    on.tap_stage("Fluid")
    assert on.strip.second_text == "Test the fluid"  # it can still be done beside it
    on.tap_next()
    assert (on.walk.current, on.screen.hand.wanted.kind) == ("entry", "cleanout pass")
    assert on.middle.tools.watch.running
    take(on, "started_at")
    on.tap(on.middle.tools.watch.ids.key)
    on.press()
    assert "watch runs" not in on.strip.next_text
