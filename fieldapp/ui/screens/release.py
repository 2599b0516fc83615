"""The resident engineer decides on concrete: the evidence as it is now, until when, release or hold.

The buttons are there for everybody; who may press them is the desk's to say.  A release is held down, and
what it passes over is asked about a second time by its name.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from kivy.clock import Clock

from fieldapp.ui import asks_decisions as asks
from fieldapp.ui.moments import hours_minutes, remaining
from fieldapp.ui.screens.release_form import ReleaseForm
from fieldapp.ui.screens.release_said import RELEASED, how_it_stands, table_row, until_said
from fieldapp.ui.screens.signoff_middle import Aside
from fieldapp.ui.screens.signoff_parts import RELEASE, settle
from fieldapp.ui.screens.signoff_screen import DecisionScreen
from fieldapp.ui.screens.unlock_first import Act
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.evidence_table import EvidenceTable
from fieldapp.ui.words import release as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.record.entry import Entry

SECOND_S: Final = 1.0


class ReleaseScreen(DecisionScreen):
    """``open(shaft)``."""

    kind = asks.RELEASE
    yes_text = words.RELEASE_ALL_THE_SAME
    caution = words.CAUTION
    others = words.OTHERS

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(session, way, **kwargs)
        self.table = EvidenceTable(
            shown_text=tr(words.SHOWN), asked_text=tr(words.ASKED), when_text=tr(words.WHEN)
        )
        self.form = ReleaseForm()
        for each in (self.table, self.form):
            self.middle.ids.stack.add_widget(each)
        self.page: asks.DecisionPage | None = None
        self.ends = Aside(self.sides.strip)
        self._runs = False
        self._ticking = Clock.create_trigger(self._count_down, SECOND_S, interval=True)
        self.table.bind(on_settle=lambda _table, work: settle(self.way, self.shaft, work))
        self.form.bind(timing=lambda _form, timing: self._stand(timing))
        self.form.bind(on_typed=lambda _form: self._show_next(), on_left=lambda _form: self.keep())

    def open(self, shaft: str) -> None:
        if shaft != self.shaft:
            self.shaft, self.page = shaft, None
            self.sides.name(shaft)
            self.table.rows, self.table.opened = [], ""
            self.form.begin({})
        self.middle.say("")
        self.again()

    def again(self) -> None:
        shaft, person = self.shaft, self.session.person
        self.session.ask(
            lambda place: asks.decision_page(place, asks.RELEASE, shaft, person),
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
        self.keep_typed(self.form.typed())

    @property
    def released(self) -> bool:
        """Whether a release holds."""
        return self.page is not None and str(self.page.evidence.state.status) == RELEASED

    @property
    def concrete_in(self) -> bool:
        """Whether concrete is in: there is nothing left to decide here."""
        return self.page is not None and self.page.evidence.view.concrete_in

    @property
    def wants_reason(self) -> bool:
        """Whether a release passes over something, and nobody wrote yet why."""
        page = self.page
        return page is not None and bool(page.evidence.against) and not self.form.reason.text.strip()

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
        self.middle.caution = "" if self.concrete_in else tr(words.CAUTION)
        self._stand(self.form.timing)
        self.stand(*how_it_stands(found))
        self._show_next()

    def _stand(self, timing: bool) -> None:
        """The evidence and the form, or the keys of a moment alone; with concrete in, the evidence alone."""
        stack = self.middle.ids.stack
        wanted = [self.form] if timing else [self.table, *([] if self.concrete_in else [self.form])]
        if list(reversed(stack.children)) != wanted:
            stack.clear_widgets()
            for each in wanted:
                stack.add_widget(each)
            self.middle.pages.scroller.scroll_y = 1.0
        self._show_next()

    def _show_next(self) -> None:
        strip, page = self.sides.strip, self.page
        strip.hold_next = False
        self._show_end()
        if page is None:
            strip.next_text = strip.second_text = ""
        elif self.released or self.concrete_in:
            strip.next_text = tr(words.TO_PAPERS)
            strip.second_text = "" if self.concrete_in else tr(words.WITHDRAW)
        elif self.form.timing:
            strip.next_text = tr(words.IS_OVER if self.form.is_over else words.DONE_WITH_TIME)
            strip.second_text = ""
        else:
            self._show_release(page)
        strip.next_able = self.free and not (self.form.timing and self.form.is_over)
        if strip.second_button is not None:
            strip.second_button.disabled = not self.free
        self._count_down()

    def _show_end(self) -> None:
        """Until when a release would hold, and what ends it then, beside whatever page is turned to."""
        form, page = self.form, self.page
        until, decided = form.until, self.released or self.concrete_in
        if page is None or until is None or decided or form.timing:
            self.ends.tell("", "")
            return
        why = tr(words.IS_OVER) if form.is_over else form.because
        self.ends.tell(tr(words.WOULD_HOLD), until_said(until, page.evidence.now), why)

    def _show_release(self, page: asks.DecisionPage) -> None:
        strip, until = self.sides.strip, self.form.until
        if until is None or self.form.is_over:
            strip.next_text = tr(words.SAY_UNTIL)
        elif self.wants_reason:
            strip.next_text = tr(words.REASON_FIRST)
        else:
            strip.next_text = tr(words.HOLD_TO_RELEASE, time=until_said(until, page.evidence.now))
            strip.hold_next = True
        strip.second_text = tr(words.HOLD)

    def _count_down(self, *_: object) -> bool:
        """How long the release still holds; once it is over the page is asked for anew."""
        page, strip = self.page, self.sides.strip
        if not self.released or page is None or page.evidence.state.until is None:
            self._ticking.cancel()
            return False
        until = page.evidence.state.until
        left = until - self.session.clock.now(page.evidence.zone)
        ran, self._runs = self._runs, left.total_seconds() > 0
        strip.clock = hours_minutes(until) if self._runs and not self.concrete_in else ""
        strip.clock_caption = tr(words.LEFT, left=remaining(left)) if strip.clock else ""
        strip.clock_note = ""  # another clock may have stood here, with what is left of that
        self._ticking()
        if not self._runs:
            self._ticking.cancel()
            if ran:  # with concrete in, a release that held is over for good: asking anew changes nothing
                self.again()
        return True

    def _next(self) -> None:
        until = self.form.until
        if self.released or self.concrete_in:
            self.way.go("papers", shaft=self.shaft)
        elif self.form.timing:
            self.form.close()
        elif until is None or self.form.is_over:
            self.form.open_until()
        elif self.wants_reason:
            self._to_reason()
        else:
            asked = asks.Asked(
                self.shaft, why=self.form.reason.text, conditions=self.form.conditions.text, until=until
            )
            self._decide(lambda place, by, key: asks.release_concrete(place, asked, by, key))

    def _second(self) -> None:
        if not self.form.reason.text.strip():
            self.middle.say(tr(words.TO_WITHDRAW if self.released else words.TO_HOLD), "due")
            self._to_reason()
            return
        asked = asks.Asked(self.shaft, why=self.form.reason.text)
        act = asks.withdraw_release if self.released else asks.hold_concrete
        self._decide(lambda place, by, key: act(place, asked, by, key))

    def _to_reason(self) -> None:
        """The reason, in view and in hand: nobody types a passphrase before it is written."""
        reason = self.form.reason
        self.middle.pages.bring(reason)
        reason.field.typing.focus = True

    def _decide(self, act: Act) -> None:
        self.keep()
        self.middle.say("")
        self.deciding.decide(act)

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
            self._to_reason()
        self._show_next()
