"""Work that takes a while: what is being done, for how long already, and a button that ends it.

How much is left is not known, so nothing claims to know it: a block goes to and fro while the work lives.
"""

from __future__ import annotations

from typing import Final

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.text import Caption, Words

REGISTERED = (Caption, PlainButton, Words)
STEP_S: Final = 0.1
TURN_S: Final = 2.4


class Sweep(Widget):
    """A line with a block on it; ``at`` runs from 0 to 1 and back."""

    at = NumericProperty(0.0)
    block = ColorProperty("#000000")
    ground = ColorProperty("#FFFFFF")


class Progress(Ground):
    """``running`` shows it and counts ``seconds``; with ``cancel_text`` it gives ``on_cancel()``."""

    __events__ = ("on_cancel",)
    running = BooleanProperty(False)
    text = StringProperty("")
    seconds = NumericProperty(0.0)
    seconds_text = StringProperty("")
    cancel_text = StringProperty("")

    def on_kv_post(self, _base: Widget) -> None:
        self._tick = Clock.create_trigger(self._count, STEP_S, interval=True)
        self._cancel = self.ids.cancel.__self__
        self._cancel.bind(on_release=lambda _button: self.dispatch("on_cancel"))
        for name in ("running", "cancel_text"):
            self.fbind(name, self._stand)
        self._stand()

    @property
    def cancel(self) -> PlainButton:
        """The button that ends the work."""
        button: PlainButton = self._cancel
        return button

    def on_running(self, _progress: Progress, running: bool) -> None:
        self.seconds = 0.0
        if running:
            self._tick()
        else:
            self._tick.cancel()

    def on_cancel(self) -> None:
        pass

    def _count(self, passed_s: float) -> None:
        self.seconds += passed_s
        turn = (self.seconds % TURN_S) / TURN_S
        self.ids.sweep.at = 2 * turn if turn < 0.5 else 2 - 2 * turn

    def _stand(self, *_: object) -> None:
        wanted = self.running and bool(self.cancel_text)
        if wanted and self._cancel.parent is None:
            self.add_widget(self._cancel)
        elif not wanted and self._cancel.parent is self:
            self.remove_widget(self._cancel)


load_beside(__file__)
