"""The key that is open, in the bar of whatever screen is shown: one tap locks it.

It also tells the session of every touch and key, so that a key locks itself when nobody is at work.
"""

from __future__ import annotations

from kivy.core.window import Window

from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.words import people as words
from fieldapp.ui.words.tongue import tr


class LockButton(PlainButton):
    """Stands in the bar while a key is open."""


class BarLock:
    """Begin it with the walk; ``end`` lets the window go."""

    def __init__(self, session: Session, way: Walk) -> None:
        self._session, self._way = session, way
        self.button = LockButton()
        self.button.bind(on_release=lambda _button: session.lock())
        session.bind(key_of=self._show)
        way.bind(current_screen=self._show)
        Window.bind(on_touch_down=self._touched, on_key_down=self._touched)

    def end(self) -> None:
        """Hear nothing any more."""
        Window.unbind(on_touch_down=self._touched, on_key_down=self._touched)

    def _touched(self, *_: object) -> bool:
        self._session.touched()
        return False

    def _show(self, *_: object) -> None:
        if self.button.parent is not None:
            self.button.parent.remove_widget(self.button)
        screen = self._way.current_screen
        bar = next((each for each in screen.walk() if isinstance(each, Bar)), None) if screen else None
        if bar is not None and self._session.key_of:
            self.button.text = tr(words.LOCK, name=self._session.key_of)
            bar.ids.row.add_widget(self.button)


load_beside(__file__)
