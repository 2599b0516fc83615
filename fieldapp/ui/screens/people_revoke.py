"""Revoking a person's key: why, and since when it is not trusted; asked once more before it is recorded."""

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
    from fieldapp.record.entry import Entry


class RevokeKeyScreen(Screen):
    """Opened with the person whose key is not trusted any more; ``again`` when it is revoked already.

    A key that is revoked can only be revoked from an earlier time, when more has come to light.
    """

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupForm(next_text=tr(words.REVOKE))
        self.middle.bind(on_next=lambda _form: self._ask())
        self.add_widget(framed(session, self.middle, self.bar))
        self.recording = Recording(session, way, self.middle.foot, self._recorded, self.middle.refused)
        self.person, self.earlier = "", False

    def open(self, person: str, again: bool = False) -> None:
        self.person, self.earlier = person, again
        self.bar.title = tr(words.REVOKE_TITLE, name=person)
        self.middle.able = True
        self.session.ask(lambda place: place.setup().time_zone, self._show, self.middle.refused)

    def again(self) -> None:
        self.middle.able = True

    def goes_back(self) -> bool:
        return bool(self.middle.foot.close())

    def _show(self, zone: str) -> None:
        reasons = tuple(Option(tr(each), tr(each)) for each in words.REASONS)
        tells = words.SINCE_EARLIER if self.earlier else words.SINCE_TELLS
        fields = (
            FormField("reason", words.WHY, Ask.TEXT, needed=True, options=reasons),
            FormField("since", words.SINCE, Ask.MOMENT, needed=self.earlier, tells=tells),
        )
        self.middle.begin(
            EntryForm("revocation", words.REVOKE, None, fields),
            {},
            zone,
            lambda: self.session.clock.now(zone),
        )

    def _ask(self) -> None:
        self.middle.foot.ask(
            tr(words.REVOKE_ASKS, name=self.person), tr(words.KEEP_KEY), tr(words.DO_REVOKE), self._record
        )

    def _record(self) -> None:
        texts, person = self.middle.texts(), self.person
        since, why = texts.get("since", ""), texts["reason"]
        self.middle.able = False
        self.recording.record(lambda place, by: asks.revoke_key(place, person, since, why, by))

    def _recorded(self, _entry: Entry) -> None:
        if self.session.key_of == self.person:
            self.session.lock()
        self.way.go("person page", person=self.person, said=tr(words.REVOKED, name=self.person))
