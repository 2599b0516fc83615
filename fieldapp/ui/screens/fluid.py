"""A fluid test by touch: depth by depth, each reading held against its limit while it is typed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_fluid as asks
from fieldapp.ui.fluid_typing import FluidTyping
from fieldapp.ui.recording import Recording, sentence_of
from fieldapp.ui.screens.fluid_middle import FluidMiddle
from fieldapp.ui.screens.sides import Sides
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.words import fluid as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from datetime import datetime

    from fieldapp.desk.entry_forms.fluid_form import FieldAnswer
    from fieldapp.record.entry import Entry

FLUID = "Fluid"


class FluidScreen(Screen):
    """Opened with the shaft; goes on where the half-typed sample on disk stands."""

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
        self.recording = Recording(session, way, self.foot, self._recorded, self._refused)
        self._listen()

    def _listen(self) -> None:
        strip = self.sides.strip
        self.sides.bar.bind(on_back=lambda _bar: self.way.back())
        strip.bind(on_next=lambda _strip: self._save(), on_second=lambda _strip: self._not_tested())
        self.foot.bind(on_asking=lambda _foot, _asking: self._show_next())
        self.middle.bind(
            on_place=lambda _middle, depth: self._choose_place(depth),
            on_field=lambda _middle, name: self._go_to(name),
            on_typed=lambda _middle, text: self._typed(text),
            on_next_field=lambda _middle: self._next_field(),
        )

    def open(self, shaft: str) -> None:
        self.shaft, self.page, self.typing = shaft, None, None
        self.sides.name(shaft)
        self.middle.begin()
        self._load("")

    def again(self) -> None:
        self._show_next()

    def goes_back(self) -> bool:
        if self.foot.close():
            return True
        self._hold()
        return False

    def keep(self) -> None:
        """Put what is half typed on disk."""
        self._hold()

    def _to_stage(self, stage: str) -> None:
        self.way.go("shaft", shaft=self.shaft, stage=stage)

    def _load(self, said: str) -> None:
        shaft = self.shaft

        def show(page: asks.FluidPage) -> None:
            if page.page.view.shaft == self.shaft:
                self._show(page, said)

        self.session.ask(
            lambda place: asks.fluid_page(place, shaft, self.session.moment(place, shaft)),
            show,
            self._refused,
        )

    def _show(self, page: asks.FluidPage, said: str) -> None:
        before, self.page = self.page, page
        if before is not None and said and before.form.set != page.form.set:
            self._to_stage(FLUID)
            return
        self.typing = FluidTyping(tuple(each.name for each in page.form.fields), page.typed)
        self.sides.fill(page.page.view, FLUID, clock_runs_only=True)
        self.middle.show_form(page.form)
        self.middle.say("met" if said else "", said)
        self._show_field()
        self._hold()

    def _show_field(self) -> None:
        typing = self.typing
        if typing is None or self.page is None:
            return
        form = self.page.form
        self.sides.bar.subtitle = tr(words.SET, stage=form.stage, set=form.set, depth=typing.typed.depth)
        self.middle.show_field(typing.typed, typing.field)
        self._show_next()

    def _show_next(self) -> None:
        page, typing, strip = self.page, self.typing, self.sides.strip
        if page is None or typing is None:
            return
        depths = [each.depth.read for each in page.form.places]
        strip.next_text = typing.next_thing(depths)
        free = self.foot.question is None
        strip.next_able = free and typing.can_save and not self.middle.refused
        strip.second_text = tr(words.NOT_TESTED) if free and typing.field else ""

    def _typed(self, text: str) -> None:
        if self.typing is not None:
            self.typing.typed.fields[self.typing.field] = text
            self.middle.forget(self.typing.field)
            self._show_next()

    def _go_to(self, name: str) -> None:
        if self.typing is not None and self.foot.question is None:
            self.typing.field = name
            self._show_field()
            self._hold()

    def _next_field(self) -> None:
        if self.typing is not None:
            self._go_to(self.typing.after())

    def _not_tested(self) -> None:
        if self.typing is not None:
            self._typed("")
            self._next_field()

    def _choose_place(self, depth: str) -> None:
        if self.typing is not None and self.foot.question is None:
            self.typing.typed.depth = depth
            self._show_field()
            self._hold()

    def _hold(self) -> None:
        """Hold what is typed against its limits, and keep it on disk."""
        page, typing, shaft = self.page, self.typing, self.shaft
        if page is None or typing is None or not any(typing.typed.fields.values()):
            return
        typed = typing.copy()

        def show(result: tuple[dict[str, FieldAnswer], datetime]) -> None:
            self.session.kept(result[1])
            if self.typing is typing and typing.typed.fields == typed.fields:
                self.middle.answer(result[0])
                self._show_next()

        self.session.ask(
            lambda place: asks.fluid_answers(place, shaft, page.form, typed), show, self._refused
        )

    def _save(self) -> None:
        page, typing, shaft = self.page, self.typing, self.shaft
        if page is None or typing is None or not typing.can_save:
            return
        typed = typing.copy()
        self.sides.strip.next_able = False
        self.recording.record(lambda place, by: asks.record_fluid(place, shaft, page.form, typed, by))

    def _recorded(self, _entry: Entry) -> None:
        assert self.typing is not None
        depth = self.typing.typed.depth
        self.middle.begin()
        self._load(tr(words.SAVED_AT, depth=depth, time=self.session.saved))

    def _refused(self, problem: Exception) -> None:
        said, field = sentence_of(problem)
        self.middle.refuse(said, field)
        self._show_next()
