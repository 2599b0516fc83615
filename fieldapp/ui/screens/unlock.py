"""The key of the person who holds the tablet is opened here, when a decision needs it and not before.

What is typed is in no draft, no log and no other screen, and it is gone when this screen is left.  Wrong
passphrases slow the next try down; the desk says for how long.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from fieldapp.ui import asks_decisions as asks
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.screens.people_secret import SecretField
from fieldapp.ui.screens.people_secret_screen import SecretScreen
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.words import people as words
from fieldapp.ui.words import signoff as sign_words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.trust.roster import UnlockedKey

OPENS: Final = "opens"


class UnlockScreen(SecretScreen):
    """``then`` is called once the key is open; back leaves it shut and decides nothing."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(session, way, **kwargs)
        self.fields = {OPENS: self.field(OPENS, tr(words.PASSPHRASE))}
        self._then: Callable[[], None] | None = None

    @property
    def secret(self) -> SecretField:
        """The one box."""
        return self.fields[OPENS]

    def open(self, then: Callable[[], None] | None = None) -> None:
        from fieldapp.desk.trust.key_time import key_minutes

        self.forget()
        self._then = then
        person = self.session.person
        self.bar.title, self.bar.subtitle = tr(words.MAKE_KEY_OF, name=person), tr(sign_words.UNLOCK_FIRST)
        self.middle.next_text = tr(words.UNLOCK)
        self.middle.say(tr(words.UNLOCK_SAYS, name=person, minutes=key_minutes()), "due")
        self.middle.show([self.secret])
        self._judge()
        self.secret.typing.focus = True

    def _judge(self) -> None:
        self.middle.next_able = bool(self.secret.typing.text)

    def _do(self) -> None:
        person, typed = self.session.person, self.secret.typing.text
        self.middle.next_able = False
        self.middle.say(tr(words.OPENING), "due")
        self.session.ask(lambda place: asks.open_key(place, person, typed), self._opened, self._refused)

    def _opened(self, key: UnlockedKey) -> None:
        self.forget()
        if self.session.person != key.certificate.name or not self.is_shown:
            return
        self.session.hold_key(key)
        then, self._then = self._then, None
        self.way.back()
        if then is not None:
            then()

    def _refused(self, problem: Exception) -> None:
        self.forget()
        self.middle.say(sentence_of(problem)[0])
        self._judge()
