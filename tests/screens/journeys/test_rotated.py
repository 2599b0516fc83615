"""The tablet is turned while something is typed: nothing is lost, and the same field stays in hand."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from kivy.core.window import Window

from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.hole import Note
from tests.screens.journey import Journey, begin, depth_keys, entries_of, set_out
from tests.screens.journeys.by_touch import (
    box,
    choose,
    hand_over,
    take,
    tap_the_kind,
    to_shaft,
    type_number,
    type_point,
    write,
)
from tests.support.driver import LANDSCAPE, PORTRAIT, Driver

FIRST, FIRM = "25' 11 1/4\"", "25' 11 3/4\""
PERSON = "Inspector A"


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("turned") / "larkwater", "larkwater", ("P2-1", "P1-4"))


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def on(hand: Driver, folder: Path) -> Iterator[Journey]:
    opened = set_out(hand, folder)
    hand_over(opened, PERSON)
    yield opened
    opened.leave()


@pytest.fixture(
    params=[1, pytest.param(5, marks=pytest.mark.long_walk)], ids=["once", "again and again"], autouse=True
)
def turns(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(turn, "often", request.param)


def turn(on: Journey, stands: Callable[[], object]) -> None:
    """Turn the tablet, an odd number of times; what stands there must stay as it is each time."""
    before = stands()
    for _ in range(turn.often):
        level = Window.width > Window.height
        on.hand.resize(PORTRAIT if level else LANDSCAPE)
        on.wait()
        assert stands() == before
        assert on.hand.cut_labels() == []


turn.often = 1


def new_of(folder: Path, before: tuple) -> object:
    (new,) = set(entries_of(folder)) - set(before)
    return new.draft.values


def test_a_round_is_turned_in_the_middle_of_a_depth(on, folder):
    before = entries_of_copy(folder)
    to_shaft(on, "P2-1", "Base")
    (on.tap_next if on.strip.next_text.startswith("Next: sound") else on.tap_second)()
    type_point(on, "C", "25' 11 3/8\"", "26' 0\"")
    on.keys("2", "5", "'", "1")  # half of the first contact

    def stands() -> object:
        typing, fields = on.screen.hand.typing, on.middle.fields
        return (
            typing.label,
            typing.field,
            dict(typing.reading),
            fields.active,
            fields.first,
            on.middle.keypad.text,
        )

    assert stands()[0:2] == ("R1", "first_contact")
    turn(on, stands)
    on.keys("1", *depth_keys(FIRST)[5:])  # upright, the number goes on where it stood
    assert on.middle.fields.first == FIRST
    on.tap_next()
    on.keys(*depth_keys(FIRM))
    turn(on, stands)
    on.tap_next()
    for label in ("R2", "R3", "R4"):
        type_point(on, label, FIRST, FIRM)
    on.tap_next()
    assert on.walk.current == "shaft"
    on.leave()
    values = new_of(folder, before)
    assert isinstance(values, SoundingRound)
    read = [(point.label, str(point.first_contact), str(point.firm)) for point in values.points]
    assert read == [
        ("C", "25' 11 3/8\"", "26' 0\""),
        *((label, FIRST, FIRM) for label in ("R1", "R2", "R3", "R4")),
    ]


def test_a_fluid_test_is_turned_in_the_middle_of_a_number(on, folder):
    before = entries_of_copy(folder)
    to_shaft(on, "P1-4", "Fluid")
    (on.tap_next if on.strip.next_text.startswith("Next: test") else on.tap_second)()
    assert on.walk.current == "fluid"
    on.keys("6", "6", "mark", "4", "next", "3")

    def stands() -> object:
        typing = on.screen.typing
        values = {name: each.value for name, each in on.middle.fields.items()}
        return typing.field, dict(typing.typed.fields), typing.typed.depth, values, on.middle.keypad.text

    assert stands()[0] == "funnel_time"
    turn(on, stands)
    on.keys("8", "next")
    on.keys("1", "mark")
    turn(on, stands)
    on.keys("5", "next", "9", "mark", "1", "next")
    on.tap_next()
    on.leave()
    values = new_of(folder, before)
    assert isinstance(values, FluidTest)
    read = [str(each) for each in (values.density, values.funnel_time, values.sand)]
    assert [each.split(" ")[0] for each in read] == ["66.4", "38", "1.5"]
    assert values.ph.read == "9.1"


def test_an_entry_is_turned_with_a_number_a_choice_and_a_text_in_hand(on, folder):
    before = entries_of_copy(folder)
    to_shaft(on, "P1-4", "Head")
    tap_the_kind(on, "head reading")
    take(on, "fluid_level")
    on.keys("3", "'")

    def stands() -> object:
        typing = on.screen.hand.typing
        values = {name: each.value for name, each in on.middle.fields.items()}
        return typing.name, dict(typing.typed.fields), values, on.middle.tools.text_field.text

    turn(on, stands)
    on.keys("6", "next")
    choose(on, "make_up", "on")
    take(on, "stratum")
    write(on, on.middle.tools.text_field, "sand")
    turn(on, stands)
    assert on.middle.tools.text_field.typing.focus or on.middle.tools.text_field.text == "sand"
    write(on, on.middle.tools.text_field, "stone")
    assert box(on, "stratum").value == "sandstone"
    type_number(on, "piezometric_elevation", *"5024", "mark", "5")
    on.tap_next()
    assert on.walk.current == "shaft"
    to_shaft(on, "P1-4", "Pictures and notes")
    tap_the_kind(on, "note")
    write(on, on.middle.tools.text_field, "rig stood for ")
    turn(on, stands)
    write(on, on.middle.tools.text_field, "fuel")
    on.tap_next()
    on.leave()
    new = sorted(set(entries_of(folder)) - set(before), key=lambda each: each.stamp)
    head, note = (each.values for each in new)
    assert isinstance(head, HeadReading)
    assert (str(head.fluid_level), str(head.make_up), head.stratum) == ("3' 6\"", "on", "sandstone")
    assert note == Note("rig stood for fuel")


def entries_of_copy(folder: Path) -> tuple:
    copy = folder.parent / "looked at"
    shutil.rmtree(copy, ignore_errors=True)
    return entries_of(Path(shutil.copytree(folder, copy)))
