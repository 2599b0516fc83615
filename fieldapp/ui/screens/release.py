"""The resident engineer decides on concrete: the evidence as it is now, until when, release or hold.

The buttons are there for everybody; who may press them is the desk's to say.  A release is held down, and
what it passes over is asked about a second time by its name.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from kivy.clock import Clock
from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_decisions as asks
from fieldapp.ui.moments import hours_minutes, remaining
from fieldapp.ui.screens.release_form import ReleaseForm
from fieldapp.ui.screens.release_said import RELEASED, state_said, table_row, until_said
from fieldapp.ui.screens.sides import Sides
from fieldapp.ui.screens.signoff_middle import DecisionMiddle
from fieldapp.ui.screens.signoff_parts import RELEASE, settle, to_stage
from fieldapp.ui.screens.unlock_first import Act, Deciding
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.evidence_table import EvidenceTable
from fieldapp.ui.words import release as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.record.entry import Entry

SECOND_S: Final = 1.0


class ReleaseScreen(Screen):
    """``open(shaft)``."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.shaft = ""
        self.middle = DecisionMiddle(caution=tr(words.CAUTION))
        self.sides = Sides(session, self.middle, lambda stage: to_stage(way, self.shaft, stage))
        self.add_widget(self.sides.frame)
        self.table = EvidenceTable(
            shown_text=tr(words.SHOWN), asked_text=tr(words.ASKED), when_text=tr(words.WHEN)
        )
        self.form = ReleaseForm()
        for each in (self.table, self.form):
            self.middle.ids.stack.add_widget(each)
        self.deciding = Deciding(session, way, self.middle.foot, self._decided, self._refused)
        self.deciding.yes_text = words.RELEASE_ALL_THE_SAME
        self.deciding.at_work = self._at_work
        self.page: asks.DecisionPage | None = None
        self.busy = False
        self._runs = False
        self._ticking = Clock.create_trigger(self._count_down, SECOND_S, interval=True)
        self._listen()

    def _listen(self) -> None:
        strip = self.sides.strip
        self.sides.bar.bind(on_back=lambda _bar: self.way.back())
        strip.bind(on_next=lambda _strip: self._next(), on_second=lambda _strip: self._second())
        self.table.bind(on_settle=lambda _table, work: settle(self.way, self.shaft, work))
        self.form.bind(timing=lambda _form, timing: self._stand(timing))
        self.form.bind(on_typed=lambda _form: self._show_next(), on_left=lambda _form: self.keep())
        self.middle.foot.bind(on_asking=lambda _foot, _asking: self._show_next())

    def open(self, shaft: str) -> None:
        if shaft != self.shaft:
            self.shaft, self.page = shaft, None
            self.sides.name(shaft)
            self.table.rows, self.table.opened = [], ""
            self.form.begin({})
        self.middle.say("")
        self.again()

    def again(self) -> None:
        shaft = self.shaft
        self.session.ask(
            lambda place: asks.decision_page(place, asks.RELEASE, shaft),
            lambda page: self._show(shaft, page),
            self._refused,
        )

    def goes_back(self) -> bool:
        if self.middle.foot.close() or self.form.close():
            return True
        self.keep()
        return False

    def on_leave(self) -> None:
        self._ticking.cancel()

    def keep(self) -> None:
        """Put what is written on disk."""
        page, typed = self.page, self.form.typed()
        if page is None or typed == page.typed:
            return
        page.typed.clear()
        page.typed.update(typed)
        self.session.ask(
            lambda place: asks.keep_decision(place, asks.RELEASE, self.shaft, typed),
            self.session.kept,
            self._refused,
        )

    @property
    def released(self) -> bool:
        """Whether a release holds."""
        return self.page is not None and str(self.page.evidence.state.status) == RELEASED

    def _show(self, shaft: str, page: asks.DecisionPage) -> None:
        if shaft != self.shaft:
            return
        before, self.page = self.page, page
        found = page.evidence
        self.sides.fill(found.view, RELEASE, clock_runs_only=True)
        self.deciding.against = found.against
        self.table.rows = [table_row(each) for each in found.rows]
        if before is None:
            self.form.begin(page.typed)
        self.form.now = lambda: self.session.clock.now(found.zone)
        self.form.show_limits(found.until, found.preset)
        self.form.asks_until = not self.released
        said, state = state_said(found.state)
        if said:
            self.middle.say(said, state)
        elif before is not None and str(before.evidence.state.status) != "none":
            self.middle.say("")
        self._show_next()

    def _stand(self, timing: bool) -> None:
        """The evidence and the form, or the keys of a moment alone."""
        stack = self.middle.ids.stack
        stack.clear_widgets()
        for each in (self.form,) if timing else (self.table, self.form):
            stack.add_widget(each)
        self.middle.pages.scroller.scroll_y = 1.0

    def _show_next(self) -> None:
        strip, until = self.sides.strip, self.form.until
        free = self.page is not None and self.middle.foot.question is None and not self.busy
        strip.hold_next = not self.released and until is not None
        if self.page is None:
            strip.next_text = strip.second_text = ""
        elif self.released:
            strip.next_text, strip.second_text = tr(words.TO_PAPERS), tr(words.WITHDRAW)
        else:
            at = "" if until is None else until_said(until, self.page.evidence.now)
            strip.next_text = tr(words.HOLD_TO_RELEASE, time=at) if at else tr(words.SAY_UNTIL)
            strip.second_text = tr(words.HOLD)
        strip.next_able = free and not self.form.is_over
        if strip.second_button is not None:
            strip.second_button.disabled = not free
        self._count_down()

    def _count_down(self, *_: object) -> bool:
        """How long the release still holds; once it is over the page is asked for anew."""
        page, strip = self.page, self.sides.strip
        if not self.released or page is None or page.evidence.state.until is None:
            self._ticking.cancel()
            return False
        until = page.evidence.state.until
        left = until - self.session.clock.now(page.evidence.zone)
        strip.clock = hours_minutes(until)
        strip.clock_caption = tr(words.LEFT, left=remaining(left)) if left.total_seconds() > 0 else ""
        self._ticking()
        ran, self._runs = self._runs, left.total_seconds() > 0
        if not self._runs:
            self._ticking.cancel()
            if ran:  # with concrete in, a release that held is over for good: asking anew changes nothing
                self.again()
        return True

    def _next(self) -> None:
        until = self.form.until
        if self.released:
            self.way.go("papers", shaft=self.shaft)
        elif until is None:
            self.form.open_until()
        else:
            asked = asks.Asked(
                self.shaft, why=self.form.reason.text, conditions=self.form.conditions.text, until=until
            )
            self._decide(lambda place, by, key: asks.release_concrete(place, asked, by, key))

    def _second(self) -> None:
        asked = asks.Asked(self.shaft, why=self.form.reason.text)
        act = asks.withdraw_release if self.released else asks.hold_concrete
        self._decide(lambda place, by, key: act(place, asked, by, key))

    def _decide(self, act: Act) -> None:
        self.keep()
        self.middle.say("")
        self.deciding.decide(act)

    def _at_work(self, busy: bool) -> None:
        self.busy = busy
        self._show_next()

    def _decided(self, entry: Entry) -> None:
        self.session.recorded(entry)
        self.form.begin({})
        if self.page is not None:
            self.page.typed.clear()
        self.middle.pages.scroller.scroll_y = 1.0
        self.again()

    def _refused(self, problem: Exception) -> None:
        said, name = self.deciding.sentence(problem)
        self.middle.say(said)
        if name == "reason":
            self.form.reason.field.typing.focus = True
        self._show_next()
