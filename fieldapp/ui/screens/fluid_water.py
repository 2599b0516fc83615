"""What touches mean while a funnel is checked with water: its time by the watch, the warmth of the water.

It comes out as passed or as failed, or it shows nothing; only the first two can be recorded.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from fieldapp.ui import asks_fluid as asks
from fieldapp.ui.screens.fluid_watch import TENTHS
from fieldapp.ui.words import fluid as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from datetime import datetime

    from fieldapp.desk.entry_forms.fluid_form import FluidField
    from fieldapp.desk.entry_forms.form import FieldAnswer
    from fieldapp.ui.screens.fluid import FluidScreen

WATER_TIME: Final = "water_time"
PASSED, FAILED = "met", "not met"


class WaterHand:
    """The check in hand of a screen, in the place of the sample."""

    def __init__(self, on: FluidScreen) -> None:
        self._on = on
        self.field = WATER_TIME
        self.outcome = ""

    def show(self) -> None:
        """The check as far as it has come."""
        on = self._on
        if on.page is None or on.typing is None:
            return
        on.middle.show_water(on.page.water.fields)
        self.field, self.outcome = WATER_TIME, ""
        self._show_field()
        self.hold()

    def show_next(self) -> None:
        """The one thing to press: what is still needed, or to record how it came out."""
        on = self._on
        if on.page is None or on.typing is None:
            return
        strip, typed, funnel = on.sides.strip, on.typing.typed, on.page.water.funnel
        says = {PASSED: words.RECORD_PASSED, FAILED: words.RECORD_FAILED}
        if WATER_TIME in typed.watch:
            strip.next_text = tr(words.STOP_FIRST)
        elif self.outcome in says:
            strip.next_text = tr(says[self.outcome], funnel=funnel)
        elif not typed.water.get(WATER_TIME):
            strip.next_text = tr(words.TIME_WATER)
        elif not all(typed.water.get(each.name) for each in on.page.water.fields):
            strip.next_text = tr(words.TYPE_WARMTH)
        else:
            strip.next_text = tr(words.NOT_SHOWN_YET)
        free = on.foot.question is None
        strip.next_able = free and self.outcome in says and WATER_TIME not in typed.watch
        strip.second_text = tr(words.BACK_TO_SAMPLE) if free else ""

    def typed(self, text: str) -> None:
        """A key was pressed."""
        if self._on.typing is not None:
            self._on.typing.typed.water[self.field] = text
            self.outcome = ""
            self._on.middle.answer({})
            self._on.middle.forget(self.field)
            self.hold()
            self.show_next()

    def go_to(self, name: str) -> None:
        """One of the boxes was tapped, or is next."""
        if self._on.foot.question is None:
            self.field = name
            self._show_field()
            self.hold()

    def go_on(self) -> None:
        """The box in hand is finished."""
        if self._on.page is not None:
            names = [each.name for each in self._on.page.water.fields]
            self.go_to(names[(names.index(self.field) + 1) % len(names)])

    def choose_place(self, _depth: str) -> None:
        """A check has no depth."""

    def watch_pressed(self) -> None:
        """The watch was started, or stopped: its seconds are typed to the tenth."""
        on, typing = self._on, self._on.typing
        if typing is None:
            return
        text, problem = "", ""
        if on.middle.watch.running:
            on.watch.started(on.shaft, typing.typed, self._field(), on.now())
        else:
            text, problem = on.watch.stopped(typing.typed, self._field(), TENTHS)
        on.middle.fill(self.field, text)
        self.typed(text)
        on.middle.say("not shown" if problem else "", problem)

    def act(self) -> None:
        """Record the check, as it came out."""
        on, page, typing, shaft = self._on, self._on.page, self._on.typing, self._on.shaft
        if page is None or typing is None:
            return
        typed = typing.copy()
        on.sides.strip.next_able = False
        on.recording.record(lambda place, by: asks.record_water(place, shaft, page.water, typed, by))

    def turn_second(self) -> None:
        """Back to the sample; a watch that still runs is given up."""
        self.leave()

    def leave(self) -> bool:
        """Back to the sample."""
        if self._on.typing is not None:
            self._on.typing.typed.watch.pop(WATER_TIME, None)
        self._on.take_up(self._on.sample)
        self._on.sample.hold()
        return True

    def hold(self, *, quiet: bool = False) -> None:
        """Keep what is typed on disk, and see how the check comes out."""
        del quiet
        on, page, typing, shaft = self._on, self._on.page, self._on.typing, self._on.shaft
        if page is None or typing is None or not (typing.typed.begun or page.kept):
            return
        typed = typing.copy()

        def show(held: tuple[FieldAnswer | None, datetime]) -> None:
            on.session.kept(held[1])
            if on.typing is typing and on.hand is self and typing.typed.water == typed.water:
                found = held[0]
                self.outcome = found.outcome if found is not None else ""
                on.middle.answer({found.name: found} if found is not None else {})
                self.show_next()

        on.session.ask(lambda place: asks.hold_water(place, shaft, page.water, typed), show, on.refused)

    def _show_field(self) -> None:
        on, page, typing = self._on, self._on.page, self._on.typing
        if page is None or typing is None:
            return
        on.sides.bar.subtitle = tr(words.CHECK_FUNNEL, funnel=page.water.funnel)
        on.middle.show_field(typing.typed.water, self.field)
        if self.field == WATER_TIME:
            lost = on.watch.go_on(on.shaft, typing.typed, self._field(), TENTHS, on.now())
            if lost:
                on.middle.say("not shown", lost)
        self.show_next()

    def _field(self) -> FluidField:
        assert self._on.page is not None
        return next(each for each in self._on.page.water.fields if each.name == self.field)
