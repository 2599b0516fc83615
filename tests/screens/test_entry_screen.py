"""Entries by touch on the entry screen: recorded, amended, struck; the journal on disk is the judge."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from fieldapp.desk.inspector import kept_form
from fieldapp.desk.workplace import open_project
from fieldapp.record.cleaning import CleanoutPass
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.hole import Event, ExcavationStage, Note
from fieldapp.record.setup import Instrument
from fieldapp.record.words import CleanoutMethod, Happening, MakeUp
from tests.screens.journey import DEVICE, Journey, SteppedClock, begin, entries_of, set_out
from tests.support.driver import Driver


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("whole") / "larkwater", "larkwater", ("P2-1", "P1-4"))


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def go(hand: Driver, folder: Path) -> Iterator[Callable[..., Journey]]:
    begun: list[Journey] = []

    def opened(shaft: str = "", **given: str) -> Journey:
        for each in begun:
            each.leave()
        begun[:] = [set_out(hand, folder)]
        on = begun[0]
        on.session.person = "Inspector A"
        if given:
            to(on, shaft, **given)
        return on

    yield opened
    for each in begun:
        each.leave()


def to(on: Journey, shaft: str, **given: str) -> None:
    on.walk.go("shaft", shaft=shaft)
    on.wait()
    on.walk.go("entry", shaft=shaft, **given)
    on.wait()


def typing(on: Journey):
    return on.screen.hand.typing


def box(on: Journey, name: str):
    return on.middle.fields[name]


def take(on: Journey, name: str) -> None:
    on.tap(box(on, name))
    assert typing(on).name == name


def type_number(on: Journey, name: str, *keys: str) -> None:
    if typing(on).name != name:
        take(on, name)
    on.keys(*keys, "next")


def choose(on: Journey, name: str, value: str) -> None:
    if typing(on).name != name:
        take(on, name)
    on.tap(on.middle.tools.choices.rows[value])


def write(on: Journey, name: str, text: str) -> None:
    """Through the text box, as the system's keyboard does."""
    if typing(on).name != name:
        take(on, name)
    on.middle.tools.text_field.typing.insert_text(text)
    on.wait(hops=1)


def new_entry(folder: Path, before: tuple) -> object:
    (new,) = set(entries_of(folder)) - set(before)
    return new


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


class Ticks:
    def __init__(self) -> None:
        self.at_s = 5000.0

    def __call__(self) -> float:
        return self.at_s


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


def hand_until_shown(on: Journey, watch, text: str) -> None:
    on.hand.until(lambda: watch.shown == text)


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


def head_of(folder: Path, shaft: str = "P1-4") -> tuple[str, str]:
    """Id and reading of the last head reading of a shaft."""
    with open_project(folder, SteppedClock(), DEVICE) as place:
        line = place.shaft(shaft).last(HeadReading)
        return line.id, str(line.values.fluid_level)


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


def test_a_wrong_unit_is_recognised_and_the_other_one_taken_by_one_tap(go, folder):
    before = entries_of(folder)
    on = go("P1-4", kind="fluid test")
    choose(on, "stage", "drilling")
    type_number(on, "sample_depth", "2", "0", "'")
    type_number(on, "density", "1", "mark", "0", "5")
    offer = on.middle.tools.wrong_unit
    assert typing(on).name == "density"  # it is taken in hand again
    assert offer.text == "1.05 looks like g/cm3; the project shows pcf"
    on.tap(offer.buttons()[0])
    assert typing(on).typed.fields["density"] == "1.05 g/cm3"
    assert box(on, "density").caption == "density, g/cm3"
    assert (offer.text, box(on, "density").says.startswith("Density 1.05")) == ("", False)
    on.tap_next()
    assert on.walk.current == "shaft"
    on.leave()
    values = new_entry(folder, before).values
    assert isinstance(values, FluidTest)
    assert (values.density.read, values.density.unit) == ("1.05", "g/cm3")


def test_a_value_that_cannot_be_is_refused_beside_its_field(go):
    on = go("P2-1", kind="event")
    type_number(on, "from_depth", "9", "0", "0", "'")
    assert box(on, "from_depth").shown == "not met"
    assert box(on, "from_depth").says.startswith("From depth: 900' cannot be. Expected length from 0' 0\" to")
    take(on, "from_depth")
    on.keys("back")
    assert box(on, "from_depth").says == ""


def test_what_is_unlikely_is_asked_once_and_recorded_with_the_answer(go, folder):
    before = entries_of(folder)
    on = go("P1-4", kind="head reading")
    type_number(on, "fluid_level", "2", "9", "'", "6")
    on.tap_next()
    assert on.walk.current == "entry"
    assert on.middle.ids.foot.question.text.endswith("Record all the same?")
    on.press()  # back closes the question
    assert on.middle.ids.foot.question is None
    on.tap_next()
    on.tap(on.middle.ids.foot.question.ids.yes)
    assert on.walk.current == "shaft"
    on.leave()
    assert new_entry(folder, before).draft.confirmed == ("level-jump",)


def test_the_last_value_is_one_tap_away(go, folder):
    _, said = head_of(folder)
    on = go("P1-4", kind="head reading")
    on.keys("same")
    assert typing(on).typed.fields["fluid_level"] == said


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


def fill(on: Journey, missing) -> None:
    if missing.ask == "text":
        write(on, missing.name, "T 7")
    elif missing.ask in {"choice", "yes or no"}:
        choose(on, missing.name, missing.options[0].value if missing.options else "yes")
    else:
        type_number(on, missing.name, "1")
