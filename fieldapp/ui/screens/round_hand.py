"""What touches mean while a round is typed: keys, points, the two depths, the one next thing.

While a point is on its way to the disk nothing else is taken up.  What the limits and the map say of it
follows the save, and never holds up the next key.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from kivy.clock import Clock

from fieldapp.ui import asks_round as asks
from fieldapp.ui.recording import sentence_of
from fieldapp.ui.round_typing import DEPTHS, FIRM, FIRST, NO_READING, RoundTyping
from fieldapp.ui.screens.round_look import reasons_of, show_cells, show_now
from fieldapp.ui.screens.round_middle import KEYS, REASONS, TAPE, WHY, RoundMiddle
from fieldapp.ui.screens.round_other_hand import OtherHand
from fieldapp.ui.screens.round_place_hand import PlaceHand
from fieldapp.ui.screens.sides import Sides
from fieldapp.ui.session import Session
from fieldapp.ui.words import round as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime

    from fieldapp.desk.rounds.now import RoundNow
    from fieldapp.desk.shaft.view import RoundView
    from fieldapp.ui.asks import Texts

REST_S: Final = 0.6
"""A depth that is half typed is kept on disk when the hand rests so long."""


class RoundHand:
    """The round in hand.  ``take`` a page, then every touch changes it and shows what it became."""

    def __init__(self, session: Session, middle: RoundMiddle, sides: Sides) -> None:
        self._session, self._middle, self._sides = session, middle, sides
        self.page: asks.RoundPage | None = None
        self.typing: RoundTyping | None = None
        self.now: RoundNow | None = None
        self.place = PlaceHand(self, middle, sides)
        self.other = OtherHand(self, session, middle)
        self.saving = False
        self._rest = Clock.create_trigger(lambda _passed_s: self.keep(), REST_S)

    def let_go(self) -> None:
        """Nothing is in hand any more."""
        self._rest.cancel()
        self.page = self.typing = self.now = None
        self.saving = False
        self.place.leave()
        self._middle.begin()

    def take(self, page: asks.RoundPage) -> None:
        """Go on with a round where it stands."""
        self.page = page
        self.typing = RoundTyping(
            tuple(each.label for each in page.form.points),
            page.typed,
            page.form.unit,
            page.said,
            bool(page.form.target),
        )
        self._middle.place_unit = page.form.place_unit
        self._middle.beside_panel.offer(page.earlier)
        self._show_now(page.now)
        self.show_point()

    def show_point(self) -> None:
        """Everything that depends on the point in hand."""
        page, typing, middle = self.page, self.typing, self._middle
        if page is None or typing is None:
            return
        self.place.leave()
        progress = tr(words.PROGRESS, done=typing.done, all=len(typing.labels))
        self._sides.bar.subtitle = tr(words.TITLE, title=tr(page.form.title), progress=progress)
        middle.unit = typing.unit
        middle.show_point(typing.label, typing.field, typing.reading, typing.last_typed())
        if not typing.label:
            if typing.amends:
                middle.say("due", tr(words.TAP_TO_CHANGE))
            else:
                middle.say("met" if typing.whole else "not shown", tr(words.ALL_TYPED))
        self._show_thickness()
        self.show_next()

    def show_next(self) -> None:
        """The one thing to press, beside it why there may be no reading, and the other things to do."""
        typing, strip, middle = self.typing, self._sides.strip, self._middle
        if typing is None:
            return
        self._middle.tools.show(self.other.tools())
        if self.place.in_hand is not None:
            self.place.show_next()
            return
        first, firm, asked = middle.finished(FIRST), middle.finished(FIRM), middle.ids.foot.question
        strip.next_text = typing.next_thing(first, firm)
        free = middle.part not in {REASONS, TAPE} and not (middle.fields.refused or asked or self.saving)
        able = bool(first or firm) if typing.label else typing.changed or not typing.amends
        if middle.part == WHY:
            able = bool(typing.typed.why.strip())
        strip.next_able = free and able
        if asked is not None:
            strip.second_text = ""
        elif middle.part != KEYS:
            strip.second_text = tr(words.BACK_TO_KEYS)
        else:
            strip.second_text = tr(words.NO_READING) if typing.label else ""

    def typed(self, text: str) -> None:
        """A key was pressed."""
        if self.place.in_hand is not None:
            self.place.typed(text)
            return
        if self.typing is None or not self.typing.label:
            return
        self.typing.type(text)
        self._rest()
        self._middle.say("", "")
        self._show_thickness()
        self.show_next()

    def choose(self, label: str) -> None:
        """A point of the base was tapped."""
        if self.typing is None or not self.free:
            return
        self.keep()
        self._middle.close_part()
        self._middle.say("", "")
        self.typing.choose(label)
        self.show_point()

    @property
    def free(self) -> bool:
        """Whether something else can be taken up now."""
        return not self.saving and self._middle.ids.foot.question is None

    def go_to(self, name: str) -> None:
        """One of the boxes was tapped, or is next."""
        if self.place.in_hand is not None:
            self.place.go_to(name)
            return
        if self.typing is None or self.saving or not self.typing.label:
            return
        self._close_inches()
        self.typing.field = name
        self.keep()
        self.show_point()

    def go_on(self) -> None:
        """The next thing of the point in hand: its place, its firm depth, or to disk with it."""
        typing = self.typing
        if self.place.in_hand is not None:
            self.place.put()
            return
        if typing is None:
            return
        self._close_inches()
        depths = {name: self._middle.finished(name) for name in DEPTHS}
        if typing.to_firm(depths[FIRST], depths[FIRM]):
            self.go_to(FIRM)
        else:
            self.save({name: text for name, text in depths.items() if text})

    def turn_second(self) -> None:
        """The second button: leave the place, the keys again, or the reasons in the place of the keys."""
        typing, middle = self.typing, self._middle
        if typing is None:
            return
        if self.place.in_hand is not None:
            self.show_point()
        elif middle.close_part():
            self.show_next()
        elif typing.label:
            middle.reasons.label = typing.label
            middle.part = REASONS
            self.show_next()

    def save(self, answer: Texts) -> None:
        """Put the answer of the point in hand on disk; only then is it shown as read."""
        typing = self.typing
        if typing is None or not typing.label:
            return
        label = typing.label

        def saved(typed: asks.RoundTyped) -> None:
            typing.take(typed)
            self._middle.close_part()
            self._middle.say("", "")
            if NO_READING not in answer and len(answer) == 1:
                self._middle.say("not shown", tr(words.ONE_DEPTH, label=label))

        self.to_disk(typing.answered(answer), label, saved, read=True)

    def to_disk(
        self,
        typed: asks.RoundTyped,
        label: str,
        saved: Callable[[asks.RoundTyped], None],
        *,
        read: bool = False,
    ) -> None:
        """Put the round on disk, then show it, then what the limits and the map say of it."""
        page, typing = self.page, self.typing
        if page is None or typing is None or self.saving:
            return
        self._rest.cancel()
        self.saving, self._sides.strip.next_able = True, False

        def done(result: tuple[RoundView, datetime]) -> None:
            self._session.kept(result[1])
            if self.typing is typing:
                self.saving = False
                saved(typed)
                show_cells(self._middle, result[0], typed.points)
                self.show_point()
                self._ask_now(page, typed)

        self._session.ask(
            lambda place: asks.save_point(place, page, typed, label, read=read), done, self.refused
        )

    def keep(self) -> None:
        """Keep what is half typed on disk."""
        page, kept = self.page, self.typing.to_keep() if self.typing else None
        if page is not None and kept is not None and not self.saving:
            shaft, key = page.page.view.shaft, page.key
            self._session.ask(
                lambda place: asks.keep_round(place, shaft, kept, key), self._session.kept, self.refused
            )

    def refused(self, problem: Exception) -> None:
        """Say in place what could not be done; what was typed stays."""
        self.saving = False
        said, about = sentence_of(problem)
        fields = self._middle.fields
        self._middle.refuse(said, "" if not about else about if about in fields.names else fields.active)
        self.show_next()

    def _ask_now(self, page: asks.RoundPage, typed: asks.RoundTyped) -> None:
        def told(now: RoundNow) -> None:
            present = self.typing.typed if self.typing is not None else None
            if present and present.points is typed.points and present.places is typed.places:
                self._show_now(now)

        self._session.ask(lambda place: asks.round_as_it_is(place, page, typed), told, self.refused)

    def _show_now(self, now: RoundNow) -> None:
        assert self.typing is not None
        self.now = now
        show_now(self._middle, now, self.typing.typed.points)
        of_record = [each for each in self._sides.strip.reasons if not isinstance(each.subject, tuple)]
        self._sides.strip.reasons = [*reasons_of(now), *of_record]

    def _show_thickness(self) -> None:
        page, typing = self.page, self.typing
        if page is None or typing is None:
            return
        label, depths = typing.label, {name: self._middle.finished(name) for name in DEPTHS}
        unit, self._middle.thickness = typing.unit, ""

        def show(text: str) -> None:
            if self.typing is typing and typing.label == label:
                self._middle.thickness = "" if text.startswith("-") else tr(text)

        if all(depths.values()):
            self._session.ask(lambda place: asks.thickness(place, depths, unit), show, self.refused)

    def _close_inches(self) -> None:
        typing = self.typing
        if typing is not None and typing.label and (reading := self._middle.finished(typing.field)):
            typing.reading[typing.field] = reading
