"""The office by touch: from an empty device to a project with people, an acceptance set and a key."""

from __future__ import annotations

import gc
import json
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from kivy.core.window import Window
from kivy.uix.widget import Widget

from fieldapp.desk import unlocking
from fieldapp.desk.acceptance_editing import keys_of
from fieldapp.desk.roster import PersonNow, person_now
from fieldapp.desk.workplace import open_project
from fieldapp.identity.errors import Locked
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.words import Role
from fieldapp.ui.screens.people_lock import BarLock
from fieldapp.ui.screens.setup_rows import SetupRow
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import acceptance as acceptance_words
from fieldapp.ui.words import people as people_words
from fieldapp.ui.words import projects as words
from fieldapp.ui.words import tongue
from tests.identity.own_files import OWN_PHRASE, own_file
from tests.screens.journey import DEVICE, Journey, SteppedClock, begin, entries_of, set_out
from tests.support.driver import LANDSCAPE, PORTRAIT, Driver

PASSPHRASE = "seven quiet herons on the bank"
ENGINEER = "R. Heron"


@pytest.fixture(autouse=True)
def own_device(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "device"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    (tmp_path / "home").mkdir()
    yield
    tongue.choose(tongue.ENGLISH)
    theme.decimal_mark = "."


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("office") / "larkwater", "larkwater", ("P1-4",))


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def opens(hand: Driver) -> Iterator[Callable[..., Journey]]:
    """Opens the app, on a folder or on an empty device, as the app itself does."""
    begun: list[tuple[Journey, BarLock]] = []

    def opened(folder: Path | None = None) -> Journey:
        on = set_out(hand, folder) if folder else empty(hand)
        begun.append((on, BarLock(on.session, on.walk)))
        return on

    yield opened
    for on, lock in begun:
        lock.end()
        on.leave()


def empty(hand: Driver) -> Journey:
    session = Session(Path.home() / "Basenote", None, SteppedClock(), DEVICE)
    walk = Walk(session)
    walk.go("projects")
    Window.bind(on_keyboard=walk.key)
    hand.show(walk)
    on = Journey(hand, session, walk)
    on.wait()
    return on


def rows(on: Journey) -> dict[str, SetupRow]:
    return {each.title: each for each in on.screen.walk() if isinstance(each, SetupRow)}


def tap_row(on: Journey, title: str) -> None:
    on.tap(next(row for name, row in rows(on).items() if name.startswith(title)))


def box(on: Journey, name: str) -> None:
    on.tap(on.middle.fields[name])


def write(on: Journey, name: str, text: str) -> None:
    box(on, name)
    field = on.middle.tools.text_field.typing
    field.text = ""
    field.insert_text(text)
    on.wait()


def choose(on: Journey, name: str, *values: str) -> None:
    for value in values:
        if on.middle.typing.name != name:
            box(on, name)
        on.tap(on.middle.tools.choices.rows[value])


def press_next(on: Journey) -> None:
    on.tap(on.middle.next)


def type_secret(on: Journey, **texts: str) -> None:
    for name, text in texts.items():
        field = on.screen.fields[name].typing
        field.text = ""
        field.insert_text(text)
    on.wait()


def make_project(on: Journey, name: str = "Heron bridge") -> Path:
    press_next(on)
    assert on.walk.current == "new project"
    write(on, "name", name)
    choose(on, "units", "US")
    choose(on, "preset", "us-classic")
    write(on, "person", ENGINEER)
    choose(on, "roles", "resident engineer")
    press_next(on)
    on.wait()
    return on.session.folder


def holds(on: Journey) -> ProjectSetup:
    found: list[ProjectSetup] = []
    on.session.ask(lambda place: place.setup(), found.append, print)
    on.wait()
    return found[0]


def person(on: Journey, name: str) -> PersonNow:
    found: list[PersonNow] = []
    on.session.ask(lambda place: person_now(place, name), found.append, print)
    on.wait()
    return found[0]


def test_from_an_empty_device_to_a_key_and_the_board(opens):
    on = opens()
    assert words.NONE_YET in on.texts()
    folder = make_project(on)
    assert on.walk.current == "setup"
    assert (folder.name, on.session.person, on.walk.trail) == ("heron-bridge", ENGINEER, ["board", "setup"])
    setup = holds(on)
    assert (setup.name, setup.own_log_release) == ("Heron bridge", False)
    assert setup.people[0].roles == (Role.RESIDENT_ENGINEER,)

    tap_row(on, words.SET_ROW)
    tap_row(on, "Bored piles, EN 1536 form")
    assert on.walk.current == "acceptance set"
    assert on.screen.rail.row("base").shown == "not shown"
    tap_row(on, "Most sediment at any point")
    on.keys("5", "0")
    write(on, "source", "contract, section 31")
    press_next(on)
    assert on.walk.current == "acceptance set"
    assert rows(on)["Most sediment at any point"].value == "50 mm"
    press_next(on)
    assert "comes in" in on.texts() and "50 mm" in on.texts()
    press_next(on)
    assert on.walk.current == "setup"
    number = keys_of(holds(on).acceptance)["max_thickness_anywhere"]
    assert (number.value, number.unit, number.verified_by) == ("50", "mm", ENGINEER)
    assert (number.source, number.confidence) == ("contract, section 31", "contract")

    tap_row(on, words.PEOPLE_ROW)
    press_next(on)
    write(on, "name", "I. Wren")
    choose(on, "roles", "inspector")
    press_next(on)
    assert on.walk.current == "people"
    assert rows(on)["I. Wren"].shown == "not shown"
    tap_row(on, "I. Wren")
    tap_row(on, people_words.MAKE_KEY)
    type_secret(on, new=PASSPHRASE, again=PASSPHRASE)
    press_next(on)
    on.wait()
    assert on.walk.current == "person page"
    assert people_words.MADE.format(name="I. Wren") in on.texts()
    assert person(on, "I. Wren").key.holds
    assert (folder / "keys" / "i.-wren.p12").exists()
    on.press()
    on.press()
    press_next(on)
    assert (on.walk.current, on.session.trouble) == ("board", "")
