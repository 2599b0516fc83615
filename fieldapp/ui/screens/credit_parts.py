"""What a designer looks at: curves, the credit at two displacements, what is at stake, what reduces it.

It shows a `CreditView` in the chosen language and judges nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kivy.metrics import dp
from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.screens.signoff_middle import GroupHead, Stack
from fieldapp.ui.screens.signoff_parts import shown
from fieldapp.ui.widgets.boxed import Hairline, Rule
from fieldapp.ui.widgets.curve_chart import CurveChart
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.text import Caption, ListNumber, Words
from fieldapp.ui.words import credit as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.worth.credit_view import ChartView, CreditRow, CreditView

REGISTERED = (Caption, Hairline, ListNumber, Rule, Words)


@dataclass(frozen=True, slots=True)
class ShownCurve:
    """A curve with its name in the chosen language."""

    name: str
    points: tuple[tuple[float, float], ...]
    dash: str
    heavy: bool


class CreditSays(Caption):
    """What a credit is, over the rows of the table."""

    leads = True


class CreditLine(BoxLayout):
    """One row of the table; ``head`` prints it as captions."""

    em = NumericProperty("20sp")
    head = BooleanProperty(False)
    leads = BooleanProperty(False)
    stacked = BooleanProperty(False)
    name = StringProperty("")
    low = StringProperty("")
    best = StringProperty("")
    high = StringProperty("")
    load = StringProperty("")
    low_caption = StringProperty("")
    best_caption = StringProperty("")
    high_caption = StringProperty("")
    load_caption = StringProperty("")


def looked_at(credit: CreditView, *, beside: bool, numbers_wanted: bool = False) -> Iterator[Widget]:
    """Everything that is read before a credit is set; ``beside`` it stands what is at stake, or in it.

    ``numbers_wanted``: say where design numbers are added.
    """
    if credit.decided:
        yield Notice(shown="met", text=tr(words.DECIDED, says=tr(credit.decided)))
    yield from _not_shown(credit)
    if numbers_wanted:
        yield Words(text=tr(words.WHERE_WANTED))
    yield from map(chart, credit.charts[:1])
    if credit.rows:
        yield credit_table(credit)
    if credit.stake and not beside:
        yield GroupHead(text=tr(words.STAKE))
        yield ListNumber(text=credit.stake)
        yield from _sentences(credit.stake_says[:1])
    if credit.shares and credit.round_title:  # what they rest on, which may be an old round
        yield GroupHead(text=tr(credit.round_title))
    yield from _sentences((*credit.shares, *credit.load_tests, *credit.stake_says[1:]))
    if credit.reduces:
        yield _reduces(credit)
    yield from map(chart, credit.charts[1:])
    if credit.caveats:
        yield GroupHead(text=tr(words.HOW_FAR))
        yield from _sentences(credit.caveats)


def _reduces(credit: CreditView) -> Stack:
    rows = Stack(spacing=0)
    rows.add_widget(GroupHead(text=tr(words.REDUCES)))
    for found in credit.reduces:
        rows.add_widget(shown(found).block())
    return rows


def _not_shown(credit: CreditView) -> Iterator[Widget]:
    if not credit.missing:
        return
    if not credit.rows:
        yield Notice(shown="not shown", text=tr(words.NO_CREDIT))
    else:
        yield Caption(text=tr(words.WANTS))
    yield from (Words(text=tr(each), padding=(dp(40), 0, 0, 0)) for each in credit.missing)


def _sentences(texts: Iterable[str]) -> Iterator[Widget]:
    return (Words(text=tr(each)) for each in texts)


def chart(view: ChartView) -> CurveChart:
    """A chart of the desk as a widget."""
    return CurveChart(
        curves=[ShownCurve(tr(each.name), each.points, each.dash, each.heavy) for each in view.curves],
        band=view.band,
        uprights=[(x, tr(name)) for x, name in view.uprights],
        title=tr(view.title),
        x_title=tr(view.x_title),
    )


def credit_table(credit: CreditView) -> Stack:
    """Low, best and high at each displacement."""
    table = Stack(spacing=0)
    captions = {
        "low_caption": tr(words.LOW),
        "best_caption": tr(words.BEST),
        "high_caption": tr(words.HIGH),
        "load_caption": tr(words.AS_BUILT, unit=credit.force_unit),
    }
    table.add_widget(CreditSays(text=tr(words.CREDIT_IS), padding=(0, dp(8), 0, 0)))
    table.add_widget(CreditLine(head=True, name=tr(words.AT), **captions))
    table.add_widget(Rule())
    for each in credit.rows:
        table.add_widget(_line(each, captions))
        table.add_widget(Hairline())
    return table


def _line(row: CreditRow, captions: dict[str, str]) -> CreditLine:
    return CreditLine(name=tr(row.name), low=row.low, best=row.best, high=row.high, load=row.load, **captions)


load_beside(__file__)
