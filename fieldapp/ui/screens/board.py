"""The board: every shaft with its standing, what comes next, and the clock that matters.

It is the first frame: it needs Kivy and the read tables, nothing heavy.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any, Final

from kivy.clock import Clock
from kivy.uix.screenmanager import Screen

from fieldapp.desk.board import Board
from fieldapp.ui.board_rows import ALL, CHOICES, Listed, chosen, counts, listed
from fieldapp.ui.jobs import known_problems
from fieldapp.ui.screens.board_parts import BoardMiddle
from fieldapp.ui.session import Session
from fieldapp.ui.walk import SCREENS, Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.frame import ShaftFrame
from fieldapp.ui.words import board as words
from fieldapp.ui.words import common
from fieldapp.ui.words.tongue import told, tr, tr_count

TICK_S: Final = 10.0
OF_PROJECT: Final = {"schedule": "shaft scheduled", "instrument": "instrument"}
"""Entries that are of no one shaft, by the place of the board that makes them."""


class BoardScreen(Screen):
    """The way begins here; a tap on a row opens its shaft."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar(back_able=False)
        self.middle = BoardMiddle()
        self.middle.places = [
            (name, tr(text)) for name, text in words.MORE_TO.items() if name in {*SCREENS, *OF_PROJECT}
        ]
        self.frame = ShaftFrame(bar=self.bar, middle=self.middle)
        self.add_widget(self.frame)
        self._board: Board | None = None
        self._rows: tuple[Listed, ...] = ()
        self._minute: datetime | None = None
        rows = self.middle.rows
        rows.bind(
            choice=self._show_rows,
            sought=self._seek,
            on_again=lambda *_: session.start(),
            on_shaft=lambda _rows, shaft: way.go("shaft", shaft=shaft),
        )
        self.middle.bind(on_who=lambda *_: way.go("person"), on_place=lambda _middle, name: self._go_to(name))
        session.bind(saved=self._say_who, person=self._say_who, trouble=self._say_trouble, ready=self.again)
        self._tick = Clock.create_trigger(self._count_down, TICK_S, interval=True)

    def open(self) -> None:
        """The first frame: the board as it is on disk."""
        self.bar.title = self.session.folder.name
        try:
            self._show(self._read())
        except known_problems() as problem:
            self.middle.rows.notice = f"{told(problem)} {tr(common.OPENING)}"
        self._say_who()
        self._say_trouble(self.session, self.session.trouble)

    def again(self, *_: object) -> None:
        """Read the board again, behind the screen."""
        self.session.jobs.run(self._read, self._show, self._refused)

    def goes_back(self) -> bool:
        return self.middle.close()

    def on_enter(self, *_: object) -> None:
        self._tick()

    def on_leave(self, *_: object) -> None:
        self._tick.cancel()
        self.middle.close()

    def _go_to(self, place: str) -> None:
        if place in OF_PROJECT:
            self.way.go("entry", shaft="", kind=OF_PROJECT[place])
        else:
            self.way.go(place)

    def _count_down(self, *_: object) -> None:
        """Once a minute; the rows are made behind the screen, for there may be a thousand."""
        if self.get_parent_window() is None:
            self._tick.cancel()
            return
        board = self._board
        now = self.session.board_moment(board) if board is not None else None
        if board is None or now is None or now.replace(second=0, microsecond=0) == self._minute:
            return
        self._minute = now.replace(second=0, microsecond=0)
        self.session.jobs.run(lambda: (board, listed(board, now)), self._show, self._refused)

    def _read(self) -> tuple[Board, tuple[Listed, ...]]:
        board = self.session.board()
        return board, listed(board, self.session.board_moment(board))

    def _show(self, found: tuple[Board, tuple[Listed, ...]]) -> None:
        self._board, self._rows = found
        self.bar.title = self._board.project
        self.bar.subtitle = tr_count(*words.SHAFTS, len(self._board.rows))
        count = counts(self._rows)
        captions = (words.NEEDS_A_HAND, words.ALL, words.RELEASED, words.CONCRETE_IN, words.NOT_SHOWN)
        items = [(name, tr(text, count=count[name])) for name, text in zip(CHOICES, captions, strict=True)]
        self.middle.rows.choices.items = items
        self._show_rows()

    def _seek(self, _rows: object, sought: str) -> None:
        """Whoever seeks a shaft seeks among all."""
        if sought and self.middle.rows.choice != ALL:
            self.middle.rows.choice = ALL
        else:
            self._show_rows()

    def _show_rows(self, *_: object) -> None:
        rows = self.middle.rows
        shown = chosen(self._rows, rows.choice, rows.sought)
        rows.table.show(shown)
        rows.notice = "" if shown else tr(self._nothing())

    def _nothing(self) -> str:
        if not self._rows:
            return words.NO_SHAFT
        if self.middle.rows.sought:
            return words.NOT_FOUND
        return words.NOTHING_TO_DO if self.middle.rows.choice == CHOICES[0] else words.NOTHING_HERE

    def _say_who(self, *_: object) -> None:
        name = self.session.person
        self.middle.foot.who_text = tr(words.HOLDS, name=name) if name else tr(words.WHO)
        self.bar.right = tr(common.SAVED, time=self.session.saved) if self.session.saved else ""

    def _say_trouble(self, _session: Session, sentence: str) -> None:
        self.middle.rows.trouble = sentence

    def _refused(self, problem: Exception) -> None:
        self.middle.rows.trouble = told(problem)
