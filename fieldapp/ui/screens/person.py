"""Who holds the tablet: asked before the first recording, and from the board at any time."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.boxed import Boxed, Ground
from fieldapp.ui.widgets.frame import ShaftFrame
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.words import person as words
from fieldapp.ui.words.tongue import told, tr

REGISTERED = (BoxLayout, Boxed, Notice, Pages)


class PersonRow(PlainButton):
    """One person of the roster: a large box with the name and the roles."""


class PersonMiddle(Ground):
    """A sentence, the people, and the way to the project's own page."""

    __events__ = ("on_office",)
    notice = StringProperty("")

    def on_office(self) -> None:
        pass


class PersonScreen(Screen):
    """``then`` is called once somebody was chosen."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.middle = PersonMiddle()
        self.middle.bind(on_office=lambda _middle: way.go("setup"))
        self.bar = Bar(title=tr(words.TITLE))
        self.bar.bind(on_back=lambda _bar: way.back())
        self.add_widget(ShaftFrame(bar=self.bar, middle=self.middle))
        self._then: Callable[[], None] | None = None

    def open(self, then: Callable[[], None] | None = None) -> None:
        self._then = then
        self.session.ask(asks.people, self._show, self._refused)

    def again(self) -> None:
        """People may have been put on the project meanwhile."""
        self.session.ask(asks.people, self._show, self._refused)

    def goes_back(self) -> bool:
        return False

    def _show(self, people: tuple[tuple[str, str], ...]) -> None:
        self.middle.ids.rows.clear()
        for name, roles in people:
            named = ", ".join(tr(each) for each in roles.split(", "))
            row = PersonRow(text=f"{name}, {named}" if name.lower() != roles else name)
            row.chosen = name == self.session.person
            row.bind(on_release=lambda _row, chosen=name: self._choose(chosen))
            self.middle.ids.rows.add_widget(row)

    def _choose(self, name: str) -> None:
        if name != self.session.key_of:
            self.session.lock()
        self.session.person = name
        self.way.back()
        if self._then is not None:
            self._then()

    def _refused(self, problem: Exception) -> None:
        self.middle.notice = told(problem)


load_beside(__file__)
