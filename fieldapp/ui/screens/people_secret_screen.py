"""A screen on which passphrases are typed, and on which nothing of them stays once it is left."""

from __future__ import annotations

from typing import Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui.screens.people_secret import SecretField
from fieldapp.ui.screens.setup_page import SetupMiddle, framed
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.words import people as words
from fieldapp.ui.words.tongue import tr


class SecretScreen(Screen):
    """``fields`` are the passphrases by name; a screen gives ``_judge`` and ``_do``."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.bar = Bar()
        self.bar.bind(on_back=lambda _bar: way.back())
        self.middle = SetupMiddle()
        self.middle.bind(on_next=lambda _middle: self._do())
        self.add_widget(framed(session, self.middle, self.bar))
        self.fields: dict[str, SecretField] = {}

    def again(self) -> None:
        pass

    def goes_back(self) -> bool:
        self.forget()
        return False

    def on_leave(self) -> None:
        self.forget()

    def forget(self) -> None:
        """Nothing typed stays."""
        for each in self.fields.values():
            each.forget()

    @property
    def is_shown(self) -> bool:
        """Whether the screen was not left meanwhile."""
        return self.way.current_screen is self

    def texts(self) -> dict[str, str]:
        """What is typed just now."""
        return {name: field.typing.text for name, field in self.fields.items()}

    def field(self, name: str, caption: str) -> SecretField:
        """One more passphrase; enter leads to the next one, after the last to what is to be done."""
        made = SecretField(caption=caption, show_text=tr(words.SHOW), hide_text=tr(words.HIDE))
        made.bind(on_typed=lambda _field: self._judge(), on_done=lambda _field: self._after(name))
        return made

    def _after(self, name: str) -> None:
        names = list(self.fields)
        if name != names[-1]:
            self.fields[names[names.index(name) + 1]].typing.focus = True
        elif self.middle.next_able:
            self._do()

    def _judge(self) -> None:
        raise NotImplementedError

    def _do(self) -> None:
        raise NotImplementedError
