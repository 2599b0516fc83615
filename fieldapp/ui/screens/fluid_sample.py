"""What touches mean while a fluid sample is typed: depths, boxes, keys, the watch, saving.

When the hand rests and after every finished box the sample is on disk and held against its limits.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from kivy.clock import Clock

from fieldapp.ui import asks_fluid as asks
from fieldapp.ui.screens.fluid_watch import WHOLE
from fieldapp.ui.words import fluid as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.entry_forms.fluid_form import FluidField
    from fieldapp.ui.screens.fluid import FluidScreen

REST_S: Final = 0.6
"""What is typed is held against its limits when the hand rests so long."""


class SampleHand:
    """The sample in hand of a screen; every touch changes it and shows what it became."""

    def __init__(self, on: FluidScreen) -> None:
        self._on = on
        self._rest = Clock.create_trigger(lambda _passed_s: self.hold(quiet=True), REST_S)

    def show(self) -> None:
        """The sample as far as it has come."""
        on = self._on
        if on.page is None or on.typing is None:
            return
        on.middle.show_form(on.page.form)
        on.middle.show_row(on.page.row)
        self._show_field()

    def show_next(self) -> None:
        """The one thing to press, and the other one."""
        on = self._on
        page, typing, strip = on.page, on.typing, on.sides.strip
        if page is None or typing is None:
            return
        strip.next_text = typing.next_thing([each.depth.read for each in page.form.places])
        free = on.foot.question is None
        strip.next_able = free and typing.can_save and not on.middle.refused
        strip.second_text = tr(words.NOT_TESTED) if free and typing.field and not typing.timed else ""

    def typed(self, text: str) -> None:
        """A key was pressed."""
        typing = self._on.typing
        if typing is not None:
            typing.typed.fields[typing.field] = text
            self._on.middle.forget(typing.field)
            self.show_next()
            self._rest()

    def go_to(self, name: str) -> None:
        """One of the boxes was tapped, or is next."""
        if self._on.typing is not None and self._on.foot.question is None:
            self._on.typing.field = name
            self._show_field()
            self.hold()

    def go_on(self) -> None:
        """The box in hand is finished."""
        if self._on.typing is not None:
            self.go_to(self._on.typing.after())

    def choose_place(self, depth: str) -> None:
        """A depth was tapped."""
        if self._on.typing is not None and self._on.foot.question is None:
            self._on.typing.typed.depth = depth
            self._show_field()
            self.hold()

    def watch_pressed(self) -> None:
        """The watch was started, or stopped: its seconds are typed, and one key goes on."""
        on, typing = self._on, self._on.typing
        if typing is None:
            return
        field = self._field()
        on.middle.forget(field.name)
        text, problem = "", ""
        if on.middle.watch.running:
            on.watch.started(on.shaft, typing.typed, field, on.now())
        else:
            text, problem = on.watch.stopped(typing.typed, field, WHOLE)
        typing.typed.fields[field.name] = text
        on.middle.fill(field.name, text)
        on.middle.say("not shown" if problem else "", problem)
        self.show_next()
        self.hold()

    def act(self) -> None:
        """Record the sample."""
        on, page, typing, shaft = self._on, self._on.page, self._on.typing, self._on.shaft
        if page is None or typing is None or not typing.can_save:
            return
        typed = typing.copy()
        self._rest.cancel()
        on.sides.strip.next_able = False
        on.recording.record(lambda place, by: asks.record_fluid(place, shaft, page.form, typed, by))

    def turn_second(self) -> None:
        """The property in hand is not tested."""
        if self._on.typing is not None:
            self.typed("")
            self.go_on()

    def leave(self) -> bool:
        """Nothing stands over the sample."""
        self.hold()
        return False

    def hold(self, *, quiet: bool = False) -> None:
        """Keep what is typed on disk and hold it against its limits; ``quiet`` while a number may be half."""
        self._rest.cancel()
        on, page, typing, shaft = self._on, self._on.page, self._on.typing, self._on.shaft
        if page is None or typing is None or not (typing.typed.begun or page.kept):
            return
        if on.middle.get_parent_window() is None and quiet:
            return
        typed = typing.copy()

        def show(held: asks.FluidHeld) -> None:
            on.session.kept(held.kept_at)
            if on.typing is typing and on.hand is self and typing.typed.fields == typed.fields:
                on.middle.answer(held.answers)
                on.middle.show_row(held.row)
                self.show_next()

        on.session.ask(
            lambda place: asks.hold_fluid(place, shaft, page.form, typed),
            show,
            (lambda _problem: None) if quiet else on.refused,
        )

    def _show_field(self) -> None:
        on, page, typing = self._on, self._on.page, self._on.typing
        if page is None or typing is None:
            return
        form, typed = page.form, typing.typed
        on.sides.bar.subtitle = tr(words.SET, stage=form.stage, set=form.set, depth=typed.depth)
        on.middle.show_field(typed.fields, typing.field, typed.depth)
        field = self._field()
        if field.watched_s is not None:
            lost = on.watch.go_on(on.shaft, typed, field, WHOLE, on.now())
            if lost:
                on.middle.say("not shown", lost)
        self.show_next()

    def _field(self) -> FluidField:
        assert self._on.page is not None
        assert self._on.typing is not None
        name = self._on.typing.field
        return next(each for each in self._on.page.form.fields if each.name == name)
