"""The inspector signs the log: what is not met, not shown and met is read to its end, then signed by hand.

The next thing turns the pages until the end was in view; only then there is something to sign.  Signing is
held down.  Until the desk begins to sign it can be stopped; after that the screen says that it cannot.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from fieldapp.ui import asks_decisions as asks
from fieldapp.ui.asks import By
from fieldapp.ui.screens.signoff_list import read_first
from fieldapp.ui.screens.signoff_middle import Signature, Written
from fieldapp.ui.screens.signoff_parts import SIGN, ReadToTheEnd
from fieldapp.ui.screens.signoff_screen import DecisionScreen
from fieldapp.ui.screens.signoff_stop import Stoppable
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.words import signoff as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.decisions.evidence import ReadFirst
    from fieldapp.desk.trust.roster import UnlockedKey
    from fieldapp.desk.workplace import Workplace


class SignoffScreen(DecisionScreen):
    """``open(shaft)``; the desk says who may sign."""

    kind = asks.SIGN
    yes_text = words.SIGN_ALL_THE_SAME
    others = words.OTHERS

    def __init__(self, session: Session, way: Walk, **kwargs: Any) -> None:
        super().__init__(session, way, **kwargs)
        self.signature = Signature(caption=tr(words.SIGNATURE), clear_text=tr(words.CLEAR))
        self.statement = Written(caption=tr(words.STATEMENT))
        self.reading = ReadToTheEnd(self.middle.pages, self._read)
        self.stoppable = Stoppable(self.middle.progress)
        self.page: asks.DecisionPage | None = None
        self.made: asks.SignedLog | None = None
        self._reader = ""
        self.signature.pad.bind(on_drawn=lambda _pad: self._show_next())
        self.statement.bind(
            on_typed=lambda _written, _text: self._show_next(), on_left=lambda _written: self.keep()
        )

    def open(self, shaft: str) -> None:
        self.shaft = shaft
        self.sides.name(shaft)
        self._begin_anew()
        self.again()

    def _begin_anew(self) -> None:
        """Nothing is read yet, and nothing drawn: every visit and every reader begins at the beginning."""
        self.page, self.made, self._reader = None, None, self.session.person
        self.middle.say("")
        self.middle.ids.stack.clear_widgets()
        self.reading.last, self.reading.done = None, False
        self.signature.pad.clear()

    def again(self) -> None:
        shaft = self.shaft
        if self._reader and self.session.person != self._reader:
            self._begin_anew()
        reader = self._reader = self.session.person
        self.session.ask(
            lambda place: asks.decision_page(place, asks.SIGN, shaft, reader),
            lambda page: self._show(shaft, page),
            self._refused,
        )

    def goes_back(self) -> bool:
        if self.middle.foot.close():
            return True
        self.keep()
        return False

    def keep(self) -> None:
        """Put the statement on disk, where it is not the usual one."""
        page, text = self.page, self.statement.text
        if page is not None and not self.made and text != page.typed.get("statement", page.statement):
            self.keep_typed({"statement": text})

    def _show(self, shaft: str, page: asks.DecisionPage) -> None:
        if shaft != self.shaft:
            return
        before = self.page
        self.page = page
        self.sides.fill(page.evidence.view, SIGN, clock_runs_only=True)
        self.sides.bar.subtitle = tr(words.TITLE)
        self.deciding.against = page.evidence.against
        if before is None or before.evidence.read_first != page.evidence.read_first:
            self._list(page.evidence.read_first)
        if before is None:
            self.statement.text = page.typed.get("statement") or tr(page.statement)
        self._say_first(page)
        self._show_next()

    def _say_first(self, page: asks.DecisionPage) -> None:
        signed = page.evidence.signed
        if signed and self.made is None:
            self.stand(tr(words.ALREADY, says=tr(signed)), "due")
        elif not self.reading.done:
            self.stand(tr(words.READ_FIRST), "due")
        else:
            self.stand(tr(words.READ), "met")

    def _read(self) -> None:
        if self.page is not None:
            self._say_first(self.page)
        self._show_next()

    def _list(self, found: ReadFirst) -> None:
        stack, rows = self.middle.ids.stack, read_first(found)
        stack.clear_widgets()
        stack.add_widget(rows)
        stack.add_widget(self.statement)
        self.middle.pages.scroller.scroll_y = 1.0
        self.reading.begin(rows)

    def _show_next(self) -> None:
        strip = self.sides.strip
        signing = self.reading.done and self.made is None and not self.busy
        if signing and self.signature.parent is None:
            strip.extra.add_widget(self.signature)
        elif not signing and self.signature.parent is not None:
            strip.extra.remove_widget(self.signature)
        strip.hold_next = signing and self.signature.pad.enough
        if self.page is None or self.busy:
            strip.next_text = ""
        elif self.made is not None:
            strip.next_text = tr(words.TO_RELEASE)
        elif not self.reading.done:
            strip.next_text = tr(words.READ_ON)
        else:
            strip.next_text = tr(words.HOLD_TO_SIGN if strip.hold_next else words.DRAW_FIRST)
        written = bool(self.statement.text.strip())
        strip.next_able = self.free and (not signing or (strip.hold_next and written))
        strip.second_text = tr(words.TO_PAPER) if self.made is not None else ""

    def _next(self) -> None:
        if self.made is not None:
            self.way.go("release", shaft=self.shaft)
        elif not self.reading.done:
            self.reading.turn()
        else:
            self._begin()

    def _second(self) -> None:
        if self.made is not None:
            self.way.go("paper", path=self.made.paper.path)

    def _begin(self) -> None:
        """Load what signing needs, with a way to stop; then sign."""
        asked = asks.Asked(self.shaft, why=self.statement.text.strip())
        signing = self.stoppable.begin(self.signature.pad.strokes)

        def act(place: Workplace, by: By, key: UnlockedKey) -> asks.SignedLog:
            return asks.sign_log(place, asked, signing, by, key)

        def ready(_key: UnlockedKey) -> None:
            self.middle.say("")
            self._at_work(True)
            self.session.ask(asks.ready_papers, lambda _ready: self.deciding.decide(act), self._refused)

        self.deciding.with_key(ready)

    def _at_work(self, busy: bool) -> None:
        self.stoppable.show(busy, words.CHECKING, words.SIGNING)
        super()._at_work(busy)

    def _decided(self, made: asks.SignedLog) -> None:
        self.made = made
        self.session.recorded(made.entry)
        self.signature.pad.clear()
        self.middle.pages.scroller.scroll_y = 1.0
        self.middle.say(tr(words.SIGNED, file=made.paper.path.name, note=tr(made.paper.note)).strip(), "met")
        self.again()

    def _refused(self, problem: Exception) -> None:
        self._at_work(False)
        self.middle.say(self.deciding.sentence(problem)[0], self.stoppable.shape)
