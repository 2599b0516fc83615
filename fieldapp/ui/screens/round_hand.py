"""What touches mean while a round is typed: keys, points, the two depths, the one next thing.

While a point is on its way to the disk nothing else is taken up.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldapp.ui import asks
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.round_typing import FIRM, FIRST, NO_READING, RoundTyping
from fieldapp.ui.screens.round_middle import RoundMiddle
from fieldapp.ui.screens.sides import Sides
from fieldapp.ui.session import Session
from fieldapp.ui.words import round as words

if TYPE_CHECKING:
    from datetime import datetime

    from fieldapp.desk.shaft_view import RoundView


class RoundHand:
    """The round in hand.  ``take`` a page, then every touch changes it and shows what it became."""

    def __init__(self, session: Session, middle: RoundMiddle, sides: Sides) -> None:
        self._session, self._middle, self._sides = session, middle, sides
        self.page: asks.RoundPage | None = None
        self.typing: RoundTyping | None = None
        self._saving = False

    def let_go(self) -> None:
        """Nothing is in hand any more."""
        self.page = self.typing = None
        self._saving = False
        self._middle.begin()

    def take(self, page: asks.RoundPage) -> None:
        """Go on with a round where it stands."""
        self.page = page
        self.typing = RoundTyping(tuple(each.label for each in page.form.points), page.typed)
        self._middle.unit = page.form.unit
        self._middle.show_base(page.so_far, page.typed.points)
        self.show_point()

    def show_point(self) -> None:
        """Everything that depends on the point in hand."""
        page, typing, middle = self.page, self.typing, self._middle
        if page is None or typing is None:
            return
        progress = words.PROGRESS.format(done=typing.done, all=len(typing.labels))
        self._sides.bar.subtitle = f"{page.form.title}, {progress}"
        middle.show_point(typing.label, typing.field, typing.reading, typing.last_typed())
        if not typing.label:
            middle.say("met", words.ALL_TYPED)
        self._show_thickness()
        self.show_next()

    def show_next(self) -> None:
        """The one thing to press, and beside it why there may be no reading."""
        typing, strip, middle = self.typing, self._sides.strip, self._middle
        if typing is None:
            return
        first, firm, asked = middle.finished(FIRST), middle.finished(FIRM), middle.ids.foot.question
        strip.next_text = typing.next_thing(first, firm)
        free = not (middle.reasons_open or middle.fields.refused or asked or self._saving)
        strip.next_able = free and (not typing.label or bool(first or firm))
        turned = words.BACK_TO_KEYS if middle.reasons_open else words.NO_READING
        strip.second_text = turned if typing.label and asked is None else ""

    def typed(self, text: str) -> None:
        """A key was pressed."""
        if self.typing is None or not self.typing.label:
            return
        self.typing.reading[self.typing.field] = text
        self._middle.say("", "")
        self._show_thickness()
        self.show_next()

    def choose(self, label: str) -> None:
        """A point of the base was tapped."""
        if self.typing is None or self._saving or self._middle.ids.foot.question is not None:
            return
        self.keep()
        self._middle.close_reasons()
        self._middle.say("", "")
        self.typing.choose(label)
        self.show_point()

    def go_to(self, name: str) -> None:
        """One of the two depths was tapped, or is next."""
        if self.typing is None or self._saving or not self.typing.label:
            return
        self._close_inches()
        self.typing.field = name
        self.keep()
        self.show_point()

    def go_on(self) -> None:
        """The next thing of the point in hand: its firm depth, or to disk with it."""
        typing = self.typing
        if typing is None:
            return
        self._close_inches()
        depths = {FIRST: self._middle.finished(FIRST), FIRM: self._middle.finished(FIRM)}
        if typing.to_firm(depths[FIRST], depths[FIRM]):
            self.go_to(FIRM)
        else:
            self.save({name: text for name, text in depths.items() if text})

    def turn_reasons(self) -> None:
        """Reasons in the place of the keys, or back."""
        if self.typing is not None and self.typing.label:
            self._middle.turn_reasons(self.typing.label)
            self.show_next()

    def save(self, answer: asks.Texts) -> None:
        """Put the answer of the point in hand on disk; only then is it shown as read."""
        page, typing = self.page, self.typing
        if page is None or typing is None or not typing.label or self._saving:
            return
        self._saving, self._sides.strip.next_able = True, False
        label, shaft, typed = typing.label, page.page.view.shaft, typing.answered(answer)

        def saved(result: tuple[RoundView, datetime]) -> None:
            self._session.kept(result[1])
            if self.typing is typing:
                self._saving = False
                typing.take(typed)
                self._show_saved(label, answer, result[0])

        self._session.ask(
            lambda place: asks.save_point(place, shaft, page.form, typed, label), saved, self.refused
        )

    def keep(self) -> None:
        """Keep what is half typed on disk."""
        page, kept = self.page, self.typing.to_keep() if self.typing else None
        if page is not None and kept is not None and not self._saving:
            shaft = page.page.view.shaft
            self._session.ask(
                lambda place: asks.keep_round(place, shaft, kept), self._session.kept, self.refused
            )

    def refused(self, problem: Exception) -> None:
        """Say in place what could not be done; what was typed stays."""
        self._saving = False
        said, field = sentence_of(problem)
        self._middle.refuse(said, self.typing.field if self.typing and field else "")
        self.show_next()

    def _show_saved(self, label: str, answer: asks.Texts, so_far: RoundView) -> None:
        assert self.typing is not None
        self._middle.close_reasons()
        self._middle.say("", "")
        if NO_READING not in answer and len(answer) == 1:
            self._middle.say("not shown", words.ONE_DEPTH.format(label=label))
        self._middle.show_base(so_far, self.typing.typed.points)
        self.show_point()

    def _show_thickness(self) -> None:
        page, typing = self.page, self.typing
        if page is None or typing is None:
            return
        label, depths = typing.label, {name: self._middle.finished(name) for name in (FIRST, FIRM)}
        self._middle.thickness = ""

        def show(text: str) -> None:
            if self.typing is typing and typing.label == label:
                self._middle.thickness = "" if text.startswith("-") else text

        if all(depths.values()):
            self._session.ask(lambda place: asks.thickness(place, depths, page.form.unit), show, self.refused)

    def _close_inches(self) -> None:
        typing = self.typing
        if typing is not None and (reading := self._middle.finished(typing.field)):
            typing.reading[typing.field] = reading
