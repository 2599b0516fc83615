"""The key of the person who holds the tablet is opened here, when a decision needs it and not before.

What is typed is in no draft, no log and no other screen, and it is gone when this screen is left.  Wrong
passphrases slow the next try down; the desk says for how long.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_decisions as asks
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.screens.people_secret import SecretField
from fieldapp.ui.screens.setup_page import SetupMiddle, framed
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import people as words
from fieldapp.ui.words import signoff as sign_words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.trust.roster import UnlockedKey


class UnlockScreen(Screen):
    """``then`` is called once the key is open; back leaves it shut and decides nothing."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.middle.bind(on_next=lambda _middle: self._open_key())
        self.secret = SecretField(
            caption=tr(words.PASSPHRASE), show_text=tr(words.SHOW), hide_text=tr(words.HIDE)
        )
        self.secret.bind(
            on_typed=lambda _field: self._judge(),
            on_done=lambda _field: self._open_key() if self.middle.next_able else None,
        )
        self.add_widget(framed(session, self.middle, self.bar))
        self._then: Callable[[], None] | None = None

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

    def again(self) -> None:
        pass

    def goes_back(self) -> bool:
        self.forget()
        return False

    def on_leave(self) -> None:
        self.forget()

    def forget(self) -> None:
        """Nothing typed stays."""
        self.secret.forget()

    def _judge(self) -> None:
        self.middle.next_able = bool(self.secret.typing.text)

    def _open_key(self) -> None:
        person, typed = self.session.person, self.secret.typing.text
        self.middle.next_able = False
        self.middle.say(tr(words.OPENING), "due")
        self.session.ask(lambda place: asks.open_key(place, person, typed), self._opened, self._refused)

    def _opened(self, key: UnlockedKey) -> None:
        self.forget()
        if self.session.person != key.certificate.name or self.way.current_screen is not self:
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
