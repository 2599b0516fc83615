"""The tablet dies while somebody writes: a note, a caption, why an entry is struck, why concrete is held."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from kivy.uix.widget import Widget
from PIL import Image

from fieldapp.desk.workplace import read_project
from fieldapp.record.hole import Note, Photo
from fieldapp.ui.screens.setup_rows import SetupRow
from tests.screens.decision_journey import INSPECTOR, ZONE, opened
from tests.screens.journey import Journey
from tests.screens.journeys.by_touch import (
    blocks,
    cut_project,
    hand_over,
    open_entry,
    tap_a_row,
    tap_action,
    tap_the_kind,
    to_shaft,
    write,
)
from tests.support.driver import Driver

# P1-1 of the sample, cut before the round before concrete.
UNSOUNDED = ("P1-1", 290, datetime(2026, 5, 12, 13, 6, tzinfo=ZONE))
SHAFT = UNSOUNDED[0]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return cut_project(tmp_path / "project", UNSOUNDED)


@pytest.fixture
def goes(hand: Driver) -> Iterator[Callable[[Path, int], Journey]]:
    """Opens the app on a folder, so many minutes after the last entry; the one before is left."""
    begun: list[Journey] = []

    def go(folder: Path, minutes: int) -> Journey:
        for each in begun:
            each.leave()
        on, _ = opened(hand, folder, UNSOUNDED[2] + timedelta(minutes=minutes))
        begun[:] = [on]
        hand_over(on, INSPECTOR)
        return on

    yield go
    for each in begun:
        each.leave()


def writes(on: Journey, field: Widget, text: str) -> None:
    """Write, and let the hand rest on the box; the screen says since when it is saved."""
    before = on.session.saved
    write(on, field, text)
    on.hand.until(lambda: on.session.saved != before, 10)
    on.wait()


def to_strike(on: Journey) -> None:
    to_shaft(on, SHAFT, "Head")
    tap_a_row(on, "Entries of Head")
    open_entry(on, blocks(on)[0].entry)
    tap_action(on, "amend")
    on.tap_second()


def to_kind(on: Journey, kind: str) -> None:
    to_shaft(on, SHAFT, "Pictures and notes")
    tap_the_kind(on, kind)


def take_picture(on: Journey) -> None:
    on.tap(on.middle.fields["picture"])
    on.tap(on.middle.tools.picture.choose)
    on.tap(next(each for each in on.screen.walk() if isinstance(each, SetupRow) and each.title == "base.jpg"))
    on.tap(on.middle.next)
    assert (on.walk.current, on.screen.hand.typing.name) == ("entry", "caption")


def test_what_was_being_written_is_there_after_a_death(goes, folder, tmp_path):
    shelf = Path.home() / "Pictures"
    shelf.mkdir(parents=True)
    Image.effect_noise((64, 40), 40).convert("RGB").save(shelf / "base.jpg")

    on = goes(folder, 0)
    to_strike(on)
    writes(on, on.middle.tools.text_field, "read on anoth")
    to_kind(on, "note")
    writes(on, on.middle.tools.text_field, "rig stood for fu")
    to_kind(on, "photo")
    take_picture(on)
    writes(on, on.middle.tools.text_field, "north side, after pa")
    to_shaft(on, SHAFT, "Release")
    writes(on, on.screen.form.reason.field, "Sound again with the tre")
    dead = Path(shutil.copytree(folder, tmp_path / "dead"))  # the disk, had the tablet died now

    on = goes(dead, 5)
    to_shaft(on, SHAFT, "Release")
    assert on.screen.form.reason.text == "Sound again with the tre"
    to_strike(on)
    assert on.middle.tools.text_field.text == "read on anoth"
    to_kind(on, "note")
    write(on, on.middle.tools.text_field, "el")
    on.tap_next()
    to_kind(on, "photo")
    on.tap(on.middle.fields["caption"])
    write(on, on.middle.tools.text_field, "ss 2")
    on.tap_next()
    assert on.walk.current == "shaft"
    on.leave()
    with read_project(dead) as place:
        note, photo = (each.values for each in tuple(place.entries())[-2:])
    assert note == Note("rig stood for fuel")
    assert isinstance(photo, Photo)
    assert photo.caption == "north side, after pass 2"
    assert [each.stem for each in (dead / "pictures").iterdir()] == [photo.picture]
