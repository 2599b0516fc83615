"""A fluid test by touch: depth by depth, each reading held against its limit while it is typed.

Beside it stand the sets in a row, the last water check of the funnel, and what the sample is read with.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_fluid as asks
from fieldapp.ui.fluid_typing import FluidTyping
from fieldapp.ui.recording import Recording, sentence_of
from fieldapp.ui.screens.fluid_kit import KitHand
from fieldapp.ui.screens.fluid_middle import FluidMiddle
from fieldapp.ui.screens.fluid_sample import SampleHand
from fieldapp.ui.screens.fluid_watch import FluidWatch
from fieldapp.ui.screens.fluid_water import WATER_TIME, WaterHand
from fieldapp.ui.screens.sides import Sides
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.words import fluid as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from datetime import datetime

    from fieldapp.record.entry import Entry

FLUID = "Fluid"


class FluidScreen(Screen):
    """Opened with the shaft; goes on where the half-typed sample on disk stands.

    ``hand`` says what touches mean: for the sample, for the water check, for the choice of instruments.
    """

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.shaft = ""
        self.page: asks.FluidPage | None = None
        self.typing: FluidTyping | None = None
        self.middle = FluidMiddle()
        self.sides = Sides(session, self.middle, self._to_stage)
        self.add_widget(self.sides.frame)
        self.foot = self.middle.ids.foot
        self.watch = FluidWatch(self.middle.watch)
        self.recording = Recording(session, way, self.foot, self._recorded, self.refused)
        self.sample, self.water, self.kit = SampleHand(self), WaterHand(self), KitHand(self)
        self.hand: SampleHand | WaterHand | KitHand = self.sample
        self._listen()

    def _listen(self) -> None:
        strip = self.sides.strip
        self.sides.bar.bind(on_back=lambda _bar: self.way.back())
        strip.bind(on_next=lambda _strip: self.hand.act(), on_second=lambda _strip: self.hand.turn_second())
        self.foot.bind(on_asking=lambda _foot, _asking: self.again())
        self.middle.bind(
            on_place=lambda _middle, depth: self.hand.choose_place(depth),
            on_field=lambda _middle, name: self.hand.go_to(name),
            on_typed=lambda _middle, text: self.hand.typed(text),
            on_next_field=lambda _middle: self.hand.go_on(),
            on_watch=lambda _middle: self.hand.watch_pressed(),
            on_check=lambda _middle: self._turn_to(self.water),
            on_kit=lambda _middle: self._turn_to(self.kit),
            on_labels=lambda _middle, labels: self.kit.take(labels),
        )

    def open(self, shaft: str) -> None:
        self.shaft, self.page, self.typing = shaft, None, None
        self.hand = self.sample
        self.sides.name(shaft)
        self.middle.begin()
        self.load("")

    def again(self) -> None:
        self.hand.show_next()

    def goes_back(self) -> bool:
        return self.foot.close() or self.hand.leave()

    def keep(self) -> None:
        """Put what is half typed on disk."""
        self.hand.hold()

    def now(self) -> datetime:
        """The present moment where the project is."""
        return self.session.clock.now(self.page.zone if self.page is not None else "UTC")

    def take_up(self, hand: SampleHand | WaterHand | KitHand) -> None:
        """From here on touches mean what this hand says."""
        self.hand = hand
        hand.show()

    def load(self, said: str) -> None:
        """Show the sample anew, and what is to be said of what was done."""
        shaft = self.shaft

        def show(page: asks.FluidPage) -> None:
            if page.page.view.shaft == self.shaft:
                self._show(page, said)

        self.session.ask(
            lambda place: asks.fluid_page(place, shaft, self.session.moment(place, shaft)), show, self.refused
        )

    def refused(self, problem: Exception) -> None:
        """Say in place what could not be done; what was typed stays."""
        said, field = sentence_of(problem)
        self.middle.refuse(said, field)
        self.hand.show_next()

    def _to_stage(self, stage: str) -> None:
        self.hand.hold()
        self.way.go("shaft", shaft=self.shaft, stage=stage)

    def _turn_to(self, hand: WaterHand | KitHand) -> None:
        """The check or the choice, unless a question stands or the watch of the sample runs."""
        if self.typing is None or self.foot.question is not None:
            return
        if self.typing.timed:
            self.middle.say("due", tr(words.STOP_FIRST))
            return
        self.sample.hold()
        self.take_up(hand)

    def _show(self, page: asks.FluidPage, said: str) -> None:
        before, self.page = self.page, page
        if before is not None and said and before.form.set != page.form.set:
            self._to_stage(FLUID)
            return
        self.typing = FluidTyping(tuple(each.name for each in page.form.fields), page.typed)
        self.sides.fill(page.page.view, FLUID, clock_runs_only=True)
        lost_to = self.water if WATER_TIME in page.typed.watch else self.sample
        self.take_up(lost_to)
        if said:
            self.middle.say("met", said)
        self.hand.hold()

    def _recorded(self, _entry: Entry) -> None:
        assert self.typing is not None
        checked = self.hand is self.water
        depth = self.typing.typed.depth
        self.typing, self.hand = None, self.sample
        self.middle.begin()
        template = words.CHECK_SAVED if checked else words.SAVED_AT
        self.load(tr(template, depth=depth, time=self.session.saved))
