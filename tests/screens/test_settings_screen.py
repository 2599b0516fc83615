"""The settings screen by touch: the timestamp server, and whether positions of pictures are kept."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from fieldapp.desk.settings import Settings, keep_server, read_settings, settings_file
from fieldapp.record.setup import ProjectSetup
from fieldapp.ui.words import settings as words
from tests.screens.journey import Journey, begin, entries_of, set_out
from tests.support.driver import Driver

SERVER = "https://time.example/stamp"
BOX = "timestamp_server"


@pytest.fixture(autouse=True)
def own_device(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "device"))


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("settings") / "larkwater", "larkwater", ("P1-4",))


@pytest.fixture
def opened(hand: Driver, whole: Path, tmp_path: Path) -> Iterator[Callable[..., Journey]]:
    begun: list[Journey] = []

    def to_settings(person: str = "Resident engineer") -> Journey:
        on = set_out(hand, Path(shutil.copytree(whole, tmp_path / "larkwater")))
        begun.append(on)
        on.session.person = person
        on.walk.go("settings")
        on.wait()
        return on

    yield to_settings
    for each in begun:
        each.leave()


def write(on: Journey, text: str) -> None:
    on.tap(on.middle.fields[BOX])
    field = on.middle.tools.text_field.typing
    field.text = ""
    field.insert_text(text)
    on.wait()


def setups(folder: Path) -> list[ProjectSetup]:
    return [each.values for each in entries_of(folder) if isinstance(each.values, ProjectSetup)]


def test_a_server_is_typed_and_kept_by_the_button_and_what_is_sent_is_said(opened):
    on = opened()
    assert words.SERVER_SENDS in on.texts()
    assert on.middle.next_text == ""
    write(on, SERVER)
    assert read_settings() == Settings()  # nothing is in force while it is typed
    on.tap(on.middle.next)
    assert read_settings() == Settings(SERVER)
    assert f"Papers that are signed from now on ask {SERVER} for the time." in on.texts()
    assert (on.middle.fields[BOX].value, on.middle.next_text) == (SERVER, "")

    write(on, "")
    assert on.middle.next_text == words.KEEP_NO_SERVER
    on.tap(on.middle.next)
    assert read_settings() == Settings()
    assert words.NO_SERVER_KEPT in on.texts()


def test_what_is_no_address_is_refused_at_its_box_and_stays_to_be_corrected(opened):
    keep_server(SERVER)
    on = opened()
    write(on, "time.example")
    on.tap(on.middle.next)
    field = on.middle.fields[BOX]
    assert field.shown == "not met"
    assert "begins with https:// or http://" in field.says
    assert field.value == "time.example"
    assert read_settings() == Settings(SERVER)
    write(on, "https://other.example")
    assert field.says == ""
    on.tap(on.middle.next)
    assert read_settings() == Settings("https://other.example")


def test_an_address_that_was_not_taken_is_gone_after_leaving(opened):
    on = opened()
    write(on, SERVER)
    on.walk.back()
    on.wait()
    on.walk.go("settings")
    on.wait()
    assert (on.middle.fields[BOX].value, on.middle.next_text) == ("", "")


def test_a_file_with_a_slip_is_told_and_nothing_of_it_is_offered_to_be_overwritten(opened):
    settings_file().parent.mkdir(parents=True)
    settings_file().write_text("timestamp_sever = 'https://time.example'", "utf-8")
    on = opened()
    assert "timestamp_sever" in on.texts()
    assert BOX not in on.middle.fields


def test_the_office_asks_for_the_positions_of_pictures(opened):
    on = opened()
    folder = on.session.folder
    on.tap(on.middle.fields["keep_picture_positions"])
    on.tap(on.middle.tools.choices.rows["yes"])
    assert words.POSITIONS_CHANGED[True] in on.texts()
    on.tap(on.middle.tools.choices.rows["no"])
    assert words.POSITIONS_CHANGED[False] in on.texts()
    on.leave()
    assert [each.keep_picture_positions for each in setups(folder)] == [False, True, False]


def test_positions_are_no_matter_of_an_inspector(opened):
    on = opened("Inspector A")
    on.tap(on.middle.fields["keep_picture_positions"])
    on.tap(on.middle.tools.choices.rows["yes"])
    assert "may not make a project set-up" in on.texts()
    assert on.middle.fields["keep_picture_positions"].value == "no"
