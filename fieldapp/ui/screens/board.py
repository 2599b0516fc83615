"""The board: every shaft with its standing, what comes next, and the clock that matters.

It is the first frame: it needs Kivy and the read tables, nothing heavy.
"""

from __future__ import annotations

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


class BoardScreen(Screen):
    """The way begins here; a tap on a row opens its shaft."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar(back_able=False)
        self.middle = BoardMiddle()
        self.middle.places = [(name, tr(text)) for name, text in words.MORE_TO.items() if name in SCREENS]
        self.frame = ShaftFrame(bar=self.bar, middle=self.middle)
        self.add_widget(self.frame)
        self._board: Board | None = None
        self._rows: tuple[Listed, ...] = ()
        rows = self.middle.rows
        rows.bind(
            choice=self._show_rows,
            sought=self._seek,
            on_again=lambda *_: session.start(),
            on_shaft=lambda _rows, shaft: way.go("shaft", shaft=shaft),
        )
        self.middle.bind(on_who=lambda *_: way.go("person"), on_place=lambda _middle, name: way.go(name))
        session.bind(saved=self._say_who, person=self._say_who, trouble=self._say_trouble, ready=self.again)
        self._tick = Clock.create_trigger(self._count_down, TICK_S, interval=True)

    def open(self) -> None:
        """The first frame: the board as it is on disk."""
        self.bar.title = self.session.folder.name
        try:
            self._show(self.session.board())
        except known_problems() as problem:
            self.middle.rows.notice = f"{told(problem)} {tr(common.OPENING)}"
        self._say_who()
        self._say_trouble(self.session, self.session.trouble)

    def again(self, *_: object) -> None:
        """Read the board again, behind the screen."""
        self.session.jobs.run(self.session.board, self._show, self._refused)

    def goes_back(self) -> bool:
        return self.middle.close()

    def on_enter(self, *_: object) -> None:
        self._tick()

    def on_leave(self, *_: object) -> None:
        self._tick.cancel()
        self.middle.close()

    def _count_down(self, *_: object) -> None:
        if self._board is not None and self.session.board_moment(self._board) is not None:
            self._list(self._board)

    def _show(self, board: Board) -> None:
        self._board = board
        self.bar.title = board.project
        self.bar.subtitle = tr_count(*words.SHAFTS, len(board.rows))
        self._list(board)

    def _list(self, board: Board) -> None:
        self._rows = listed(board, self.session.board_moment(board))
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
        if rows.table.data != shown:
            rows.table.data = shown
        rows.notice = "" if shown else tr(self._nothing())

    def _nothing(self) -> str:
        if not self._rows:
            return words.NO_SHAFT
        if self.middle.rows.sought:
            return words.NOT_FOUND
        return words.NOTHING_TO_DO if self.middle.rows.choice == CHOICES[0] else words.NOTHING_HERE

    def _say_who(self, *_: object) -> None:
        self.middle.foot.who_text = self.session.person or tr(words.WHO)
        self.bar.right = tr(common.SAVED, time=self.session.saved) if self.session.saved else ""

    def _say_trouble(self, _session: Session, sentence: str) -> None:
        self.middle.rows.trouble = sentence

    def _refused(self, problem: Exception) -> None:
        self.middle.rows.trouble = told(problem)
