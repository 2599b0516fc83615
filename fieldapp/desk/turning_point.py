"""The moment until which work can be stopped, told once and for good to whoever waits for it.

The worker goes through it right before the first thing is written; the screen stops it from its own thread.
Whichever comes first wins, and the other one is told.
"""

from __future__ import annotations

from collections.abc import Callable
from threading import Lock
from typing import Final

from fieldapp.record.said import said

NOTHING_WRITTEN: Final = said("Stopped. Nothing was signed, and nothing was written.")


class Stopped(Exception):
    """Work was stopped before its turning point; the text says what is there all the same, if anything."""

    def __init__(self, says: str = NOTHING_WRITTEN) -> None:
        super().__init__(says)


class TurningPoint:
    """One piece of work on its way; ``passed`` is called on the worker's thread once nobody can stop it."""

    def __init__(self, passed: Callable[[], None] = lambda: None) -> None:
        self._lock = Lock()
        self._told = passed
        self._stopped = self._passed = False

    def stop(self) -> bool:
        """Stop it; False when it is too late, and then it goes on."""
        with self._lock:
            self._stopped = not self._passed
            return self._stopped

    def look(self) -> None:
        """Raise Stopped if somebody stopped it: nothing more needs to be asked then."""
        if self._stopped:
            raise Stopped

    def go_through(self) -> None:
        """Raise Stopped if somebody stopped it; from now on nobody can."""
        with self._lock:
            self.look()
            self._passed = True
        self._told()
