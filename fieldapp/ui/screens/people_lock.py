"""The key that is open, in the bar of whatever screen is shown: one tap locks it.

It also tells the session of every touch and key, so that a key locks itself when nobody is at work.
"""

from __future__ import annotations

from typing import Final

from kivy.core.window import Window

from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.bar import Bar
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.measure import line_width
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.words import people as words
from fieldapp.ui.words.tongue import tr

MEASURED: Final = ("stacked", "title_width", "right_width", "subtitle", "width")
RIGHT_SHARE: Final = 0.36
"""The most that the bar gives to what was saved."""


class LockButton(PlainButton):
    """Stands in the bar while a key is open."""


class BarLock:
    """Begin it with the walk; ``end`` lets the window go."""

    def __init__(self, session: Session, way: Walk) -> None:
        self._session, self._way = session, way
        self._bar: Bar | None = None
        self.button = LockButton(text=tr(words.LOCK))
        self.button.bind(on_release=lambda _button: session.lock(), width=self._make_room)
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
        self._take_out()
        screen = self._way.current_screen
        if screen is None or not self._session.key_of:
            return
        self._bar = next((each for each in screen.walk() if isinstance(each, Bar)), None)
        if self._bar is not None:
            self.button.text = tr(words.LOCK)
            self._bar.ids.row.add_widget(self.button)
            for name in MEASURED:
                self._bar.fbind(name, self._make_room)
            self._make_room()

    def _take_out(self) -> None:
        bar, self._bar = self._bar, None
        if bar is not None:
            for name in MEASURED:
                bar.funbind(name, self._make_room)
            bar.ids.row.remove_widget(self.button)
            bar.property("width").dispatch(bar)

    def _make_room(self, *_: object) -> None:
        """Put title and subtitle under each other where the button left too little room beside it."""
        bar = self._bar
        if bar is None or bar.stacked:
            return
        second = line_width(bar.subtitle, bar.reading_px) if bar.subtitle else 0
        taken = bar.ids.back.width + self.button.width + 6 * bar.ids.row.spacing
        right = min(bar.right_width, bar.width * RIGHT_SHARE)
        bar.stacked = bar.title_width + second + right + taken > bar.width


load_beside(__file__)
