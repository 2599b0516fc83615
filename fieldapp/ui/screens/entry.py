"""Any entry by touch: the boxes of its form left, what the box in hand needs right, recorded in one tap.

Opened with a shaft and a kind, or with the entry to be amended.  Amending shows what it said before and
needs a reason; striking is held down, with a reason.  After recording the way leads to the shaft's stage.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.desk.shaft.stages import stage_of_kind
from fieldapp.ui import asks_entry as asks
from fieldapp.ui.recording import Recording
from fieldapp.ui.screens.entry_hand import EntryHand
from fieldapp.ui.screens.entry_middle import EntryMiddle
from fieldapp.ui.screens.sides import Sides
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.words import entry as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.record.entry import Entry


class EntryScreen(Screen):
    """``open(shaft, kind)`` for a new entry, ``open(shaft, amend=id)`` for one that is there."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.middle = EntryMiddle()
        self.sides = Sides(session, self.middle, self._to_stage)
        self.add_widget(self.sides.frame)
        self.foot = self.middle.ids.foot
        self.hand = EntryHand(session, self.middle, self.sides)
        self.recording = Recording(session, way, self.foot, self._recorded, self.hand.refused)
        self._listen()

    def _listen(self) -> None:
        strip = self.sides.strip
        self.sides.bar.bind(on_back=lambda _bar: self.way.back())
        strip.bind(on_next=lambda _strip: self._next(), on_second=lambda _strip: self._second())
        self.middle.tools.bind(on_picture=lambda _tools, digest: self._picture(digest))
        strip.bind(on_reason=lambda _strip, subject: self._to_need(subject))
        self.foot.bind(on_asking=lambda _foot, _asking: self.again())

    def open(self, shaft: str, kind: str = "", amend: str = "") -> None:
        self.sides.name(shaft)
        self.sides.frame.rail = self.sides.rail if shaft else None
        self.hand.let_go(asks.Wanted(shaft, kind, amend))
        self._load()

    def again(self) -> None:
        self.hand.recording = False
        self.hand.show_next()

    def goes_back(self) -> bool:
        if self.foot.close() or self.hand.leave_striking():
            return True
        self.keep()
        return False

    def keep(self) -> None:
        """Put what is half typed on disk."""
        self.hand.keep()

    def _load(self) -> None:
        wanted = self.hand.wanted

        def show(page: asks.EntryPage) -> None:
            if self.hand.wanted == wanted:
                if page.page is not None:
                    self.sides.fill(page.page.view, self._stage(page), clock_runs_only=True)
                self.hand.take(page)

        self.session.ask(
            lambda place: asks.entry_page(place, wanted, self.session.moment(place, wanted.shaft)),
            show,
            self.hand.refused,
        )

    def _stage(self, page: asks.EntryPage) -> str:
        return stage_of_kind(page.form.kind)

    def _to_stage(self, stage: str) -> None:
        self.keep()
        if self.hand.wanted.shaft:
            self.way.go("shaft", shaft=self.hand.wanted.shaft, stage=stage)

    def _next(self) -> None:
        hand, page, typing = self.hand, self.hand.page, self.hand.typing
        if page is None or typing is None:
            return
        wanted = hand.wanted
        if hand.striking:
            why, hand.recording = hand.why, True
            self.recording.record(lambda place, by: asks.strike_entry(place, wanted, why, by))
        elif (missing := typing.needed()) is not None:
            in_hand = typing.name == missing.name
            hand.go_to(missing.name)
            if in_hand:
                self.middle.tools.write()
        else:
            texts, form = typing.texts(), page.form
            self.sides.strip.next_able, hand.recording = False, True
            self.recording.record(lambda place, by: asks.record_entry(place, wanted, form, texts, by))

    def _to_need(self, name: object) -> None:
        """Without a shaft the reasons of the strip are boxes."""
        if not self.hand.wanted.shaft and isinstance(name, str):
            self.hand.go_to(name)

    def _picture(self, digest: str) -> None:
        """Choose a picture for the box in hand, or look at the one it has."""
        typing = self.hand.typing
        if typing is None or self.hand.striking:
            return
        name = typing.name
        self.keep()
        if digest:
            self.way.go("picture", digest=digest)
        else:
            self.way.go("picture", chosen=partial(self.hand.take_picture, name))

    def _second(self) -> None:
        hand, page = self.hand, self.hand.page
        if page is None:
            return
        if page.form.target:
            hand.turn_striking()
            return
        wanted = hand.wanted

        def forget() -> None:
            hand.let_go(wanted)
            self.session.ask(
                lambda place: asks.drop_entry(place, wanted), lambda _at: self._load(), hand.refused
            )

        self.foot.ask(tr(words.BEGIN_ANEW_ASKS), tr(words.KEEP_TYPED), tr(words.FORGET), forget)

    def _recorded(self, _entry: Entry) -> None:
        page, wanted = self.hand.page, self.hand.wanted
        self.hand.let_go(wanted)
        if page is None or page.page is None:
            self.way.back()
        else:
            self.way.go("shaft", shaft=wanted.shaft, stage=self._stage(page))
