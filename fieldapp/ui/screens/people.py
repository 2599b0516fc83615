"""The people of the project: roles, and in words what is known of each one's key."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_project as asks
from fieldapp.ui.screens.setup_page import SetupMiddle, framed, row_of
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import people as words
from fieldapp.ui.words.common import sentence
from fieldapp.ui.words.tongue import told, tr

if TYPE_CHECKING:
    from fieldapp.desk.trust.roster import PersonNow


class PeopleScreen(Screen):
    """A row leads to the person."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar(title=tr(words.TITLE))
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle(next_text=tr(words.ADD))
        self.middle.bind(on_next=lambda _middle: way.go("person roles"))
        self.add_widget(framed(session, self.middle, self.bar))

    def open(self) -> None:
        self.again()

    def again(self) -> None:
        self.session.ask(asks.people_page, self._show, lambda problem: self.middle.say(told(problem)))

    def goes_back(self) -> bool:
        return False

    def _show(self, people: tuple[PersonNow, ...]) -> None:
        self.middle.say("")
        self.middle.show(
            row_of(
                lambda name: self.way.go("person page", person=name),
                subject=each.name,
                shown=each.key.outcome,
                title=each.name,
                says=roles_of(each),
                value=sentence(tr(each.key.says[0])),
            )
            for each in people
        )


def roles_of(person: PersonNow) -> str:
    """The roles of a person in one line."""
    return ", ".join(tr(str(each)) for each in person.roles)
