"""The board by touch: search, choices, what else it leads to, clocks that run, and a thousand shafts."""

from __future__ import annotations

import shutil
import time
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from kivy.core.window import Window

from fieldapp.store.driver import sqlite3
from fieldapp.ui import session as sessions
from fieldapp.ui.board_rows import listed
from fieldapp.ui.screens.board import OF_PROJECT
from fieldapp.ui.session import Session
from fieldapp.ui.walk import SCREENS, Walk
from fieldapp.ui.widgets.text import Fixed
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import board as words
from fieldapp.ui.words import tongue
from tests.screens.journey import DEVICE, Journey, SteppedClock, begin, set_out
from tests.support.driver import LANDSCAPE, PORTRAIT, Driver

LUNCH = datetime.fromisoformat("2026-05-18T12:30:00-06:00")
THOUSAND = 1000
# CPU time of one thread, not time on the wall: guards against a slip on a busy machine, not measurements.
FRAME_S = 0.05
OPEN_S = 2.0


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("board") / "larkwater", "larkwater", ("P1-1", "P2-1", "P2-4"))


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def on(hand: Driver, folder: Path) -> Iterator[Journey]:
    opened = set_out(hand, folder)
    yield opened
    opened.leave()


def shafts(on: Journey) -> list[str]:
    return [each["shaft"] for each in on.middle.rows.table.data]


def seek(on: Journey, text: str) -> None:
    on.middle.rows.find.typing.text = text
    on.wait()


def test_what_needs_a_hand_is_shown_and_another_choice_is_one_tap_away(on):
    assert shafts(on)[0] == "P2-4"  # its release has lapsed
    assert "P1-1" not in shafts(on)  # filed
    on.tap(on.middle.rows.choices.button("concrete in"))
    assert shafts(on) == ["P1-1"]
    on.tap(on.middle.rows.choices.button("not shown"))
    assert "P2-1" in shafts(on)
    on.tap(on.middle.rows.choices.button("released"))
    assert shafts(on) == []
    assert on.middle.rows.notice == words.NOTHING_HERE
    on.tap(on.middle.rows.choices.button("all"))
    assert len(shafts(on)) == 10


def test_a_shaft_is_found_by_its_name_among_all(on):
    seek(on, "p11")
    assert shafts(on) == ["P1-1"]
    assert on.middle.rows.choice == "all"
    seek(on, "nowhere")
    assert on.middle.rows.notice == words.NOT_FOUND
    seek(on, "P2-4")
    on.tap_shaft("P2-4")
    assert on.walk.current == "shaft"
    assert on.screen.shaft == "P2-4"


def test_a_row_says_stage_standing_next_thing_and_clock(on):
    row = next(each for each in on.middle.rows.table.data if each["shaft"] == "P2-1")
    assert (row["stage"], row["shown"], row["word"], row["next_text"]) == (
        "Base",
        "not shown",
        "not shown",
        "Sound the base",
    )
    # as of 12:16, the fluid has touched the bottom since 09:36: four hours are over at 13:36
    assert (row["clock_caption"], row["clock"]) == ("overream if open past 13:36", "1 h 20")


def test_more_leads_to_every_screen_that_there_is_and_escape_leads_back(on):
    on.tap(on.middle.foot.more_button)
    assert on.middle.more.parent is on.middle
    names = [each.key for each in reversed(on.middle.column.children)]
    assert names == list(words.MORE_TO)
    assert set(names) <= {*SCREENS, *OF_PROJECT}
    on.press()
    assert on.middle.rows.parent is on.middle
    assert on.middle.more.parent is None
    for name in ("people", "settings"):
        on.tap(on.middle.foot.more_button)
        on.tap(on.middle.column.button(name))
        assert on.walk.current == name
        on.press()
        assert on.walk.current == "board"
        assert on.middle.rows.parent is on.middle


def test_the_clocks_run_with_the_clock_of_the_session(hand, folder):
    clock = SteppedClock(LUNCH)
    on = set_out(hand, folder, as_of=None)
    on.session.clock = clock
    board = on.screen
    board._minute = None
    board._count_down()
    on.wait()

    def shown() -> str:
        (row,) = (each for each in on.middle.rows.table.data if each["shaft"] == "P2-1")
        return row["clock"]

    assert shown() == "1 h 05"  # until 13:36, at half past twelve and some seconds
    clock.moment += timedelta(minutes=10)
    board._count_down()
    on.wait()
    assert shown() == "55 min"
    live = next(each for each in on.middle.rows.table.rows.layout_manager.children if each.shaft == "P2-1")
    assert live.clock == "55 min"
    clock.moment += timedelta(hours=1)
    board._count_down()
    on.wait()
    row = next(each for each in on.middle.rows.table.data if each["shaft"] == "P2-1")
    assert (row["clock_caption"], row["clock"], row["late"]) == ("open too long since", "13:36", "due")
    on.leave()


def grown(folder: Path, count: int) -> Path:
    """The same read tables with this many shafts."""
    with sqlite3.connect(folder / "journal.db") as connection:
        names = [each[1] for each in connection.execute("PRAGMA table_info(shafts)")]
        rows = connection.execute(f"SELECT {', '.join(names)} FROM shafts").fetchall()
        places = ", ".join("?" * len(names))
        for number in range(count - len(rows)):
            row = (f"Q{number // 40 + 1}-{number % 40 + 1}", *rows[number % len(rows)][1:])
            connection.execute(f"INSERT INTO shafts VALUES ({places})", row)
    connection.close()
    return folder


def test_a_thousand_shafts_open_at_once_and_scroll_without_a_stutter(hand, folder, monkeypatch):
    monkeypatch.setattr(sessions.Session, "start", lambda _session: None)
    session = Session(grown(folder, THOUSAND), None, SteppedClock(), DEVICE)
    board = session.board()
    assert len(listed(board, session.board_moment(board))) == THOUSAND
    hand.clear()
    began = time.thread_time()
    walk = Walk(session)
    walk.go("board")
    Window.add_widget(walk)
    hand.pump(2)
    assert time.thread_time() - began < OPEN_S
    hand.settle()
    walk.current_screen.middle.rows.choice = "all"
    hand.settle()
    rows = walk.current_screen.middle.rows.table.rows
    assert len(rows.data) == THOUSAND
    hidden = rows.layout_manager.height - rows.height
    frames = []
    for _ in range(60):
        rows.scroll_y = max(0.0, rows.scroll_y - 64 / hidden)
        before = time.thread_time()
        hand.pump(1)
        Window.canvas.ask_update()
        frames.append(time.thread_time() - before)
    assert sorted(frames)[30] < FRAME_S
    assert len(rows.layout_manager.children) < 20  # a dozen rows are alive, not a thousand
    hand.clear()
    session.close()


@pytest.mark.parametrize("language", [tongue.ENGLISH, "es"])
def test_at_twice_the_text_two_shafts_stand_on_a_page_and_no_word_is_small(hand, folder, language):
    tongue.choose(language)
    theme.text_scale = 2.0
    on = set_out(hand, folder)
    try:
        table = on.middle.rows.table
        assert table.rows.height >= 2 * table.rows.line
        small = [
            (each.text, each.font_size, each.full)
            for row in table.rows.layout_manager.children
            for each in row.walk(restrict=True)
            if isinstance(each, Fixed) and each.text and each.font_size < 0.7 * each.full
        ]
        assert small == []
        assert (hand.cut_labels(), hand.small_targets()) == ([], [])
    finally:
        on.leave()
        tongue.choose(tongue.ENGLISH)


@pytest.mark.long_walk
@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT, (1920, 1200)])
@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
def test_the_board_and_what_it_leads_to_fit(hand, folder, size, scale):
    hand.resize(size)
    theme.text_scale = scale
    on = set_out(hand, folder)
    try:
        on.tap(on.middle.rows.choices.button("all"))
        assert (hand.cut_labels(), hand.small_targets()) == ([], [])
        assert on.middle.rows.table.rows.height > 64  # a row at least is in view
        on.tap(on.middle.foot.more_button)
        assert (hand.cut_labels(), hand.small_targets()) == ([], [])
    finally:
        on.leave()
