"""Samples typed by touch: taps counted, limits in view, sets in a row, and what they were read with."""

from __future__ import annotations

from fieldapp.record.column import FluidTest
from tests.screens.fluid_journey import (
    SET,
    funnel_text,
    new_entries,
    ticking,
    time_it,
    type_into,
)
from tests.screens.journey import entries_of

MOST_TAPS = 45


def test_a_full_set_at_two_depths_takes_few_touches(go, folder, monkeypatch, record_property):
    before = entries_of(folder)
    on = go()
    assert [each.depth.read for each in on.screen.page.form.places] == ["33'", "13'"]
    touched: list[tuple[float, float]] = []
    touch = on.hand.touch
    monkeypatch.setattr(on.hand, "touch", lambda x, y: touched.append((x, y)) or touch(x, y))
    ticks = ticking(on)
    for turn in range(2):
        for name, text in SET.items():
            if name == "funnel_time" and turn:
                time_it(on, ticks, 41.3)
                assert funnel_text(on) == "41"
                on.keys("next")
            else:
                type_into(on, name, text, last=name == "temperature")
        on.tap_next()
    record_property("taps for a full set at two depths", len(touched))
    assert len(touched) <= MOST_TAPS, len(touched)
    on.wait(hops=3)
    assert on.walk.current == "shaft"  # the set is whole
    on.leave()
    made = [each.draft.values for each in new_entries(folder, before)]
    assert [each.sample_depth.read for each in made] == ["33'", "13'"]
    for each in made:
        assert isinstance(each, FluidTest)
        assert {name: getattr(each, name).read for name in SET} == SET


def test_sets_in_a_row_are_counted_while_typing_and_only_whole_ones(go):
    on = go()
    form = on.screen.page.form
    assert on.middle.row_said == f"0 of 2 sets in a row within limits; set {form.set} is not whole yet."
    for turn in range(2):
        for name, text in SET.items():
            type_into(on, name, text, last=name == "temperature")
        if turn:
            wanted = f"1 of 2 sets in a row within limits, set {form.set} among them."
        else:
            wanted = f"0 of 2 sets in a row within limits; set {form.set} is not whole yet."
        on.hand.until(lambda wanted=wanted: on.middle.row_said == wanted)
        if not turn:
            on.tap_next()
    assert on.middle.row_shown == "not shown"  # one of two
    on.tap(on.middle.fields["sand"])
    on.keys("back", "back", "back", "9")
    on.hand.until(lambda: on.middle.row_shown == "not met")
    assert on.middle.row_said == f"Set {form.set} is out of limits: 0 of 2 sets in a row."


def test_what_is_typed_is_held_against_its_limit_when_the_hand_rests(go):
    on = go()
    on.keys("6", "8")
    on.hand.until(lambda: on.middle.fields["density"].shown == "met")
    on.keys("back", "back", "9", "0")
    on.hand.until(lambda: on.middle.fields["density"].shown == "not met")
    assert on.screen.typing.field == "density"  # without a key that goes on


def test_another_funnel_can_be_taken_and_is_named_in_the_record(go, folder):
    before = entries_of(folder)
    on = go()
    assert on.middle.kit.text == "read with balance 1, funnel 1, sand tube 1, pH meter 1"
    type_into(on, "density", "68.5")
    on.tap(on.middle.kit)
    on.tap(on.middle.labels.rows["funnel 2"])
    assert "funnel 1" not in on.middle.labels.chosen  # one of each type
    on.tap_next()
    assert on.middle.check.shown == "not shown"  # checked on 11 May only, and asked at most 7 days before
    assert on.middle.check.text.startswith("funnel 2 was checked 11")
    on.tap(on.middle.fields["funnel_time"])
    on.keys("4", "1", "next")
    on.tap_next()
    on.leave()
    (entry,) = new_entries(folder, before)
    assert entry.draft.values.instruments == ("balance 1", "funnel 2")
