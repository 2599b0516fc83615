"""The project as its office sees it: what is to be done, and the ways to it."""

from __future__ import annotations

from typing import Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_project as asks
from fieldapp.ui.screens.setup_page import SetupMiddle, framed, row_of
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import projects as words
from fieldapp.ui.words.tongue import told, tr, tr_count


class SetupScreen(Screen):
    """Rows lead to the acceptance set, the people, a shaft to be scheduled, the settings, other projects."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle(next_text=tr(words.TO_BOARD))
        self.middle.bind(on_next=lambda _middle: way.go("board"))
        self.add_widget(framed(session, self.middle, self.bar))

    def open(self) -> None:
        self.again()

    def again(self) -> None:
        self.session.ask(asks.office_page, self._show, self._refused)

    def goes_back(self) -> bool:
        return False

    def _show(self, page: asks.OfficePage) -> None:
        self.middle.say("")
        self.bar.title = page.name
        self.bar.subtitle = tr(words.OF_PROJECT, units=page.units, zone=page.time_zone)
        self.middle.show((self._set(page), self._people(page), *self._rest(page)))

    def _set(self, page: asks.OfficePage) -> object:
        adopted = page.adopted
        open_ones = tr_count(*words.MUST_ENTER, adopted.to_enter)
        return row_of(
            lambda _: self.way.go("acceptance"),
            indented=True,
            shown="not shown" if adopted.to_enter else "met",
            title=tr(words.SET_ROW),
            says=adopted.title,
            detail=tr(words.IN_THE_MAKING) if page.in_the_making else "",
            value=open_ones if adopted.to_enter else tr(words.ALL_ENTERED),
        )

    def _people(self, page: asks.OfficePage) -> object:
        return row_of(
            lambda _: self.way.go("people"),
            shown="not shown" if page.without_key else "met",
            title=tr(words.PEOPLE_ROW),
            says=tr_count(*words.PEOPLE, page.people),
            value=tr_count(*words.WITHOUT_KEY, page.without_key) if page.without_key else "",
        )

    def _rest(self, page: asks.OfficePage) -> tuple[object, ...]:
        go = self.way.go
        return (
            row_of(
                lambda _: go("entry", shaft="", kind=asks.SCHEDULED),
                indented=True,
                shown="due" if not page.shafts else "",
                title=tr(words.SCHEDULE_ROW),
                says=tr_count(*words.SCHEDULED, page.shafts) if page.shafts else tr(words.NONE_SCHEDULED),
                detail=tr(words.OFFICE_ONLY),
            ),
            row_of(
                lambda _: go("settings"),
                indented=True,
                title=tr(words.SETTINGS_ROW),
                says=tr(words.SETTINGS_SAYS),
            ),
            row_of(
                lambda _: go("projects"),
                indented=True,
                title=tr(words.PROJECTS_ROW),
                says=tr(words.PROJECTS_SAYS),
            ),
        )

    def _refused(self, problem: Exception) -> None:
        self.middle.say(told(problem))
