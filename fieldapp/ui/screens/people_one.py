"""One person: roles, the key in words, and what can be done with it.

Every way is open to everybody; what somebody may not do is refused in place, by the desk.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_project as asks
from fieldapp.ui.screens.people import roles_of
from fieldapp.ui.screens.setup_page import SetupMiddle, framed, row_of
from fieldapp.ui.screens.setup_rows import SetupHead, SetupRow, SetupSays
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import people as words
from fieldapp.ui.words.common import sentence
from fieldapp.ui.words.tongue import told, tr

if TYPE_CHECKING:
    from fieldapp.desk.trust.roster import KeyNow, PersonNow


class PersonPageScreen(Screen):
    """Opened with the name; ``said`` is what was done just now."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.add_widget(framed(session, self.middle, self.bar))
        self.person = ""
        session.bind(key_of=self._key_turned)

    def open(self, person: str, said: str = "") -> None:
        self.person = person
        self.bar.title, self.bar.subtitle = person, ""
        self.middle.say(said, "met")
        self._ask()

    def again(self) -> None:
        self._ask()

    def goes_back(self) -> bool:
        return False

    def _key_turned(self, *_: object) -> None:
        self._ask()

    def _ask(self) -> None:
        person = self.person
        if person and self.way.trail and self.way.trail[-1] == self.name:
            self.session.ask(lambda place: asks.person_page(place, person), self._show, self._refused)

    def _show(self, person: PersonNow) -> None:
        self.bar.subtitle = roles_of(person)
        key = person.key
        says = [tr(each) for each in key.says]
        if self.session.key_of == person.name:
            says.append(tr(words.OPEN_NOW))
        state = SetupSays(shown=key.outcome, text="\n".join(sentence(each) for each in says))
        self.middle.show((SetupHead(text=tr(words.KEY)), state, *self._ways(key), self._roles()))

    def _ways(self, key: KeyNow) -> list[SetupRow]:
        ways = []
        if key.holds and key.here:
            if self.session.key_of != self.person:
                ways.append(self._way(words.UNLOCK, "unlock"))
            ways.append(self._way(words.NEW_PASSPHRASE, "change"))
        if not (key.holds and key.here):
            ways.append(self._way(words.MAKE_KEY, "make"))
            ways.append(_row(words.OWN_KEY, self._bring))
        if key.pinned:
            text = words.REVOKE_EARLIER if key.revoked else words.REVOKE
            given = {"person": self.person, "again": key.revoked}
            ways.append(_row(text, lambda: self.way.go("revoke key", **given)))
        return ways

    def _way(self, text: str, does: str) -> SetupRow:
        return _row(text, lambda: self.way.go("person key", person=self.person, does=does))

    def _roles(self) -> SetupRow:
        made = _row(words.CHANGE_ROLES, lambda: self.way.go("person roles", person=self.person))
        made.says = tr(words.NEW_KEY_THEN)
        return made

    def _bring(self) -> None:
        def chosen(file: Path) -> None:
            self.way.go("person key", person=self.person, does="own", file=file)

        self.way.go("folder", wants="key", chosen=chosen)

    def _refused(self, problem: Exception) -> None:
        self.middle.say(told(problem))


def _row(text: str, go: Callable[[], None]) -> SetupRow:
    """Its title stands under the sentences about the key."""
    return row_of(lambda _subject: go(), title=tr(text), indented=True)
