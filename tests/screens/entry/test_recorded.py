"""Entries by touch on the entry screen, recorded; the journal on disk is the judge."""

from __future__ import annotations

from datetime import datetime, timedelta

from fieldapp.record.cleaning import CleanoutPass
from fieldapp.record.column import HeadReading
from fieldapp.record.hole import Event, ExcavationStage, Note
from fieldapp.record.setup import Instrument
from fieldapp.record.words import CleanoutMethod, Happening, MakeUp
from tests.screens.entry_journey import box, choose, fill, new_entry, take, to, type_number, typing, write
from tests.screens.journey import Journey, entries_of


class Ticks:
    def __init__(self) -> None:
        self.at_s = 5000.0

    def __call__(self) -> float:
        return self.at_s


def hand_until_shown(on: Journey, watch, text: str) -> None:
    on.hand.until(lambda: watch.shown == text)


def test_a_head_reading_by_touch_is_in_the_journal_as_read(go, folder):
    before = entries_of(folder)
    on = go("P1-4", kind="head reading")
    assert on.strip.next_text == "Next: fluid level below the reference"
    assert box(on, "fluid_level").limit.startswith("at most")  # in view before the first key
    assert box(on, "fluid_level").likely.startswith("likely")
    heads = [each for each in before if isinstance(each.values, HeadReading) and each.shaft == "P1-4"]
    (chart,) = [each for each in on.middle.ids.beside.children if hasattr(each, "dots")]
    assert len(chart.dots) == len(heads)
    assert (chart.level, chart.level_text) == (5.0, "at least 5 ft")  # us-classic and artesian, in the sample
    type_number(on, "fluid_level", "3", "'", "6")
    assert box(on, "fluid_level").shown == "not met"
    assert "asked at least 5 ft" in box(on, "fluid_level").says
    choose(on, "make_up", "on")
    assert typing(on).name == "piezometric_elevation"  # a chosen word goes on by itself
    assert on.strip.next_text == "Record head reading"
    on.tap_next()
    assert on.walk.current == "shaft"
    assert on.screen.sides.rail.chosen == "Head"
    assert f"saved {on.session.saved}" in on.texts()
    on.leave()
    new = new_entry(folder, before)
    assert (new.shaft, new.draft.author) == ("P1-4", "Inspector A")
    assert new.values == HeadReading(new.values.fluid_level, MakeUp.ON)
    assert (new.values.fluid_level.read, new.values.fluid_level.unit) == ("3' 6\"", "ft-in")


def test_an_excavation_stage_that_reaches_the_base_is_recorded(go, folder):
    before = entries_of(folder)
    on = go("P2-1", kind="excavation stage")
    type_number(on, "from_depth", "2", "5", "'")
    type_number(on, "to_depth", "2", "4", "'")
    assert box(on, "to_depth").shown == ""  # nothing can be said before the tool and the material
    write(on, "tool", "core barrel")
    write(on, "material", "limestone")
    take(on, "drilled_depth")
    assert box(on, "to_depth").shown == "not met"
    assert "cannot be" in box(on, "to_depth").says
    assert on.strip.next_button.disabled
    take(on, "to_depth")
    on.keys("back", "back", "6", "'", "next")
    assert typing(on).typed.fields["to_depth"] == "26'"
    assert box(on, "to_depth").says == ""
    type_number(on, "drilled_depth", "2", "6", "'")
    type_number(on, "firm_reference", "2", "5", "'", "1", "1", "eighths", "3/8")
    on.tap_next()
    on.leave()
    values = new_entry(folder, before).values
    assert isinstance(values, ExcavationStage)
    assert (values.tool, values.material) == ("core barrel", "limestone")
    read = (values.from_depth, values.to_depth, values.drilled_depth, values.firm_reference)
    assert [str(each) for each in read] == ["25'", "26'", "26'", "25' 11 3/8\""]


def test_a_cleanout_pass_is_timed_by_the_stopwatch_across_screens(go, folder):
    before = entries_of(folder)
    on = go("P2-1", kind="cleanout pass")
    made = [each for each in before if each.shaft == "P2-1" and isinstance(each.values, CleanoutPass)]
    assert box(on, "number").value == str(len(made) + 1)  # stands there without a tap
    choose(on, "method", "airlift")
    ticks = Ticks()
    watch = on.middle.tools.watch
    watch.ticks = ticks
    assert typing(on).name == "started_at"
    on.tap(watch.ids.key)
    assert watch.running
    started = typing(on).typed.fields["started_at"]
    ticks.at_s += 600
    on.press()  # to the shaft, while it runs
    assert on.walk.current == "shaft"
    to(on, "P2-1", kind="cleanout pass")
    assert watch.running
    ticks.at_s += 30.4
    take(on, "ended_at")
    hand_until_shown(on, watch, "10:30.4")
    on.tap(watch.ids.key)
    assert not watch.running
    on.tap_next()
    on.leave()
    values = new_entry(folder, before).values
    assert isinstance(values, CleanoutPass)
    assert values.method is CleanoutMethod.AIRLIFT
    assert values.started_at.isoformat() == started
    # by hand: 600 s and 30.4 s by the steady clock, to the second, whatever the tablet's clock said
    assert values.ended_at - values.started_at == timedelta(seconds=630)


def test_a_running_stopwatch_survives_the_end_of_the_app(go, folder):
    on = go("P2-1", kind="cleanout pass")
    take(on, "started_at")
    on.tap(on.middle.tools.watch.ids.key)
    started = datetime.fromisoformat(typing(on).typed.watch["started_at"])
    on = go("P2-1", kind="cleanout pass")
    watch = on.middle.tools.watch
    assert watch.running
    assert typing(on).typed.fields["started_at"] == started.isoformat()
    gone = datetime.fromisoformat(on.session.clock.now("America/Denver").isoformat()) - started
    assert abs(watch.elapsed_s - max(0.0, gone.total_seconds())) < 60  # by the tablet's clock, from its start


def test_times_can_be_typed_in_place_of_the_stopwatch(go):
    on = go("P2-1", kind="cleanout pass")
    take(on, "started_at")
    on.tap(on.middle.tools.turn)
    on.keys("1", "4", "0", "5")
    assert typing(on).typed.fields["started_at"].startswith("2026-05-22T14:05:00-06:00")
    assert box(on, "started_at").value == "14:05"
    on.tap(on.middle.tools.moment.ids.back)
    assert box(on, "started_at").value == "21 May 14:05"


def test_an_event_and_a_note_are_recorded(go, folder):
    before = entries_of(folder)
    on = go("P2-1", kind="event")
    choose(on, "what", "slough")
    write(on, "text", "wall came in")
    type_number(on, "from_depth", "1", "2", "'")
    on.tap_next()
    to(on, "P2-1", kind="note")
    write(on, "text", "rig stood for fuel")
    on.tap_next()
    on.leave()
    event, note = sorted(set(entries_of(folder)) - set(before), key=lambda each: each.stamp)
    assert event.values == Event(Happening.SLOUGH, "wall came in", event.values.from_depth)
    assert str(event.values.from_depth) == "12'"
    assert note.values == Note("rig stood for fuel")


def test_an_instrument_is_checked_without_a_shaft(go, folder):
    before = entries_of(folder)
    on = go()
    on.walk.go("entry", shaft="", kind="instrument")
    on.wait()
    assert on.screen.sides.bar.title == "instrument"
    missing = typing(on).needed()
    while missing is not None:
        fill(on, missing)
        missing = typing(on).needed()
    on.tap_next()
    assert on.walk.current == "board"
    on.leave()
    new = new_entry(folder, before)
    assert (new.shaft, isinstance(new.values, Instrument)) == (None, True)
