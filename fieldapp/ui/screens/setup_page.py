"""A page of the office: a sentence, rows in pages, and at the foot what can be done, the next thing last."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from kivy.properties import BooleanProperty, OptionProperty, StringProperty
from kivy.uix.widget import Widget

from fieldapp.ui.screens.setup_rows import SetupRow
from fieldapp.ui.session import Session
from fieldapp.ui.widgets.action_row import ActionRow
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.foot import Foot
from fieldapp.ui.widgets.frame import ShaftFrame
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.press import ActButton, PlainButton
from fieldapp.ui.widgets.shapes import STATES
from fieldapp.ui.words import common
from fieldapp.ui.words.tongue import tr

REGISTERED = (ActionRow, ActButton, Foot, Notice, Pages, PlainButton)


class SetupMiddle(Ground):
    """Gives ``on_next()`` and ``on_second()``; a word that is empty takes its button away."""

    __events__ = ("on_next", "on_second")
    shown = OptionProperty("", options=list(STATES))
    said = StringProperty("")
    next_text = StringProperty("")
    next_able = BooleanProperty(True)
    second_text = StringProperty("")

    def on_kv_post(self, _base: Widget) -> None:
        self.next = ActButton()
        self.next.bind(on_release=lambda _button: self.dispatch("on_next"))
        self.second = PlainButton(least="80dp")
        self.second.bind(on_release=lambda _button: self.dispatch("on_second"))
        for name in ("next_text", "second_text", "next_able"):
            self.fbind(name, self._fill)
        self.ids.foot.bind(on_asking=self._fill)
        self._fill()

    def on_next(self) -> None:
        pass

    def on_second(self) -> None:
        pass

    def say(self, text: str, shown: str = "not met") -> None:
        """One sentence over the rows; empty takes it away."""
        self.shown, self.said = (shown if text else ""), text

    def show(self, rows: Iterable[Widget]) -> None:
        """Show these rows in the place of those before."""
        pages = self.ids.pages
        pages.clear()
        for each in rows:
            pages.add_widget(each)
        pages.scroller.scroll_y = 1.0

    def _fill(self, *_: object) -> None:
        row = self.ids.actions
        row.clear_widgets()
        self.next.text, self.second.text = self.next_text, self.second_text
        self.next.disabled = not self.next_able
        self.second.size_hint_x = 0.5 if self.next_text else 1
        for button, text in ((self.second, self.second_text), (self.next, self.next_text)):
            if text and self.ids.foot.question is None:
                row.add_widget(button)


class PageFrame(ShaftFrame):
    """The frame of a page without a strip; its bar says who holds the tablet and what was saved."""

    def __init__(self, session: Session, **parts: Any) -> None:
        super().__init__(**parts)
        self._session = session
        # a method, which the session holds weakly: it outlives the screens that are built anew
        session.bind(saved=self._say, person=self._say)
        self._say()

    def _say(self, *_: object) -> None:
        session = self._session
        saved = tr(common.SAVED, time=session.saved) if session.saved else ""
        self.bar.right = "\n".join(each for each in (session.person, saved) if each)


def framed(session: Session, middle: Widget, bar: Bar, **parts: Any) -> ShaftFrame:
    """The frame of a page without a strip."""
    return PageFrame(session, bar=bar, middle=middle, **parts)


def row_of(tapped: Callable[[Any], None], **what: Any) -> SetupRow:
    """A row that tells its subject when it is tapped."""
    made = SetupRow(**what)
    made.bind(on_release=lambda row: tapped(row.subject))
    return made


load_beside(__file__)
