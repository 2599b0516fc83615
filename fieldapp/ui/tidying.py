"""Keeps Python's search for lost objects out of the way of a hand.

Screens that are filled anew leave tens of thousands of objects that only a full search finds.  It stops every
thread for a tenth of a second or more, and comes when it likes: in the middle of a tap that records.  So it
is put off until the hand rests and nothing is in the making; the small, frequent searches go on as ever.
"""

from __future__ import annotations

import gc
from collections.abc import Callable
from typing import Final

from kivy.clock import Clock
from kivy.core.window import Window

REST_S: Final = 3.0
"""A hand that rests for so long is looking, not typing."""
# A full search comes by itself only after so many middle ones (10 is usual): for a hand that never rests.
_AT_LAST: Final = 200


class Tidying:
    """At work from its making on; the app makes one.  ``busy`` says whether something is in the making."""

    def __init__(self, busy: Callable[[], bool] = lambda: False) -> None:
        self._busy = busy
        first, second, _ = gc.get_threshold()
        gc.set_threshold(first, second, _AT_LAST)
        self._rested = Clock.create_trigger(self._search, REST_S)
        Window.bind(on_touch_down=self._touched, on_touch_up=self._touched, on_key_down=self._touched)
        self._rested()

    def _touched(self, *_: object) -> None:
        """Wait anew; whoever else the touch is for gets it too."""
        self._rested.cancel()
        self._rested()

    def _search(self, *_: object) -> None:
        if self._busy():
            self._rested()
        else:
            gc.collect()
