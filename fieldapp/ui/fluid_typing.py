"""Where somebody is while typing a fluid sample: which field, what comes next.  Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fieldapp.ui.asks_fluid import FluidTyped
from fieldapp.ui.words import fluid as words
from fieldapp.ui.words.tongue import tr

BESIDE_THE_OTHERS = "temperature"


@dataclass(slots=True)
class FluidTyping:
    """A sample in hand.  ``field`` is the one being typed."""

    names: tuple[str, ...]
    typed: FluidTyped
    field: str = ""

    def __post_init__(self) -> None:
        timed = (each for each in self.names if each in self.typed.watch)
        self.field = next(timed, "") or next(
            (each for each in self.names if not self.typed.fields.get(each)), self.names[0]
        )

    @property
    def can_save(self) -> bool:
        """Whether anything was tested and no watch runs; a temperature alone is no test."""
        return not self.timed and any(
            text for name, text in self.typed.fields.items() if name != BESIDE_THE_OTHERS
        )

    def after(self) -> str:
        """The field after the one in hand, from the last to the first."""
        return self.names[(self.names.index(self.field) + 1) % len(self.names)]

    def copy(self) -> FluidTyped:
        """What is typed, for the worker."""
        typed = self.typed
        return replace(typed, fields=dict(typed.fields), watch=dict(typed.watch), water=dict(typed.water))

    @property
    def timed(self) -> bool:
        """Whether a stopwatch runs for a field of the sample."""
        return any(name in self.typed.watch for name in self.names)

    def next_thing(self, depths: Sequence[str]) -> str:
        """What saving does; the button says it."""
        if self.timed:
            return tr(words.STOP_FIRST)
        if not self.can_save:
            return tr(words.TYPE_FIRST)
        others = [each for each in depths if each != self.typed.depth]
        template = words.SAVE_AND_GO if others else words.SAVE
        return tr(template, depth=self.typed.depth, next=others[0] if others else "")
