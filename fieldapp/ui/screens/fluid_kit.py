"""What touches mean while it is chosen what a fluid sample is read with: one instrument of each type."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldapp.ui import asks_fluid as asks
from fieldapp.ui.words import fluid as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from collections.abc import Sequence

    from fieldapp.ui.screens.fluid import FluidScreen


class KitHand:
    """The choice in hand of a screen, in the place of the sample."""

    def __init__(self, on: FluidScreen) -> None:
        self._on = on
        self._chosen: tuple[str, ...] = ()

    def show(self) -> None:
        """Every instrument, those of this sample chosen."""
        on = self._on
        if on.page is not None:
            form = on.page.form
            self._chosen = tuple(label for _, label in form.instruments)
            on.middle.show_choices(form.choices, self._chosen)
            on.sides.bar.subtitle = tr(words.READ_WITH, labels=", ".join(self._chosen))
            self.show_next()

    def show_next(self) -> None:
        """The way back is the one thing to press."""
        strip = self._on.sides.strip
        strip.next_text, strip.next_able, strip.second_text = tr(words.BACK_TO_SAMPLE), True, ""

    def take(self, labels: Sequence[str]) -> None:
        """A row was tapped: what is new takes the place of the one of its type; none is left out."""
        if self._on.page is None:
            return
        types = dict(self._on.page.form.choices)
        new = [each for each in labels if each not in self._chosen]
        taken = {types[each] for each in new}
        self._chosen = (*new, *(each for each in self._chosen if types[each] not in taken))
        self._on.middle.labels.chosen = [each for each in types if each in self._chosen]

    def act(self) -> None:
        """Go on with the sample, read with what is chosen."""
        self.leave()

    def leave(self) -> bool:
        """Back to the sample, with the form of what is chosen."""
        on, typing, shaft = self._on, self._on.typing, self._on.shaft
        on.hand = on.sample
        if typing is None or on.page is None:
            return True
        if set(self._chosen) == {label for _, label in on.page.form.instruments}:
            on.take_up(on.sample)
            on.sample.hold()
            return True
        typing.typed.named = self._chosen
        typed = typing.copy()
        on.session.ask(lambda place: asks.keep_fluid(place, shaft, typed), on.session.kept, on.refused)
        on.load("")
        return True

    def typed(self, _text: str) -> None:
        """Nothing is typed here."""

    def go_to(self, _name: str) -> None:
        """There is no box here."""

    def go_on(self) -> None:
        """There is no next box."""

    def choose_place(self, _depth: str) -> None:
        """There is no depth here."""

    def watch_pressed(self) -> None:
        """There is no watch here."""

    def turn_second(self) -> None:
        """There is no second button."""

    def hold(self, *, quiet: bool = False) -> None:
        """What was typed is on disk already."""
