"""A round of soundings by touch: point by point, first contact and firm, each point on disk at once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks
from fieldapp.ui.recording import Recording, sentence_of
from fieldapp.ui.round_typing import FIRM, FIRST, NO_READING, RoundTyping
from fieldapp.ui.screens.round_middle import RoundMiddle
from fieldapp.ui.screens.sides import Sides
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.words import round as words

if TYPE_CHECKING:
    from datetime import datetime

    from fieldapp.desk.shaft_view import RoundView
    from fieldapp.record.entry import Entry

BASE = "Base"


class RoundScreen(Screen):
    """Opened with the shaft; goes on where the half-typed round on disk stands."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.shaft = ""
        self.page: asks.RoundPage | None = None
        self.typing: RoundTyping | None = None
        self.middle = RoundMiddle()
        self.sides = Sides(session, self.middle, self._to_stage)
        self.add_widget(self.sides.frame)
        self.foot = self.middle.ids.foot
        self.recording = Recording(session, way, self.foot, self._recorded, self._refused)
        self._listen()

    def _listen(self) -> None:
        frame, strip = self.sides.frame, self.sides.strip
        frame.bind(portrait=lambda _frame, portrait: self.middle.arrange(portrait))
        self.middle.arrange(frame.portrait)
        self.sides.bar.bind(on_back=lambda _bar: self.way.back())
        strip.bind(on_next=lambda _strip: self._next(), on_second=lambda _strip: self._turn_reasons())
        self.foot.bind(on_asking=lambda _foot, _asking: self._show_next())
        self.middle.bind(
            on_point=lambda _middle, label: self._choose(label),
            on_field=lambda _middle, name: self._go_to(name),
            on_typed=lambda _middle, text: self._typed(text),
            on_reason=lambda _middle, reason: self._save({NO_READING: reason}),
        )

    def open(self, shaft: str) -> None:
        self.shaft, self.page, self.typing = shaft, None, None
        self.sides.name(shaft)
        self.middle.begin()
        self.session.ask(
            lambda place: asks.round_page(place, shaft, self.session.moment(place, shaft)),
            self._show,
            self._refused,
        )

    def again(self) -> None:
        self._show_next()

    def goes_back(self) -> bool:
        if self.foot.close() or self.middle.close_reasons():
            self._show_next()
            return True
        self._keep()
        return False

    def _recorded(self, _entry: Entry) -> None:
        self._to_stage(BASE)

    def _to_stage(self, stage: str) -> None:
        self.way.go("shaft", shaft=self.shaft, stage=stage)

    def _show(self, page: asks.RoundPage) -> None:
        if page.page.view.shaft != self.shaft:
            return
        self.page = page
        self.typing = RoundTyping(tuple(each.label for each in page.form.points), page.typed)
        self.sides.fill(page.page.view, BASE)
        self.middle.unit = page.form.unit
        self.middle.show_base(page.so_far, page.typed.points)
        self._show_point()

    def _show_point(self) -> None:
        page, typing = self.page, self.typing
        if page is None or typing is None:
            return
        progress = words.PROGRESS.format(done=typing.done, all=len(typing.labels))
        self.sides.bar.subtitle = f"{page.form.title}, {progress}"
        self.middle.show_point(typing.label, typing.field, typing.reading, typing.last_typed())
        if not typing.label:
            self.middle.say("met", words.ALL_TYPED)
        self._show_thickness()
        self._show_next()

    def _show_next(self) -> None:
        """The one thing to press, and beside it why there may be no reading."""
        typing, strip, middle = self.typing, self.sides.strip, self.middle
        if typing is None:
            return
        first, firm = middle.finished(FIRST), middle.finished(FIRM)
        strip.next_text = typing.next_thing(first, firm)
        free = not (middle.reasons_open or self.foot.question or middle.fields.refused)
        strip.next_able = free and (not typing.label or bool(first or firm))
        turned = words.BACK_TO_KEYS if middle.reasons_open else words.NO_READING
        strip.second_text = turned if typing.label and self.foot.question is None else ""

    def _show_thickness(self) -> None:
        page, typing = self.page, self.typing
        if page is None or typing is None:
            return
        label, depths = typing.label, {name: self.middle.finished(name) for name in (FIRST, FIRM)}
        self.middle.thickness = ""

        def show(text: str) -> None:
            if self.typing is typing and typing.label == label:
                self.middle.thickness = "" if text.startswith("-") else text

        if all(depths.values()):
            self.session.ask(lambda place: asks.thickness(place, depths, page.form.unit), show, self._refused)

    def _typed(self, text: str) -> None:
        if self.typing is None or not self.typing.label:
            return
        self.typing.reading[self.typing.field] = text
        self.middle.say("", "")
        self._show_thickness()
        self._show_next()

    def _choose(self, label: str) -> None:
        if self.typing is None or self.foot.question is not None:
            return
        self._keep()
        self.middle.close_reasons()
        self.middle.say("", "")
        self.typing.choose(label)
        self._show_point()

    def _go_to(self, name: str) -> None:
        if self.typing is None or not self.typing.label:
            return
        self._close_inches()
        self.typing.field = name
        self._keep()
        self._show_point()

    def _close_inches(self) -> None:
        typing = self.typing
        if typing is not None and (reading := self.middle.finished(typing.field)):
            typing.reading[typing.field] = reading

    def _keep(self) -> None:
        shaft, kept = self.shaft, self.typing.to_keep() if self.typing else None
        if kept is not None:
            self.session.ask(
                lambda place: asks.keep_round(place, shaft, kept), self.session.kept, self._refused
            )

    def _next(self) -> None:
        typing = self.typing
        if typing is None:
            return
        if not typing.label:
            self._record()
            return
        self._close_inches()
        depths = {FIRST: self.middle.finished(FIRST), FIRM: self.middle.finished(FIRM)}
        if typing.to_firm(depths[FIRST], depths[FIRM]):
            self._go_to(FIRM)
        else:
            self._save({name: text for name, text in depths.items() if text})

    def _turn_reasons(self) -> None:
        if self.typing is not None and self.typing.label:
            self.middle.turn_reasons(self.typing.label)
            self._show_next()

    def _save(self, answer: asks.Texts) -> None:
        page, typing, shaft = self.page, self.typing, self.shaft
        if page is None or typing is None or not typing.label:
            return
        label, typed = typing.label, typing.answered(answer)
        self.sides.strip.next_able = False

        def saved(result: tuple[RoundView, datetime]) -> None:
            self.session.kept(result[1])
            if self.typing is typing:
                typing.take(typed)
                self._show_saved(label, answer, result[0])

        self.session.ask(
            lambda place: asks.save_point(place, shaft, page.form, typed, label), saved, self._refused
        )

    def _show_saved(self, label: str, answer: asks.Texts, so_far: RoundView) -> None:
        assert self.typing is not None
        one_depth = NO_READING not in answer and len(answer) == 1
        self.middle.close_reasons()
        self.middle.say(
            "not shown" if one_depth else "", words.ONE_DEPTH.format(label=label) if one_depth else ""
        )
        self.middle.show_base(so_far, self.typing.typed.points)
        self._show_point()

    def _record(self) -> None:
        page, typing, shaft = self.page, self.typing, self.shaft
        assert page is not None
        assert typing is not None
        self.sides.strip.next_able = False
        self.recording.record(lambda place, by: asks.record_round(place, shaft, page.form, typing.typed, by))

    def _refused(self, problem: Exception) -> None:
        said, field = sentence_of(problem)
        self.middle.refuse(said, self.typing.field if self.typing and field else "")
        self._show_next()
