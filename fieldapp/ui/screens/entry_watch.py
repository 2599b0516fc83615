"""The stopwatch of an entry: what it fills, and how it runs on while other screens are open or after a kill.

Its start stands in the draft.  While the app runs it counts by a clock that is never set back; after the
app was closed it goes on from its start by the tablet's clock.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Final

from fieldapp.desk.entry_forms.form import FormField
from fieldapp.ui.entry_typing import EntryTyping, together
from fieldapp.ui.screens.entry_tools import EntryTools

SECONDS: Final = "s"
WHOLE_FROM_S: Final = 120.0


class EntryWatch:
    """Between the stopwatch on the glass and the entry in hand."""

    def __init__(self, tools: EntryTools) -> None:
        self._tools = tools
        self._begun_s: dict[str, float] = {}

    def go_on(self, key: str, typing: EntryTyping, now: datetime) -> None:
        """Show the stopwatch as the draft of this key has it."""
        names, watch = typing.watched(), self._tools.watch
        since = self._since(typing)
        if since is not None:
            begun_s = self._begun_s.get(f"{key} {since.isoformat()}")
            gone_s = (now - since).total_seconds() if begun_s is None else watch.ticks() - begun_s
            watch.run_from(gone_s)
        else:
            moments = [datetime.fromisoformat(text) for each in names if (text := typing.text(each))]
            both = len(names) == len(moments) == 2
            watch.stand_at((moments[1] - moments[0]).total_seconds() if both else 0.0)
        self._tools.say_watch(since)

    def pressed(self, key: str, typing: EntryTyping, clock: Callable[[], datetime]) -> None:
        """It was started or stopped: fill what it fills."""
        if self._tools.watch.running:
            self._started(key, typing, clock())
        else:
            self._stopped(typing)
        self._tools.say_watch(self._since(typing))

    def _started(self, key: str, typing: EntryTyping, now: datetime) -> None:
        names, fields = typing.watched(), typing.typed.fields
        typing.typed.watch = {names[0]: now.isoformat()}
        self._begun_s[f"{key} {now.isoformat()}"] = self._tools.watch.began_s
        for each in names:
            fields.pop(each, None)
        if len(names) == 2:
            fields[names[0]] = now.isoformat()

    def _stopped(self, typing: EntryTyping) -> None:
        names, fields, elapsed_s = typing.watched(), typing.typed.fields, self._tools.watch.elapsed_s
        since = self._since(typing)
        typing.typed.watch = {}
        if len(names) == 2 and since is not None:
            fields[names[1]] = (since + timedelta(seconds=round(elapsed_s))).isoformat()
            typing.name = names[1]
        elif len(names) == 1:
            fields[names[0]] = span_text(typing.box_of(names[0]), elapsed_s)

    def _since(self, typing: EntryTyping) -> datetime | None:
        names = typing.watched()
        text = typing.typed.watch.get(names[0], "") if names else ""
        return datetime.fromisoformat(text) if text else None


def span_text(box: FormField, elapsed_s: float) -> str:
    """A measured span of time as the desk reads it: seconds, to the tenth while it is short."""
    if SECONDS not in box.units:
        return f"{elapsed_s / 60:.2f}"
    number = f"{elapsed_s:.0f}" if elapsed_s >= WHOLE_FROM_S else f"{elapsed_s:.1f}"
    return together(box, number, SECONDS)
