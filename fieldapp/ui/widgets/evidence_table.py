"""Stages with what is shown, asked and when; a tap opens the findings of a stage under its row.

It shows what it is given.  Under an opened row stands what can be done about it, as buttons.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.boxed import Rule
from fieldapp.ui.widgets.finding_block import FindingBlock
from fieldapp.ui.widgets.finding_row import FindingRow
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.text import Caption

REGISTERED = (Caption, Rule)


@dataclass(frozen=True, slots=True)
class Shown:
    """One finding as it stands under its row: state, requirement, sentence, limit, time, source."""

    state: str
    title: str
    says: str
    asked: str = ""
    when: str = ""
    source: str = ""

    def block(self) -> FindingBlock:
        """The finding as a row of its own; a tap shows the source of its limit."""
        return FindingBlock(
            shown=self.state,
            title=self.title,
            says=self.says,
            asked=self.asked,
            when=self.when,
            source=self.source,
        )


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row; ``settles`` are pairs of what a button gives and what stands on it."""

    subject: str
    state: str
    title: str
    found: str
    asked: str
    when: str
    findings: tuple[Shown, ...] = ()
    settles: tuple[tuple[str, str], ...] = ()


class TableHead(BoxLayout):
    """Captions over the columns; gone where the columns stand one under the other."""

    leads = True
    em = NumericProperty("20sp")
    stacked = BooleanProperty(False)
    shown_text = StringProperty("")
    asked_text = StringProperty("")
    when_text = StringProperty("")


class Opened(BoxLayout):
    """What stands under an opened row."""


class SettleButton(PlainButton):
    """Leads to the entry that would settle what is not met or not shown."""


class EvidenceTable(BoxLayout):
    """Give it ``rows`` (`TableRow`); it gives ``on_settle(code)``.  One row is open at a time."""

    __events__ = ("on_settle",)
    rows = ListProperty([])
    opened = StringProperty("")
    shown_text = StringProperty("")
    asked_text = StringProperty("")
    when_text = StringProperty("")

    def __init__(self, **kwargs: object) -> None:
        super().__init__(**kwargs)
        for name in ("rows", "opened"):
            self.fbind(name, self._build)
        self._build()

    def on_settle(self, _code: str) -> None:
        pass

    def row(self, subject: str) -> FindingRow:
        """The row of a subject, as it stands in the table."""
        return next(
            each for each in self.children if isinstance(each, FindingRow) and each.subject == subject
        )

    def _build(self, *_: object) -> None:
        self.clear_widgets()
        self.add_widget(
            TableHead(shown_text=self.shown_text, asked_text=self.asked_text, when_text=self.when_text)
        )
        self.add_widget(Rule())
        for each in self.rows:
            made = FindingRow(
                shown=each.state,
                title=each.title,
                found=each.found,
                asked=each.asked,
                when=each.when,
                subject=each.subject,
            )
            made.bind(on_release=lambda tapped: self._tapped(tapped.subject))
            self.add_widget(made)
            if each.subject == self.opened and each.findings:
                self.add_widget(self._under(each.findings, each.settles))

    def _tapped(self, subject: str) -> None:
        self.opened = "" if self.opened == subject else subject

    def _under(self, findings: Sequence[Shown], settles: Sequence[tuple[str, str]]) -> Opened:
        holder = Opened()
        for each in findings:
            holder.add_widget(each.block())
        for code, text in settles:
            button = SettleButton(text=text)
            button.bind(on_release=lambda _button, code=code: self.dispatch("on_settle", code))
            holder.add_widget(button)
        return holder


load_beside(__file__)
