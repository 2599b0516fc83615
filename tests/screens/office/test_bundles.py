"""By touch: a bundle goes out, another tablet's comes in, and what it changed is said."""

from __future__ import annotations

import shutil
import threading
from pathlib import Path

import pytest

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.travel.arriving import NewFolder, begin_from_bundle
from fieldapp.desk.travel.looking import look_into
from fieldapp.desk.travel.sending import Asked, make_bundle
from fieldapp.desk.workplace import open_project
from fieldapp.record.hole import Note
from fieldapp.ui.screens.setup_rows import SetupRow
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import projects as project_words
from fieldapp.ui.words import tongue
from fieldapp.ui.words import travel as words
from tests.screens.journey import Journey, SteppedClock, entries_of
from tests.screens.office_journey import PASSPHRASE, press_next, rows, tap_row, type_secret
from tests.support.driver import LANDSCAPE, PORTRAIT

ENGINEER = "Resident engineer"
WEST = "tablet west"


def to_the_screen(on: Journey, name: str) -> None:
    """By the board's More."""
    on.walk.go("board")
    on.wait()
    on.tap_text("More")
    on.tap_text(name)


def until(on: Journey, what: str) -> None:
    """Until the sentence over the rows begins so; the file is written by a worker of its own."""
    on.hand.until(lambda: on.middle.said.startswith(what), 60)
    on.wait()


def send(on: Journey, folder: Path) -> Path:
    to_the_screen(on, words.OUT)
    on.screen._into(folder)
    on.wait()
    press_next(on)
    until(on, "Saved as")
    (path,) = folder.glob("*.bundle.zip")
    return path


def from_west(path: Path, tmp_path: Path, shafts: tuple[str, ...] | None = None) -> Path:
    """What another tablet makes of it: it adds a note, and sends."""
    clock = SteppedClock()
    clock.made = 5000
    begin_from_bundle(NewFolder(tmp_path / "west", clock, WEST), path)
    with open_project(tmp_path / "west", clock, WEST) as place:
        record_entry(place, Saying("P1-4", Note("seen from the west"), "Inspector A"))
        return make_bundle(place, tmp_path / "from west.bundle.zip", Asked("Inspector A", shafts)).path


@pytest.fixture
def usb(tmp_path: Path) -> Path:
    (tmp_path / "usb").mkdir()
    return tmp_path / "usb"


def test_a_bundle_goes_out_by_hand_and_comes_back_with_more(opens, folder, usb, tmp_path):
    on = opens(folder)
    on.session.person = ENGINEER
    path = send(on, usb)
    seen = look_into(path)
    assert (seen.project, seen.shafts, seen.person) == ("larkwater", None, "")
    assert seen.entries == len(on.session._place.entries())
    assert path.name in on.middle.said
    back = from_west(path, tmp_path, ())

    to_the_screen(on, words.IN)
    press_next(on)
    assert on.walk.current == "bundle folder"
    on.screen.list.look(tmp_path)
    on.wait()
    tap_row(on, back.name)
    assert on.walk.current == "bundle in"
    shown = rows(on)
    assert shown[words.PROJECT].says == "larkwater"
    assert shown[words.SENDER].says == f"{WEST}; no person signed it"
    assert shown[words.ENTRIES].says.startswith("3 of ")
    before = len(entries_now(on))
    press_next(on)
    on.wait(hops=3)
    assert on.middle.said.startswith(f"Taken over from device {WEST}")
    assert len(entries_now(on)) == before + 3
    row = rows(on)["P1-4"]
    assert row.value == "1 new entry"
    on.tap(row)
    assert on.walk.current == "shaft"


def entries_now(on: Journey) -> tuple[object, ...]:
    return tuple(on.session._place.entries())


def test_shafts_are_chosen_by_hand(opens, folder, usb):
    on = opens(folder)
    on.session.person = ENGINEER
    to_the_screen(on, words.OUT)
    on.screen._into(usb)
    on.wait()
    tap_row(on, words.WHOSE)
    assert rows(on)[words.WHOSE].value == words.NO_SHAFTS
    tap_row(on, "P1-4")
    assert rows(on)["P1-4"].value == words.GOES_ALONG
    press_next(on)
    until(on, "Saved as")
    (path,) = usb.glob("*.bundle.zip")
    assert look_into(path).shafts == ("P1-4",)


def test_the_key_of_the_sender_signs_it_when_asked(opens, folder, usb):
    from fieldapp.desk.trust.people import make_key

    on = opens(folder)
    on.session.person = ENGINEER
    on.session.ask(lambda place: make_key(place, ENGINEER, PASSPHRASE), lambda _: None, print)
    on.wait()
    to_the_screen(on, words.OUT)
    on.screen._into(usb)
    on.wait()
    tap_row(on, words.SENT_BY)
    assert on.walk.current == "unlock"
    type_secret(on, opens=PASSPHRASE)
    press_next(on)
    on.wait(hops=3)
    assert on.walk.current == "bundle out"
    assert rows(on)[words.SENT_BY].says == words.BY_PERSON.format(name=ENGINEER)
    press_next(on)
    until(on, "Saved as")
    (path,) = usb.glob("*.bundle.zip")
    assert look_into(path).person == ENGINEER


def test_nobody_makes_one_before_it_is_known_who_holds_the_tablet(opens, folder):
    on = opens(folder)
    to_the_screen(on, words.OUT)
    press_next(on)
    assert on.walk.current == "person"


def test_stopped_in_time_nothing_is_left(opens, folder, usb, monkeypatch):
    from fieldapp.ui import asks_travel as asks

    on = opens(folder)
    on.session.person = ENGINEER
    go_on, write = threading.Event(), asks.write

    def waits(*given):
        go_on.wait(60)
        return write(*given)

    monkeypatch.setattr(asks, "write", waits)
    to_the_screen(on, words.OUT)
    on.screen._into(usb)
    on.wait()
    press_next(on)
    on.hand.until(lambda: on.screen._jobs is not None, 30)
    on.hand.tap(on.screen.progress.cancel)
    go_on.set()
    until(on, "Stopped.")
    assert list(usb.iterdir()) == []


def test_taking_over_is_stopped_in_time_and_nothing_came(opens, folder, usb, tmp_path, monkeypatch):
    from fieldapp.ui import asks_travel as asks

    on = opens(folder)
    on.session.person = ENGINEER
    back = from_west(send(on, usb), tmp_path)
    before = len(entries_now(on))
    go_on, take = threading.Event(), asks.take

    def waits(*given, **more):
        go_on.wait(60)
        return take(*given, **more)

    monkeypatch.setattr(asks, "take", waits)
    to_the_screen(on, words.IN)
    on.screen.look(back)
    on.wait()
    on.hand.tap(on.middle.next)
    on.hand.until(lambda: on.screen.progress.running, 30)
    on.hand.settle()
    on.hand.tap(on.screen.progress.cancel)
    go_on.set()
    until(on, "Stopped.")
    assert len(entries_now(on)) == before


def test_a_damaged_bundle_says_so_and_offers_another(opens, folder, usb):
    on = opens(folder)
    on.session.person = ENGINEER
    path = send(on, usb)
    path.write_bytes(path.read_bytes()[:-30])
    to_the_screen(on, words.IN)
    on.screen.look(path)
    on.wait()
    assert on.middle.said.startswith(f"{path.name} was not taken over.")
    assert on.middle.shown == "not met"
    assert on.middle.next_text == words.CHOOSE


def test_a_bundle_that_was_exchanged_after_it_was_shown_is_refused(opens, folder, usb, tmp_path):
    on = opens(folder)
    on.session.person = ENGINEER
    path = send(on, usb)
    back = from_west(path, tmp_path)
    to_the_screen(on, words.IN)
    on.screen.look(path)
    on.wait()
    shutil.copy(back, path)
    press_next(on)
    on.wait(hops=3)
    assert "not the bundle any more that was shown" in on.middle.said


def test_a_device_without_a_project_makes_one_of_a_bundle(opens, folder, usb):
    on = opens(folder)
    on.session.person = ENGINEER
    path = send(on, usb)
    on.leave()
    on = opens()
    assert project_words.BUNDLE_TELLS in on.texts()
    tap_row(on, words.IN)
    press_next(on)
    on.screen.list.look(usb)
    on.wait()
    tap_row(on, path.name)
    target = Path.home() / "Basenote" / "larkwater"
    assert rows(on)[words.NEW_PLACE].says == str(target)
    press_next(on)
    on.wait(hops=4)
    assert on.middle.said.startswith("Taken over from device ")
    press_next(on)
    on.wait(hops=4)
    assert (on.walk.current, on.session.folder, on.session.trouble) == ("board", target, "")
    on.leave()
    assert {each.hash for each in entries_of(target)} == {each.hash for each in entries_of(folder)}


@pytest.mark.parametrize(
    ("size", "scale", "language"),
    [
        (PORTRAIT, 2.0, "es"),
        pytest.param(LANDSCAPE, 1.0, "en", marks=pytest.mark.long_walk),
        pytest.param(LANDSCAPE, 2.0, "es", marks=pytest.mark.long_walk),
        pytest.param((1920, 1200), 2.0, "en", marks=pytest.mark.long_walk),
    ],
)
def test_no_text_is_cut_and_no_target_is_small(hand, opens, folder, usb, tmp_path, size, scale, language):
    hand.resize(size)
    theme.text_scale = scale
    tongue.choose(language)
    on = opens(folder)
    on.session.person = ENGINEER
    on.walk.go("bundle out")
    on.wait()
    for _ in range(2):
        assert hand.cut_labels() == []
        assert hand.small_targets() == []
        on.tap(next(w for w in on.screen.walk() if isinstance(w, SetupRow)))
    on.screen._into(usb)
    on.wait()
    press_next(on)
    on.hand.until(lambda: on.screen.made is not None, 60)
    on.wait()
    back = from_west(on.screen.made.path, tmp_path)
    assert hand.cut_labels() == []
    on.walk.go("bundle folder", wants="bundle", start=usb, chosen=print)
    on.wait()
    assert hand.cut_labels() == []
    on.walk.go("bundle in")
    on.wait()
    on.screen.look(back)
    on.wait()
    assert hand.cut_labels() == []
    press_next(on)
    on.wait(hops=3)
    assert rows(on)["P1-4"]
    assert hand.cut_labels() == []
    assert hand.small_targets() == []
