"""The key of the person who holds the tablet is opened here, when a decision needs it and not before.

What is typed is in no draft, no log and no other screen, and it is gone when this screen is left.  Wrong
passphrases slow the next try down; the desk says for how long.  Whoever has no key on this device makes one
from here, and goes on with it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from fieldapp.ui import asks_decisions as asks
from fieldapp.ui.asks_project import person_page
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.screens.people_secret import SecretField
from fieldapp.ui.screens.people_secret_screen import SecretScreen
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.words import people as words
from fieldapp.ui.words import signoff as sign_words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.trust.roster import PersonNow, UnlockedKey

OPENS: Final = "opens"


class UnlockScreen(SecretScreen):
    """``then`` is called once the key is open; back leaves it shut and decides nothing."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(session, way, **kwargs)
        self.fields = {OPENS: self.field(OPENS, tr(words.PASSPHRASE))}
        self._then: Callable[[], None] | None = None
        self.missing = False
        """There is no key to open: one is to be made."""

    @property
    def secret(self) -> SecretField:
        """The one box."""
        return self.fields[OPENS]

    def open(self, then: Callable[[], None] | None = None) -> None:
        from fieldapp.desk.trust.key_time import key_minutes

        self.forget()
        self._then, self.missing = then, False
        person = self.session.person
        self.bar.title, self.bar.subtitle = tr(words.MAKE_KEY_OF, name=person), tr(sign_words.UNLOCK_FIRST)
        self.middle.next_text = tr(words.UNLOCK)
        self.middle.say(tr(words.UNLOCK_SAYS, name=person, minutes=key_minutes()), "due")
        self.middle.show([self.secret])
        self._judge()
        self.secret.typing.focus = True
        self.session.ask(lambda place: person_page(place, person), self._known, self._refused)

    def again(self) -> None:
        """Back from making a key: it is open already, and what asked for it goes on."""
        if self.missing and self.session.key_of == self.session.person:
            self._go_on()

    def _known(self, person: PersonNow) -> None:
        """Ask for no passphrase of a key that is not here."""
        if person.name != self.session.person or person.key.here or not self.is_shown:
            return
        self.forget()
        self.missing = True
        self.middle.say(tr(sign_words.NO_KEY_HERE, name=person.name), "due")
        self.middle.show([])
        self.middle.next_text = tr(words.MAKE_KEY)
        self._judge()

    def _judge(self) -> None:
        self.middle.next_able = self.missing or bool(self.secret.typing.text)

    def _do(self) -> None:
        person, typed = self.session.person, self.secret.typing.text
        if self.missing:
            self.way.go("person key", person=person, does="make", opens=True)
            return
        self.middle.next_able = False
        self.middle.say(tr(words.OPENING), "due")
        self.session.ask(lambda place: asks.open_key(place, person, typed), self._opened, self._refused)

    def _opened(self, key: UnlockedKey) -> None:
        self.forget()
        if self.session.person != key.certificate.name or not self.is_shown:
            return
        self.session.hold_key(key)
        self._go_on()

    def _go_on(self) -> None:
        then, self._then = self._then, None
        self.way.back()
        if then is not None:
            then()

    def _refused(self, problem: Exception) -> None:
        self.forget()
        self.middle.say(sentence_of(problem)[0])
        self._judge()
