"""The stopwatch of the funnel: what it fills, and how it runs on after its screen or the app was left.

Its start stands in the half-typed sample.  While the app runs it counts by a clock that is never set back.
After the app was closed only the tablet's clock tells how long it ran, to about a second on either side:
enough for a sample, read in whole seconds, never for the half second of a water check.
"""

from __future__ import annotations

from datetime import datetime
from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING, Final

from fieldapp.ui.asks_fluid import FluidTyped
from fieldapp.ui.moments import to_the_second
from fieldapp.ui.widgets.stopwatch import Stopwatch
from fieldapp.ui.words import entry as entry_words
from fieldapp.ui.words import fluid as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.entry_forms.fluid_form import FluidField

WHOLE: Final = Decimal(1)
"""A sample's time is read in whole seconds, as API RP 13B-1 reports it."""
TENTHS: Final = Decimal("0.1")
"""Water is held against half a second: whole seconds could not tell."""


class FluidWatch:
    """Between the stopwatch on the glass and the sample in hand; it tells the trade's seconds."""

    def __init__(self, watch: Stopwatch) -> None:
        self._watch = watch
        self._begun_s: dict[tuple[str, str, str], float] = {}

    def go_on(self, shaft: str, typed: FluidTyped, field: FluidField, step: Decimal, now: datetime) -> str:
        """Show the stopwatch as the sample has it; what is to be said when its time is lost."""
        text = typed.watch.get(field.name, "")
        if not text:
            self._stand()
            return ""
        since = datetime.fromisoformat(text).astimezone(now.tzinfo)
        begun_s = self._begun_s.get((shaft, field.name, text))
        closed = begun_s is None
        gone_s = (now - since).total_seconds() if begun_s is None else self._watch.ticks() - begun_s
        if closed and not (step == WHOLE and 0 <= gone_s <= _longest_s(field)):
            typed.watch.pop(field.name)
            self._stand()
            return tr(words.RAN_ON, time=to_the_second(since))
        self._watch.run_from(gone_s)
        said = words.CLOSED_MEANWHILE if closed else entry_words.RUNS_SINCE
        self._watch.caption = tr(said, time=to_the_second(since))
        return ""

    def started(self, shaft: str, typed: FluidTyped, field: FluidField, now: datetime) -> None:
        """It was started: its start is kept, and there is no other watch."""
        typed.watch = {field.name: now.isoformat()}
        self._begun_s[shaft, field.name, now.isoformat()] = self._watch.began_s
        self._watch.caption = tr(entry_words.RUNS_SINCE, time=to_the_second(now))

    def stopped(self, typed: FluidTyped, field: FluidField, step: Decimal) -> tuple[str, str]:
        """It was stopped: the seconds to be typed, or what is to be said where they cannot be."""
        typed.watch.pop(field.name, None)
        seconds = Decimal(repr(self._watch.elapsed_s)).quantize(step, ROUND_HALF_UP)
        self._watch.caption = ""
        self._watch.start_text = tr(entry_words.START_AGAIN)
        least, most = field.watched_s or (0.0, 0.0)
        if least <= seconds <= most:
            return str(seconds), ""
        return "", tr(words.NOT_A_TIME, time=seconds, least=f"{least:g}", most=f"{most:g}")

    def _stand(self) -> None:
        self._watch.stand_at(0.0)
        self._watch.caption, self._watch.start_text = "", tr(entry_words.START)


def _longest_s(field: FluidField) -> float:
    return field.watched_s[1] if field.watched_s is not None else 0.0
