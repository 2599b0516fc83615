"""One number of the set in the making: its value, and who held it against the contract, and where that is.

It goes into the draft on disk; nothing is adopted here.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_project as asks
from fieldapp.ui.screens import acceptance_said as say
from fieldapp.ui.screens.setup_form import SetupForm
from fieldapp.ui.screens.setup_page import framed
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import acceptance as words
from fieldapp.ui.words.tongue import tr


class AcceptanceNumberScreen(Screen):
    """Opened with the key of a number of the set, or the name of one that is to be added."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupForm(next_text=tr(words.TAKE))
        self.middle.bind(on_next=lambda _form: self._take(), on_second=lambda _form: self._take_back())
        self.add_widget(framed(session, self.middle, self.bar))
        self.key = ""

    def open(self, key: str) -> None:
        self.key = key
        self.middle.able = True
        self.session.ask(lambda place: asks.number_page(place, key), self._show, self.middle.refused)

    def again(self) -> None:
        pass

    def goes_back(self) -> bool:
        return False

    def _show(self, page: asks.NumberPage) -> None:
        name = page.known.name if page.known is not None else self.key
        self.bar.title = say.meaning_of(name)
        self.bar.subtitle = say.case_of(page.known.applies) if page.known is not None else ""
        self.middle.second_text = tr(words.TAKE_BACK) if page.edited else ""
        self.middle.begin(page.form, {**self._by(page), **page.typed})
        self.middle.go_to("value")
        lines = [say.asked_by(name)]
        if page.known is not None:
            lines.insert(0, say.source_of(page.known))
            lines += [tr(words.NOTE, note=page.known.note)] if page.known.note else []
        self.middle.beside(lines)

    def _by(self, page: asks.NumberPage) -> dict[str, str]:
        """Whoever holds the tablet is proposed as the one who verified it."""
        names = [each.value for each in page.form.field("verified_by").options]
        return {"verified_by": self.session.person} if self.session.person in names else {}

    def _take(self) -> None:
        key, texts = self.key, self.middle.texts()
        self.middle.able = False
        self.session.ask(lambda place: asks.put_number(place, key, texts), self._taken, self.middle.refused)

    def _take_back(self) -> None:
        key = self.key
        self.session.ask(lambda place: asks.take_number_back(place, key), self._taken, self.middle.refused)

    def _taken(self, kept_at: datetime) -> None:
        self.session.kept(kept_at)
        self.way.back()
