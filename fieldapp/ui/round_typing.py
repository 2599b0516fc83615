"""Where somebody is while typing a round: which point, which depth, what comes next.  Pure.

A reading in hand stays with its point when another point is tapped; only a save makes it an answer.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Final

from fieldapp.ui.asks import Texts
from fieldapp.ui.asks_round import RoundTyped
from fieldapp.ui.words import round as words
from fieldapp.ui.words.tongue import tr

FIRST: Final = "first_contact"
FIRM: Final = "firm"
NO_READING: Final = "no_reading"
UNIT: Final = "unit"
THICKNESS: Final = "thickness"
DEPTHS: Final = (FIRST, FIRM)


@dataclass(slots=True)
class RoundTyping:
    """A round in hand.  ``label`` is the point being typed, empty once all have an answer.

    ``said`` is what an amended round says now, by point; ``tape`` the unit of a tape that nobody chose.
    """

    proposed: tuple[str, ...]
    typed: RoundTyped
    tape: str
    said: dict[str, Texts] = field(default_factory=dict)
    amends: bool = False
    label: str = ""
    field: str = FIRST

    def __post_init__(self) -> None:
        self.choose(self.next_open())

    @property
    def labels(self) -> tuple[str, ...]:
        """All points: the proposed ones, then those that were added."""
        return (*self.proposed, *(each for each in self.typed.places if each not in self.proposed))

    @property
    def done(self) -> int:
        """How many points have an answer."""
        return sum(each in self.typed.points for each in self.labels)

    @property
    def whole(self) -> bool:
        """Whether every answer gives a thickness; a reason or one depth gives none."""
        answers = [self.typed.points.get(each, {}) for each in self.labels]
        return all(THICKNESS in each or all(name in each for name in DEPTHS) for each in answers)

    @property
    def reading(self) -> Texts:
        """The depths of the point in hand as they stand on the screen."""
        if not self.label:
            return {}
        saved = self.typed.points.get(self.label, {})
        names = (*DEPTHS, UNIT) if THICKNESS not in saved else ()
        kept: Texts = {name: saved[name] for name in names if name in saved}
        return self.typed.drafts.setdefault(self.label, kept)

    @property
    def unit(self) -> str:
        """The unit of the point in hand: as it was read there, else as the tape of the round is marked."""
        return self.reading.get(UNIT) or self.typed.unit or self.tape

    @property
    def changed(self) -> bool:
        """Whether an amended round says something else than before."""
        return self.typed.points != self.said or bool(self.typed.places)

    def type(self, text: str) -> None:
        """The text of the depth in hand."""
        self.reading[self.field] = text
        self.reading[UNIT] = self.unit

    def take_unit(self, unit: str, kept: Texts) -> RoundTyped:
        """The round with a tape in another unit; of the point in hand it keeps these depths."""
        drafts = {**self.typed.drafts}
        if self.label:
            drafts[self.label] = {**kept, UNIT: unit} if any(kept.values()) else {}
        return replace(self.typed, unit=unit, drafts=drafts)

    def next_open(self) -> str:
        """The next other point without an answer, going on from the one in hand; empty when there is none."""
        labels = self.labels
        start = labels.index(self.label) + 1 if self.label in labels else 0
        around = labels[start:] + labels[:start]
        return next((each for each in around if each not in {self.label, *self.typed.points}), "")

    def choose(self, label: str) -> None:
        """Take a point in hand, at its first empty depth."""
        self.label = label
        self.field = FIRM if self.reading.get(FIRST) and not self.reading.get(FIRM) else FIRST

    def last_typed(self) -> str:
        """What was saved last for this depth at another point in this unit, for the key that repeats it."""
        saved = [
            texts.get(self.field, "")
            for label, texts in self.typed.points.items()
            if label != self.label and texts.get(UNIT, self.tape) == self.unit
        ]
        return next((each for each in reversed(saved) if each), "")

    def answered(self, answer: Texts) -> RoundTyped:
        """The round with this answer at the point in hand; nothing here changes until ``take``."""
        whole = answer if NO_READING in answer else {**answer, UNIT: self.unit}
        points = {label: texts for label, texts in self.typed.points.items() if label != self.label}
        drafts = {label: texts for label, texts in self.typed.drafts.items() if label != self.label}
        return replace(self.typed, points={**points, self.label: whole}, drafts=drafts)

    def put(self, label: str, place: Texts) -> RoundTyped:
        """The round with a point at this place, moved there or added."""
        return replace(self.typed, places={**self.typed.places, label: place})

    def without(self, label: str) -> RoundTyped:
        """The round without an added point."""
        kept = [
            {name: texts for name, texts in part.items() if name != label}
            for part in (self.typed.points, self.typed.drafts, self.typed.places)
        ]
        return replace(self.typed, points=kept[0], drafts=kept[1], places=kept[2])

    def free_label(self) -> str:
        """The label of the next point to be added."""
        return next(name for k in range(1, 100) if (name := f"A{k}") not in self.labels)

    def take(self, typed: RoundTyped) -> None:
        """The round is on disk with that answer: go on to the next open point."""
        following = self.next_open()
        self.typed = typed
        self.choose(following)

    def to_keep(self) -> RoundTyped | None:
        """A copy for the disk, or None while nothing was typed at all."""
        drafts = {
            label: dict(texts)
            for label, texts in self.typed.drafts.items()
            if any(texts.get(name) for name in DEPTHS)
        }
        typed = self.typed
        if not (drafts or typed.points or typed.places or typed.unit):
            return None
        if self.amends and not drafts and not self.changed and not typed.why:
            return None
        return replace(typed, points=dict(typed.points), drafts=drafts)

    def next_thing(self, first: str, firm: str) -> str:
        """What the next tap does, from the whole readings of both depths; the button says it."""
        label, following = self.label, self.next_open()
        if not label:
            return self._record_thing()
        if self.to_firm(first, firm):
            return tr(words.TO_FIRM, label=label)
        if not (first or firm):
            return tr(words.TYPE_A_DEPTH, label=label)
        if not (first and firm):
            return tr(words.SAVE_ONE_DEPTH, label=label)
        return tr(words.SAVE_AND_GO if following else words.SAVE, label=label, next=following)

    def _record_thing(self) -> str:
        if not self.amends:
            return tr(words.RECORD, number=self.typed.number)
        if not self.changed:
            return tr(words.NOTHING_CHANGED)
        return tr(words.RECORD_CHANGE if self.typed.why.strip() else words.TO_WHY)

    def to_firm(self, first: str, firm: str) -> bool:
        """Whether the firm depth is to be typed next."""
        return self.field == FIRST and bool(first) and not firm
