"""The designer decides what a base counts for: first what it is worth, then the disposition, held down.

Where there is no credit its wants stand in the place of the curves.  Who may decide is the desk's to say.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldapp.ui import asks_decisions as asks
from fieldapp.ui.screens.credit_form import REDUCED, CreditForm
from fieldapp.ui.screens.credit_parts import credit_table, looked_at
from fieldapp.ui.screens.signoff_middle import Aside
from fieldapp.ui.screens.signoff_parts import CREDIT
from fieldapp.ui.screens.signoff_screen import DecisionScreen
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.words import credit as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.record.entry import Entry


class CreditScreen(DecisionScreen):
    """``open(shaft)``."""

    kind = asks.CREDIT
    yes_text = words.DECIDE_ALL_THE_SAME
    caution = words.ESTIMATE
    others = words.OTHERS

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(session, way, **kwargs)
        self.form = CreditForm()
        self.stake = Aside(self.sides.strip)
        self.page: asks.CreditPage | None = None
        self.setting = False
        self.stake.bind(fits=lambda _aside, _fits: self._fill())
        self.form.bind(on_typed=lambda _form: self._show_next(), on_left=lambda _form: self.keep())

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
        shaft, person = self.shaft, self.session.person
        self.session.ask(
            lambda place: asks.credit_page(place, shaft, person),
            lambda page: self._show(shaft, page),
            self._refused,
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
        self.keep_typed(self.form.typed())

    def _show(self, shaft: str, page: asks.CreditPage) -> None:
        if shaft != self.shaft:
            return
        before, self.page = self.page, page
        self.sides.fill(page.view, CREDIT, clock_runs_only=True)
        if before is None:
            self.form.begin(page.typed, page.credit.short_unit, page.credit.strength)
        if before is None or before.credit != page.credit or not self.setting:
            self._fill()
        stake = page.credit.stake_says[0] if page.credit.stake else ""
        self.stake.tell(tr(words.STAKE), page.credit.stake, tr(stake))
        self.stand("", "")
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
            numbers_wanted = bool(page.to_amend)
            for each in looked_at(page.credit, beside=self.stake.fits, numbers_wanted=numbers_wanted):
                stack.add_widget(each)
        self.middle.pages.scroller.scroll_y = 1.0

    def _show_next(self) -> None:
        strip, form = self.sides.strip, self.form
        ready = self.setting and bool(form.decision) and not form.missing and bool(form.why.text.strip())
        strip.hold_next = ready
        if self.page is None:
            strip.next_text = ""
        elif not self.setting:
            strip.next_text = tr(words.TO_PAPERS if self._is_decided else words.SET_CREDIT)
        elif ready:
            strip.next_text = self._to_hold()
        elif form.missing:
            strip.next_text = tr(words.NEEDED, caption=form.boxes[form.missing].caption)
        elif form.decision:
            strip.next_text = tr(words.WHY_FIRST)
        else:
            strip.next_text = tr(words.CHOOSE)
        strip.next_able = self.free and (not self.setting or bool(form.decision))
        strip.second_text = tr(self._second_says())

    def _second_says(self) -> str:
        if self.setting:
            return words.SEE_CURVES if self.page is not None and self.page.credit.rows else words.SEE_WANTS
        if self._is_decided:
            return words.SET_ANEW
        return words.ADD_NUMBERS if self._wants_numbers else ""

    @property
    def _wants_numbers(self) -> bool:
        """Whether there is no credit for want of numbers that whoever holds the tablet may add."""
        return self.page is not None and bool(self.page.to_amend) and not self.page.other_role

    @property
    def _is_decided(self) -> bool:
        return self.page is not None and bool(self.page.credit.decided)

    def _to_hold(self) -> str:
        form = self.form
        if form.decision != REDUCED:
            return tr(words.HOLD_TO_DECIDE, decision=tr(words.DECISIONS[form.decision]))
        texts = {name: box.value for name, box in form.boxes.items()}
        return tr(words.HOLD_TO_REDUCE, unit=form.unit, **texts)

    def _second(self) -> None:
        if self._wants_numbers and not self.setting and not self._is_decided and self.page is not None:
            self.way.go("entry", shaft=self.shaft, amend=self.page.to_amend)
        else:
            self._turn()

    def _turn(self) -> None:
        self.setting = not self.setting
        self.middle.say("")
        self._fill()
        self._show_next()

    def _next(self) -> None:
        form = self.form
        if not self.setting and self._is_decided:
            self.way.go("papers", shaft=self.shaft)
        elif not self.setting:
            self._turn()
        elif form.missing:
            form.take(form.missing)
        elif form.decision and not form.why.text.strip():
            self._to_why()
        elif form.decision:
            self._decide()

    def _to_why(self) -> None:
        why = self.form.why
        self.middle.pages.bring(why)
        why.field.typing.focus = True

    def _decide(self) -> None:
        form = self.form
        texts = {name: box.value for name, box in form.boxes.items()}
        asked = asks.Asked(self.shaft, what=form.decision, why=form.why.text, unit=form.unit, **texts)
        self.keep()
        self.middle.say("")
        self.deciding.decide(lambda place, by, key: asks.dispose_base(place, asked, by, key))

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
            self._to_why()
        self._show_next()
