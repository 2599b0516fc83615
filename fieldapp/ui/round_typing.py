"""Where somebody is while typing a round: which point, which depth, what comes next.  Pure.

A reading in hand stays with its point when another point is tapped; only a save makes it an answer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from fieldapp.ui.asks import RoundTyped, Texts
from fieldapp.ui.words import round as words

FIRST: Final = "first_contact"
FIRM: Final = "firm"
NO_READING: Final = "no_reading"


@dataclass(slots=True)
class RoundTyping:
    """A round in hand.  ``label`` is the point being typed, empty once all have an answer."""

    labels: tuple[str, ...]
    typed: RoundTyped
    label: str = ""
    field: str = FIRST

    def __post_init__(self) -> None:
        self.choose(self.next_open())

    @property
    def done(self) -> int:
        """How many points have an answer."""
        return sum(each in self.typed.points for each in self.labels)

    @property
    def reading(self) -> Texts:
        """The depths of the point in hand as they stand on the screen."""
        if not self.label:
            return {}
        saved = {
            name: text for name, text in self.typed.points.get(self.label, {}).items() if name != NO_READING
        }
        return self.typed.drafts.setdefault(self.label, saved)

    def next_open(self) -> str:
        """The next other point without an answer, going on from the one in hand; empty when there is none."""
        start = self.labels.index(self.label) + 1 if self.label else 0
        around = self.labels[start:] + self.labels[:start]
        return next((each for each in around if each not in {self.label, *self.typed.points}), "")

    def choose(self, label: str) -> None:
        """Take a point in hand, at its first empty depth."""
        self.label = label
        self.field = FIRM if self.reading.get(FIRST) and not self.reading.get(FIRM) else FIRST

    def last_typed(self) -> str:
        """What was saved last for this depth at another point, for the key that repeats it."""
        saved = [
            texts.get(self.field, "") for label, texts in self.typed.points.items() if label != self.label
        ]
        return next((each for each in reversed(saved) if each), "")

    def answered(self, answer: Texts) -> RoundTyped:
        """The round with this answer at the point in hand; nothing here changes until ``take``."""
        points = {**self.typed.points, self.label: answer}
        drafts = {label: texts for label, texts in self.typed.drafts.items() if label != self.label}
        return RoundTyped(self.typed.number, points, drafts, self.typed.read_at)

    def take(self, typed: RoundTyped) -> None:
        """The round is on disk with that answer: go on to the next open point."""
        following = self.next_open()
        self.typed = typed
        self.choose(following)

    def to_keep(self) -> RoundTyped | None:
        """A copy for the disk, or None while nothing was typed at all."""
        drafts = {label: dict(texts) for label, texts in self.typed.drafts.items() if any(texts.values())}
        if not drafts and not self.typed.points:
            return None
        return RoundTyped(self.typed.number, dict(self.typed.points), drafts, self.typed.read_at)

    def next_thing(self, first: str, firm: str) -> str:
        """What the next tap does, from the whole readings of both depths; the button says it."""
        label, following = self.label, self.next_open()
        if not label:
            return words.RECORD.format(number=self.typed.number)
        if self.to_firm(first, firm):
            return words.TO_FIRM.format(label=label)
        if not (first or firm):
            return words.TYPE_A_DEPTH.format(label=label)
        if not (first and firm):
            return words.SAVE_ONE_DEPTH.format(label=label)
        return (words.SAVE_AND_GO if following else words.SAVE).format(label=label, next=following)

    def to_firm(self, first: str, firm: str) -> bool:
        """Whether the firm depth is to be typed next."""
        return self.field == FIRST and bool(first) and not firm
