"""A round of soundings by touch: point by point, first contact and firm, each point on disk at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks
from fieldapp.ui.recording import Recording
from fieldapp.ui.round_typing import NO_READING
from fieldapp.ui.screens.round_hand import RoundHand
from fieldapp.ui.screens.round_middle import RoundMiddle
from fieldapp.ui.screens.sides import Sides
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk

if TYPE_CHECKING:
    from fieldapp.record.entry import Entry

BASE = "Base"


class RoundScreen(Screen):
    """Opened with the shaft; goes on where the half-typed round on disk stands."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.shaft = ""
        self.middle = RoundMiddle()
        self.sides = Sides(session, self.middle, self._to_stage)
        self.add_widget(self.sides.frame)
        self.foot = self.middle.ids.foot
        self.hand = RoundHand(session, self.middle, self.sides)
        self.recording = Recording(session, way, self.foot, self._recorded, self.hand.refused)
        self._listen()

    def _listen(self) -> None:
        frame, strip, hand = self.sides.frame, self.sides.strip, self.hand
        frame.bind(portrait=lambda _frame, portrait: self.middle.arrange(portrait))
        self.middle.arrange(frame.portrait)
        self.sides.bar.bind(on_back=lambda _bar: self.way.back())
        strip.bind(on_next=lambda _strip: self._next(), on_second=lambda _strip: hand.turn_reasons())
        self.foot.bind(on_asking=lambda _foot, _asking: hand.show_next())
        self.middle.bind(
            on_point=lambda _middle, label: hand.choose(label),
            on_field=lambda _middle, name: hand.go_to(name),
            on_typed=lambda _middle, text: hand.typed(text),
            on_reason=lambda _middle, reason: hand.save({NO_READING: reason}),
        )

    def open(self, shaft: str) -> None:
        self.shaft = shaft
        self.sides.name(shaft)
        self.hand.let_go()
        self.session.ask(
            lambda place: asks.round_page(place, shaft, self.session.moment(place, shaft)),
            self._show,
            self.hand.refused,
        )

    def again(self) -> None:
        self.hand.show_next()

    def goes_back(self) -> bool:
        if self.foot.close() or self.middle.close_reasons():
            self.hand.show_next()
            return True
        self.hand.keep()
        return False

    def _recorded(self, _entry: Entry) -> None:
        self.hand.let_go()
        self._to_stage(BASE)

    def _to_stage(self, stage: str) -> None:
        self.hand.keep()
        self.way.go("shaft", shaft=self.shaft, stage=stage)

    def _show(self, page: asks.RoundPage) -> None:
        if page.page.view.shaft == self.shaft:
            self.sides.fill(page.page.view, BASE, clock_runs_only=True)
            self.hand.take(page)

    def _next(self) -> None:
        page, typing = self.hand.page, self.hand.typing
        if page is None or typing is None:
            return
        if typing.label:
            self.hand.go_on()
            return
        shaft = self.shaft
        self.sides.strip.next_able = False
        self.recording.record(lambda place, by: asks.record_round(place, shaft, page.form, typing.typed, by))
