"""A new project: name, units, time zone, acceptance set, the first person; made in one step.

What is half typed is kept on this device, so that a kill of the app costs nothing.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any, Final

from kivy.clock import Clock
from kivy.uix.screenmanager import Screen

from fieldapp.desk.entry_forms.form import EntryForm
from fieldapp.ui.screens import projects_asks as asks
from fieldapp.ui.screens.projects import take_up
from fieldapp.ui.screens.setup_form import SetupForm
from fieldapp.ui.screens.setup_page import framed
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import projects as words
from fieldapp.ui.words.tongue import tr

REST_S: Final = 0.6
MOST_ZONES: Final = 6
_NOT_IN_AN_ID: Final = re.compile(r"[^a-z0-9]+")


class NewProjectScreen(Screen):
    """Made, the way goes on to the project's own page."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar(title=tr(words.NEW))
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupForm(next_text=tr(words.MAKE), second_text=tr(words.OTHER_PLACE))
        self.middle.bind(
            on_typed=lambda _form, name, text: self._typed(name, text),
            on_next=lambda _form: self._make(),
            on_second=lambda _form: self._other_place(),
        )
        self.add_widget(framed(session, self.middle, self.bar))
        self.above = Path.home()
        self.zones: tuple[str, ...] = ()
        self._proposed = ""
        self._rest = Clock.create_trigger(lambda _passed_s: self.keep(), REST_S)

    def open(self) -> None:
        self.session.jobs.run(asks.new_page, self._show, self.middle.refused)

    def again(self) -> None:
        pass

    def goes_back(self) -> bool:
        self.keep()
        return False

    def keep(self) -> None:
        """Put what is typed on disk."""
        self._rest.cancel()
        if self.middle.typing is not None:
            texts, above = self.middle.texts(), self.above
            self.session.jobs.run(lambda: asks.keep_new(texts, above), lambda _: None, self.middle.refused)

    def _show(self, page: asks.NewPage) -> None:
        self.zones = page.zones
        zone = next(each for each in page.fields if each.name == "time_zone").options[0].value
        given = (("time_zone", zone), ("own_log_release", "no"), ("keep_picture_positions", "no"))
        form = EntryForm("new project", words.NEW_TITLE, None, page.fields, given=given)
        self._proposed = _short(page.typed.get("name", ""))
        self.middle.begin(form, page.typed)
        self._put_into(page.above)

    def _put_into(self, above: Path) -> None:
        self.above = above
        self.middle.beside((tr(words.WHERE, folder=str(above)),))

    def _typed(self, name: str, text: str) -> None:
        if name == "time_zone":
            self._offer_zones(text)
        elif name == "name":
            self._name_shortly(text)
        self._rest()

    def _offer_zones(self, text: str) -> None:
        asked = text.strip().replace(" ", "_").casefold()
        fitting = [each for each in self.zones if asked in each.casefold()][:MOST_ZONES]
        self.middle.tools.suggested.options = [(each, each) for each in fitting]

    def _name_shortly(self, name: str) -> None:
        """Propose a short name as long as nobody typed another one."""
        typing = self.middle.typing
        assert typing is not None
        if typing.typed.fields.get("id", "") == self._proposed:
            typing.typed.fields["id"] = self._proposed = _short(name)
            self.middle.show_again()

    def _other_place(self) -> None:
        self.keep()
        self.way.go("folder", wants="place", chosen=self._put_into, start=self.above)

    def _make(self) -> None:
        self.middle.able = False
        self._rest.cancel()
        texts, above, session = self.middle.texts(), self.above, self.session
        session.jobs.run(
            lambda: asks.make_project(texts, above, session.clock, session.device),
            lambda folder: self._made(folder, texts["person"].strip()),
            self.middle.refused,
        )

    def _made(self, folder: Path, person: str) -> None:
        self.middle.typing = None
        take_up(self.session, self.way, folder)
        self.session.person = person
        self.way.go("setup")


def _short(name: str) -> str:
    return _NOT_IN_AN_ID.sub("-", name.casefold()).strip("-")[:40].strip("-")
