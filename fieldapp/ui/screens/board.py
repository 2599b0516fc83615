"""The board: every shaft with its standing, what comes next, and the clock that matters.

It is the first frame: it needs Kivy and the read tables, nothing heavy.
"""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.screenmanager import Screen

from fieldapp.desk.board import Board
from fieldapp.ui.board_rows import Listed, listed
from fieldapp.ui.jobs import known_problems
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.board_row import Board as BoardTable
from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.frame import ShaftFrame
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.words import board as words
from fieldapp.ui.words import common
from fieldapp.ui.words.tongue import told, tr, tr_count

REGISTERED = (BoardTable, Notice, PlainButton)


class BoardMiddle(Ground):
    """The choice of rows, the rows, and a sentence when something keeps the project shut."""

    __events__ = ("on_who", "on_again", "on_shaft")
    all_shown = BooleanProperty(False)
    needs_text = StringProperty("")
    all_text = StringProperty("")
    who_text = StringProperty("")
    notice = StringProperty("")
    trouble = StringProperty("")
    least = NumericProperty("64dp")
    tallest = NumericProperty("64dp")

    def on_trouble(self, _middle: BoardMiddle, sentence: str) -> None:
        self.ids.trouble.clear_widgets()
        if sentence:
            again = PlainButton(text=tr(common.TRY_AGAIN), least="80dp")
            again.bind(on_release=lambda _button: self.dispatch("on_again"))
            self.ids.trouble.add_widget(again)

    def on_who(self) -> None:
        pass

    def on_again(self) -> None:
        pass

    def on_shaft(self, _shaft: str) -> None:
        pass


class BoardScreen(Screen):
    """The way begins here; a tap on a row opens its shaft."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session = session
        self.bar = Bar(back_able=False)
        self.middle = BoardMiddle()
        self.frame = ShaftFrame(bar=self.bar, middle=self.middle)
        self.add_widget(self.frame)
        self._rows: tuple[Listed, ...] = ()
        self.middle.bind(
            all_shown=self._show_rows,
            on_who=lambda *_: way.go("person"),
            on_again=lambda *_: session.start(),
            on_shaft=lambda _middle, shaft: way.go("shaft", shaft=shaft),
        )
        session.bind(saved=self._say_who, person=self._say_who, trouble=self._say_trouble, ready=self.again)

    def open(self) -> None:
        """The first frame: the board as it is on disk."""
        self.bar.title = self.session.folder.name
        try:
            self._show(self.session.board())
        except known_problems() as problem:
            self.middle.notice = f"{told(problem)} {tr(common.OPENING)}"
        self._say_who()
        self._say_trouble(self.session, self.session.trouble)

    def again(self, *_: object) -> None:
        """Read the board again, behind the screen."""
        self.session.jobs.run(self.session.board, self._show, self._refused)

    def goes_back(self) -> bool:
        return False

    def _show(self, board: Board) -> None:
        self.bar.title = board.project
        count = len(board.rows)
        self.bar.subtitle = tr_count(*words.SHAFTS, count)
        self._rows = listed(board, self.session.board_moment(board))
        waiting = sum(each.needs_a_hand for each in self._rows)
        self.middle.needs_text = tr(words.NEEDS_A_HAND, count=waiting)
        self.middle.all_text = tr(words.ALL, count=count)
        self._show_rows()

    def _show_rows(self, *_: object) -> None:
        shown = [each.data for each in self._rows if self.middle.all_shown or each.needs_a_hand]
        self.middle.ids.table.data = shown
        nothing = words.NOTHING_TO_DO if self._rows else words.NO_SHAFT
        self.middle.notice = "" if shown else tr(nothing)

    def _say_who(self, *_: object) -> None:
        self.middle.who_text = self.session.person or tr(words.WHO)
        self.bar.right = tr(common.SAVED, time=self.session.saved) if self.session.saved else ""

    def _say_trouble(self, _session: Session, sentence: str) -> None:
        self.middle.trouble = sentence

    def _refused(self, problem: Exception) -> None:
        self.middle.trouble = told(problem)


load_beside(__file__)
