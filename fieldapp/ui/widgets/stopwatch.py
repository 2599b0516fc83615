"""A stopwatch for a gloved hand: seconds large, and one square to start and stop it.

It counts by a clock that is never set back (``ticks``), so that a corrected tablet clock changes nothing,
and that counts on while the tablet sleeps.
Whoever keeps it says with ``run_from`` how long it has been running already.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from kivy.clock import Clock
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.text import Caption, Fitted, Number

REGISTERED = (Caption, Number)
STEP_S = 0.1


def steady_s() -> float:
    """Seconds since some moment, those included that the device slept, as far as its system tells them."""
    slept_too = getattr(time, "CLOCK_BOOTTIME", None)  # on Linux and Android, where monotonic() stops asleep
    return time.monotonic() if slept_too is None else time.clock_gettime(slept_too)


def as_read(elapsed_s: float) -> str:
    """``41.3`` under a minute, ``5:07.2`` under an hour, else ``1:05:07``: never rounded up."""
    tenths = int(elapsed_s * 10 + 1e-6)
    minutes, rest = divmod(tenths, 600)
    if minutes >= 60:
        return f"{minutes // 60}:{minutes % 60:02d}:{rest // 10:02d}"
    seconds = f"{rest // 10}.{rest % 10}"
    return f"{minutes}:{seconds:>04}" if minutes else seconds


class WatchKey(ButtonBehavior, Boxed, Fitted):
    """Start and stop, as large as a hand."""

    least = NumericProperty("160dp")
    running = BooleanProperty(False)


class Stopwatch(BoxLayout):
    """Gives ``on_started()`` and ``on_stopped(elapsed_s)``; the words come in as properties."""

    __events__ = ("on_started", "on_stopped")
    running = BooleanProperty(False)
    elapsed_s = NumericProperty(0.0)
    shown = StringProperty(as_read(0))
    caption = StringProperty("")
    start_text = StringProperty("start")
    stop_text = StringProperty("stop")
    number_px = NumericProperty("60sp")

    def __init__(self, ticks: Callable[[], float] = steady_s, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.ticks = ticks
        self._began_s = 0.0
        self._counting = Clock.create_trigger(self._count, STEP_S, interval=True)
        self.fbind("elapsed_s", self._say)
        self.fbind("parent", self._judge)
        self.fbind("running", self._judge)
        self.ids.key.bind(on_release=lambda _key: self.press())

    @property
    def began_s(self) -> float:
        """When it was started, on the clock of ``ticks``."""
        return self._began_s

    def press(self) -> None:
        """Start it, or stop it."""
        if self.running:
            self.stop()
        else:
            self.run_from(0.0)
            self.dispatch("on_started")

    def run_from(self, elapsed_s: float) -> None:
        """Run, as if it had been started so long ago."""
        self._began_s = self.ticks() - max(0.0, elapsed_s)
        self.running = True
        self._count()

    def stop(self) -> None:
        """Stop it where it is; a second call does nothing."""
        if self.running:
            self._count()
            self.running = False
            self.dispatch("on_stopped", self.elapsed_s)

    def stand_at(self, elapsed_s: float) -> None:
        """Stand still and show this."""
        self.running = False
        self.elapsed_s = max(0.0, elapsed_s)

    def on_started(self) -> None:
        pass

    def on_stopped(self, _elapsed_s: float) -> None:
        pass

    def _judge(self, *_: object) -> None:
        if self.running and self.parent is not None:
            self._counting()
        else:
            self._counting.cancel()

    def _count(self, *_: object) -> None:
        if self.running:
            self.elapsed_s = max(0.0, self.ticks() - self._began_s)

    def _say(self, *_: object) -> None:
        self.shown = as_read(self.elapsed_s)


load_beside(__file__)
