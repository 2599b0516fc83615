"""The designer decides what a base counts for: first what it is worth, then the disposition, held down.

Where there is no credit its wants stand in the place of the curves.  Who may decide is the desk's to say.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.uix.screenmanager import Screen

from fieldapp.ui import asks_decisions as asks
from fieldapp.ui.screens.credit_form import CreditForm
from fieldapp.ui.screens.credit_parts import credit_table, looked_at
from fieldapp.ui.screens.sides import Sides
from fieldapp.ui.screens.signoff_middle import DecisionMiddle
from fieldapp.ui.screens.signoff_parts import CREDIT, to_stage
from fieldapp.ui.screens.unlock_first import Deciding
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.words import credit as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.record.entry import Entry


class CreditScreen(Screen):
    """``open(shaft)``."""

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.session, self.way = session, way
        self.shaft = ""
        self.middle = DecisionMiddle(caution=tr(words.ESTIMATE))
        self.sides = Sides(session, self.middle, lambda stage: to_stage(way, self.shaft, stage))
        self.add_widget(self.sides.frame)
        self.form = CreditForm()
        self.deciding = Deciding(session, way, self.middle.foot, self._decided, self._refused)
        self.deciding.yes_text = words.DECIDE_ALL_THE_SAME
        self.deciding.at_work = self._at_work
        self.page: asks.CreditPage | None = None
        self.setting, self.busy = False, False
        self._listen()

    def _listen(self) -> None:
        strip = self.sides.strip
        self.sides.bar.bind(on_back=lambda _bar: self.way.back())
        strip.bind(on_next=lambda _strip: self._next(), on_second=lambda _strip: self._turn())
        self.form.bind(on_typed=lambda _form: self._show_next(), on_left=lambda _form: self.keep())
        self.middle.foot.bind(on_asking=lambda _foot, _asking: self._show_next())

    @property
    def keypad(self) -> object:
        """The keys of the form."""
        return self.form.keypad

    def open(self, shaft: str) -> None:
        if shaft != self.shaft:
            self.shaft, self.page, self.setting = shaft, None, False
            self.sides.name(shaft)
            self.middle.ids.stack.clear_widgets()
        self.middle.say("")
        self.again()

    def again(self) -> None:
        shaft = self.shaft
        self.session.ask(
            lambda place: asks.credit_page(place, shaft), lambda page: self._show(shaft, page), self._refused
        )

    def goes_back(self) -> bool:
        if self.middle.foot.close():
            return True
        self.keep()
        if self.setting:
            self._turn()
            return True
        return False

    def keep(self) -> None:
        """Put what is written on disk."""
        page, typed = self.page, self.form.typed()
        if page is None or typed == page.typed:
            return
        page.typed.clear()
        page.typed.update(typed)
        self.session.ask(
            lambda place: asks.keep_decision(place, asks.CREDIT, self.shaft, typed),
            self.session.kept,
            self._refused,
        )

    def _show(self, shaft: str, page: asks.CreditPage) -> None:
        if shaft != self.shaft:
            return
        before, self.page = self.page, page
        self.sides.fill(page.view, CREDIT, clock_runs_only=True)
        if before is None:
            self.form.begin(page.typed, page.credit.short_unit, page.credit.strength)
        if before is None or before.credit != page.credit or not self.setting:
            self._fill()
        self._show_next()

    def _fill(self) -> None:
        """The one page or the other."""
        page, stack = self.page, self.middle.ids.stack
        stack.clear_widgets()
        if page is None:
            return
        if self.setting:
            stack.add_widget(self.form)
            if page.credit.rows:
                stack.add_widget(credit_table(page.credit))
        else:
            for each in looked_at(page.credit):
                stack.add_widget(each)
        self.middle.pages.scroller.scroll_y = 1.0

    def _show_next(self) -> None:
        strip, form = self.sides.strip, self.form
        free = self.page is not None and self.middle.foot.question is None and not self.busy
        ready = self.setting and bool(form.decision) and not form.missing
        strip.hold_next = ready
        if self.page is None:
            strip.next_text = ""
        elif not self.setting:
            strip.next_text = tr(words.SET_CREDIT)
        elif ready:
            strip.next_text = tr(words.HOLD_TO_DECIDE, decision=tr(words.DECISIONS[form.decision]))
        elif form.missing:
            strip.next_text = tr(words.NEEDED, caption=form.boxes[form.missing].caption)
        else:
            strip.next_text = tr(words.CHOOSE)
        strip.next_able = free and (not self.setting or bool(form.decision))
        strip.second_text = tr(words.SEE_CURVES) if self.setting else ""

    def _turn(self) -> None:
        self.setting = not self.setting
        self.middle.say("")
        self._fill()
        self._show_next()

    def _next(self) -> None:
        form = self.form
        if not self.setting:
            self._turn()
        elif form.missing:
            form.take(form.missing)
        elif form.decision:
            self._decide()

    def _decide(self) -> None:
        form = self.form
        texts = {name: box.value for name, box in form.boxes.items()}
        asked = asks.Asked(self.shaft, what=form.decision, why=form.why.text, unit=form.unit, **texts)
        self.keep()
        self.middle.say("")
        self.deciding.decide(lambda place, by, key: asks.dispose_base(place, asked, by, key))

    def _at_work(self, busy: bool) -> None:
        self.busy = busy
        self._show_next()

    def _decided(self, entry: Entry) -> None:
        self.session.recorded(entry)
        self.setting = False
        self.page = None
        self.again()

    def _refused(self, problem: Exception) -> None:
        said, name = self.deciding.sentence(problem)
        self.middle.say(said)
        if name in self.form.boxes:
            self.form.take(name)
        elif name == "why":
            self.form.why.field.typing.focus = True
        self._show_next()
