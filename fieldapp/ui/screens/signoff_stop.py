"""Signing on its way: its progress, a button that stops it in time, and the word that it no longer can be."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kivy.clock import Clock

from fieldapp.ui import asks_decisions as asks
from fieldapp.ui.asks_papers import Drawing, Signing
from fieldapp.ui.widgets.progress import Progress
from fieldapp.ui.words import signoff as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.turning_point import TurningPoint


class Stoppable:
    """``begin`` for every signature anew, then ``show`` while it is on its way."""

    def __init__(self, progress: Progress) -> None:
        self._progress = progress
        self._turning: TurningPoint | None = None
        self._passed = self._stopping = False
        self._after = ""
        progress.bind(on_cancel=lambda _progress: self._stop(), seconds=self._say_seconds)

    @property
    def shape(self) -> str:
        """Of the sentence that says why nothing was signed: it was stopped, or it was refused."""
        return "due" if self._stopping else "not met"

    def begin(self, drawn: Drawing) -> Signing:
        """A new signature with these strokes, to be given to the desk."""
        self._passed = self._stopping = False
        self._turning = turning = asks.turning_point(
            lambda: Clock.schedule_once(lambda _passed_s: self._begun(turning))
        )
        return Signing(drawn, turning)

    def show(self, busy: bool, before: str, after: str) -> None:
        """Show that it is on its way: what is done before it is signed, and what from then on."""
        progress, self._after = self._progress, after
        if not busy:
            progress.running = False
        elif not progress.running:
            progress.text, progress.cancel_text = tr(before), tr(words.STOP)
            progress.cancel.disabled = False
            progress.running = True

    def _stop(self) -> None:
        if self._turning is not None and not self._passed:
            self._stopping = self._turning.stop()
            self._say_button(words.STOPPING if self._stopping else words.TOO_LATE)

    def _begun(self, turning: TurningPoint) -> None:
        if turning is self._turning:
            self._passed = True
            self._progress.text = tr(self._after)
            self._say_button(words.TOO_LATE)

    def _say_button(self, text: str) -> None:
        self._progress.cancel_text = tr(text)
        self._progress.cancel.disabled = True

    def _say_seconds(self, *_: object) -> None:
        self._progress.seconds_text = tr(words.SECONDS, seconds=int(self._progress.seconds))
