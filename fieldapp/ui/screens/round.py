"""A round of soundings by touch: point by point, first contact and firm, each point on disk at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_round as asks
from fieldapp.ui.recording import Recording
from fieldapp.ui.round_typing import NO_READING
from fieldapp.ui.screens.round_hand import RoundHand
from fieldapp.ui.screens.round_middle import WHY, RoundMiddle
from fieldapp.ui.screens.sides import Sides
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk

if TYPE_CHECKING:
    from fieldapp.record.entry import Entry

BASE = "Base"


class RoundScreen(Screen):
    """Opened with the shaft, or with the round to be amended; goes on where the half-typed one stands."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.shaft = ""
        self.opened = "", ""
        self.middle = RoundMiddle()
        self.sides = Sides(session, self.middle, self._to_stage)
        self.add_widget(self.sides.frame)
        self.foot = self.middle.ids.foot
        self.hand = RoundHand(session, self.middle, self.sides)
        self.recording = Recording(session, way, self.foot, self._recorded, self.hand.refused)
        self._listen()

    def _listen(self) -> None:
        frame, strip, hand = self.sides.frame, self.sides.strip, self.hand
        frame.bind(portrait=self._arrange)
        self.middle.bind(tight=self._arrange)
        self._arrange()
        self.sides.bar.bind(on_back=lambda _bar: self.way.back())
        strip.bind(
            on_next=lambda _strip: self._next(),
            on_second=lambda _strip: hand.turn_second(),
            on_reason=self._to_reason,
        )
        self.foot.bind(on_asking=lambda _foot, _asking: hand.show_next())
        self.middle.bind(
            on_point=lambda _middle, label: hand.choose(label),
            on_place=lambda _middle, at: hand.place.tap(at),
            on_field=lambda _middle, name: hand.go_to(name),
            on_typed=lambda _middle, text: hand.typed(text),
            on_reason=lambda _middle, reason: hand.save({NO_READING: reason}),
            on_tool=lambda _middle, tool: hand.other.use(tool),
            on_tape=lambda _middle, unit: hand.other.take_unit(unit),
            on_round=lambda _middle, entry: hand.other.compare(entry),
            on_why=lambda _middle, text: hand.other.take_why(text),
        )

    def open(self, shaft: str, amend: str = "") -> None:
        self.shaft = shaft
        self.opened = shaft, amend
        self.sides.name(shaft)
        self.hand.let_go()
        self.session.ask(
            lambda place: asks.round_page(place, shaft, self.session.moment(place, shaft), amend),
            self._show,
            self.hand.refused,
        )

    def _arrange(self, *_: object) -> None:
        """Upright with large text the keys need the room of the stages; the way back leads to them."""
        frame, middle = self.sides.frame, self.middle
        middle.arrange(frame.portrait)
        frame.rail = None if frame.portrait and middle.tight else self.sides.rail

    def again(self) -> None:
        self.hand.show_next()

    def goes_back(self) -> bool:
        if self.hand.place.in_hand is not None:
            self.hand.show_point()
            return True
        if self.foot.close() or self.middle.close_part():
            self.hand.show_next()
            return True
        self.hand.keep()
        return False

    def keep(self) -> None:
        """Put what is half typed on disk."""
        self.hand.keep()

    def _recorded(self, _entry: Entry) -> None:
        self.hand.let_go()
        self._to_stage(BASE)

    def _to_stage(self, stage: str) -> None:
        self.hand.keep()
        self.way.go("shaft", shaft=self.shaft, stage=stage)

    def _show(self, page: asks.RoundPage) -> None:
        if (page.page.view.shaft, page.form.target) == self.opened:
            self.sides.fill(page.page.view, BASE, clock_runs_only=True)
            self.hand.take(page)

    def _next(self) -> None:
        page, typing = self.hand.page, self.hand.typing
        if page is None or typing is None:
            return
        if typing.label or self.hand.place.in_hand is not None:
            self.hand.go_on()
        elif typing.amends and self.middle.part != WHY and not typing.typed.why.strip():
            self.hand.other.ask_why()
        else:
            shaft, typed = self.shaft, typing.typed
            self.sides.strip.next_able = False
            self.recording.record(lambda place, by: asks.record_round(place, shaft, page.form, typed, by))

    def _to_reason(self, _strip: object, subject: object) -> bool:
        """A reason of the round in hand leads to its point; those of the record go their own way."""
        if not isinstance(subject, tuple):
            return False
        if subject[1]:
            self.hand.choose(subject[1])
        return True
