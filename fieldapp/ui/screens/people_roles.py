"""Putting a person on the project, or giving one other roles: decided by somebody of the office."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.desk.entry_forms.form import Ask, EntryForm, FormField, Option
from fieldapp.ui import asks_project as asks
from fieldapp.ui.recording import Recording
from fieldapp.ui.screens.setup_form import SetupForm
from fieldapp.ui.screens.setup_page import framed
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import people as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.trust.roster import PersonNow
    from fieldapp.record.entry import Entry


class PersonRolesScreen(Screen):
    """``person`` changes the roles of somebody; without it somebody new is put on the project."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupForm()
        self.middle.bind(on_next=lambda _form: self._record())
        self.add_widget(framed(session, self.middle, self.bar))
        self.recording = Recording(session, way, self.middle.foot, self._recorded, self.middle.refused)
        self.person = ""

    def open(self, person: str = "") -> None:
        self.person = person
        self.bar.title = tr(words.ROLES_OF, name=person) if person else tr(words.ADD)
        self.middle.next_text = tr(words.CHANGE_ROLES if person else words.PUT_ON)
        self.middle.able = True
        if person:
            self.session.ask(lambda place: asks.person_page(place, person), self._known, self.middle.refused)
        else:
            self.middle.begin(_form(named=False), {})

    def again(self) -> None:
        self.middle.able = True

    def goes_back(self) -> bool:
        return bool(self.middle.foot.close())

    def _known(self, person: PersonNow) -> None:
        self.middle.begin(_form(named=True), {"roles": "\n".join(person.roles)})

    def _record(self) -> None:
        texts = self.middle.texts()
        name, roles = self.person or texts.get("name", ""), texts.get("roles", "")
        self.middle.able = False
        self.recording.record(lambda place, by: asks.put_person(place, name, roles, by))

    def _recorded(self, _entry: Entry) -> None:
        self.way.back()


def _form(*, named: bool) -> EntryForm:
    from fieldapp.record.words import Role

    roles = tuple(Option(each, each) for each in Role)
    name = FormField("name", words.NAME, Ask.TEXT, needed=True, tells=words.NAME_TELLS)
    chosen = FormField("roles", words.ROLES, Ask.SEVERAL, needed=True, options=roles, tells=words.ROLES_TELLS)
    return EntryForm("person", words.PERSON, None, (chosen,) if named else (name, chosen))
