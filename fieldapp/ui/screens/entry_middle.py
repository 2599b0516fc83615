"""The middle of an entry: its boxes, what is said of the whole, a line over time, and the tool in hand.

It shows and gives events; what they mean is decided by the screen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from typing import TYPE_CHECKING, Any

from kivy.clock import Clock
from kivy.properties import ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.desk.entry_forms.form import OBSERVED_AT, Ask
from fieldapp.ui.entry_typing import BARE, NUMBERS, EntryTyping, apart
from fieldapp.ui.moments import day_and_time, hours_minutes
from fieldapp.ui.screens.entry_fields import EntryField
from fieldapp.ui.screens.entry_tools import EntryTools
from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.foot import Foot
from fieldapp.ui.widgets.line_chart import Dot, LineChart
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.measure import wrapped_height
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.text import Caption, Words
from fieldapp.ui.words import entry as words
from fieldapp.ui.words import picture as picture_words
from fieldapp.ui.words.tongue import degrees, tr, tr_count

if TYPE_CHECKING:
    from fieldapp.desk.entry_forms.form import FieldAnswer, FormField
    from fieldapp.desk.shaft.head_line import HeadLine
    from fieldapp.ui.asks_entry import EntryPage

CAUTION_SHARE = 0.3
SHOWN = 12
"""So many letters of a picture's digest are shown."""
UNBROKEN = "\N{NO-BREAK SPACE}"
REGISTERED = (BoxLayout, Foot, Notice, Pages, Words)


class Heading(Caption):
    """Stands on one page with what is under it."""

    leads = True


class EntryMiddle(Ground):
    """Gives ``on_field(name)`` when a box is tapped."""

    __events__ = ("on_field",)
    shown = StringProperty("")
    said = StringProperty("")
    least_chart = NumericProperty("140sp")
    most_chart = NumericProperty("320dp")
    cautions = ListProperty([])
    """What hurts people here: at the foot, and what finds no room there at large text under the boxes."""
    caution_px = NumericProperty("20sp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.fields: dict[str, EntryField] = {}
        self.tools = EntryTools()
        self.now: Callable[[], datetime] | None = None
        self.chart: LineChart | None = None
        self._fit = Clock.create_trigger(self._fit_chart)
        self._reach = Clock.create_trigger(self._bring_in_view)
        pages = self.ids.tool_pages
        pages.add_widget(self.tools, index=len(pages.content.children))
        for part in (pages, self.tools):
            part.bind(height=self._fit)
        for part in (self.ids.field_pages, self.ids.field_pages.content):
            part.bind(height=self._reach)  # a tablet that is turned keeps the box in hand in view
        for name in ("cautions", "caution_px", "size"):
            self.fbind(name, self._fit_cautions)

    @property
    def keypad(self) -> object:
        """The keys that are in view: those of a moment, or those of a number."""
        moment = self.tools.moment
        return moment.keypad if moment.parent is self.tools else self.tools.keypad

    def begin(self) -> None:
        """Nothing is known yet of the entry."""
        self.ids.foot.close()
        self.say("", "")
        self.fields, self.chart = {}, None
        for holder in (self.ids.fields, self.ids.facts, self.ids.beside, self.tools):
            holder.clear_widgets()

    def show_form(self, page: EntryPage, typing: EntryTyping) -> None:
        self.begin()
        for box in typing.boxes:
            made = EntryField(name=box.name, number=box.ask in (*NUMBERS, Ask.MOMENT))
            made.limit = degrees(tr(box.limit))
            made.bind(on_release=lambda tapped: self.dispatch("on_field", tapped.name))
            self.fields[box.name] = made
            self.ids.fields.add_widget(made)
        if page.heads is not None:
            self._show_heads(page.heads)
        self.show_texts(typing)
        self.answer(page.answers)

    def show_texts(self, typing: EntryTyping) -> None:
        """What stands in every box, and which one is in hand."""
        for box in typing.boxes:
            made, text = self.fields[box.name], typing.text(box.name)
            made.active = box.name == typing.name
            shown = text or (typing.text("ended_at") if box.name == OBSERVED_AT else "")
            made.caption, made.value = self._caption(box, text), self._value(box, shown)
            made.likely = "" if text else _likely(box)  # in view before the first key
            before = typing.was(box.name)
            made.before = ""
            if before is not None:
                made.before = (
                    tr(words.SAID_BEFORE, before=self._value(box, before))
                    if before
                    else tr(words.SAID_NOTHING)
                )

    def show_tool(self, typing: EntryTyping, alone: bool = False) -> None:
        """The tool of the box in hand, and the box in view; ``alone``: no other box follows."""
        box = typing.box
        self.tools.show(box, typing.typed.fields.get(box.name, ""), box.name in typing.watched(), alone)
        self.ids.tool_pages.scroller.scroll_y = 1.0
        self._reach()

    def show_reason(self, box: FormField, text: str) -> None:
        """The reason of a strike in place of the box in hand."""
        for made in self.fields.values():
            made.active = False
        self.tools.show(box, text, alone=True)
        self.write_reason(box, text)

    def write_reason(self, box: FormField, text: str) -> None:
        """The box of the reason says what it is for while an entry is struck, and what was typed."""
        made = self.fields[box.name]
        made.active, made.caption, made.value = True, self._caption(box, text), self._value(box, text)
        self._reach()

    def answer(self, answers: Iterable[FieldAnswer]) -> None:
        """What the desk says: beside the box that it is about, or under the boxes."""
        self.ids.facts.clear_widgets()
        for made in self.fields.values():
            made.shown = made.says = ""
        for each in answers:
            if each.name in self.fields:
                box = self.fields[each.name]
                box.shown, box.says = each.outcome, tr(each.says)
            else:
                self.ids.facts.add_widget(Notice(shown=each.outcome, text=tr(each.says)))
        self._reach()

    def refuse(self, text: str, name: str) -> None:
        """Say in place what cannot be: beside its box, or above all of them."""
        made = self.fields.get(name)
        if made is None:
            self.say("not met", text)
        else:
            made.shown, made.says = "not met", text

    def say(self, shown: str, text: str) -> None:
        self.shown, self.said = shown, text

    def forget(self, name: str) -> None:
        """A box is being typed again: what was said of it holds no more."""
        self.fields[name].shown = self.fields[name].says = ""
        self.say("", "")

    def on_field(self, _name: str) -> None:
        pass

    def _bring_in_view(self, *_: object) -> None:
        pages = self.ids.field_pages
        made = next((each for each in self.fields.values() if each.active), None)
        if made is not None and pages.overflow:
            pages.bring(made)

    def _fit_cautions(self, *_: object) -> None:
        width, room = max(1.0, self.ids.foot.width), self.height * CAUTION_SHARE
        lines, least = list(self.cautions), 1
        while len(lines) > least and wrapped_height("\n".join(lines), self.caution_px, False, width) > room:
            lines.pop()
        self.ids.foot.caution = "\n".join(lines)
        self.ids.more_cautions.text = "\n".join(self.cautions[len(lines) :])

    def _fit_chart(self, *_: object) -> None:
        """The line takes the room that the tool leaves."""
        pages, chart = self.ids.tool_pages, self.chart
        if chart is not None:
            rest = pages.content.height - chart.height
            chart.height = max(self.least_chart, min(self.most_chart, pages.height - rest))

    def _caption(self, box: FormField, text: str) -> str:
        caption = tr(box.caption)
        unit = apart(box, text)[1] if box.ask is Ask.READING else ""
        if unit and unit not in BARE - {"ft-in"}:
            caption = tr(words.WITH_UNIT, caption=caption, unit=degrees(unit))
        return tr(words.NEEDED, caption=caption) if box.needed and not text else caption

    def _value(self, box: FormField, text: str) -> str:
        if not text:
            return tr(words.NOW) if box.name == OBSERVED_AT else ""
        if box.ask is Ask.READING:
            return apart(box, text)[0]
        if box.ask is Ask.PICTURE:
            return tr(picture_words.KEPT, digest=text[:SHOWN])
        if box.ask is Ask.MOMENT:
            return self._moment(datetime.fromisoformat(text))
        known = {each.value: tr(each.caption) for each in box.options}
        if box.ask is Ask.YES_NO:
            known = {"yes": tr(words.YES), "no": tr(words.NO)} | known
        if box.ask in {Ask.CHOICE, Ask.SEVERAL, Ask.YES_NO}:
            return ", ".join(known.get(each, each) for each in text.split("\n"))
        return known.get(text, text)  # a text that was suggested reads as it was tapped

    def _moment(self, moment: datetime) -> str:
        if self.now is None:
            return day_and_time(moment)
        present = self.now()
        moment = moment.astimezone(present.tzinfo)
        return (hours_minutes if moment.date() == present.date() else day_and_time)(moment)

    def _show_heads(self, heads: HeadLine) -> None:
        beside = self.ids.beside
        beside.add_widget(Heading(text=tr(words.HEAD_OVER_TIME)))
        if not heads.points:
            beside.add_widget(Notice(shown="not shown", text=tr(words.NO_HEAD_YET)))
            return
        chart = LineChart(
            level=heads.level, level_text=tr(heads.level_text), unit=heads.unit, gap_s=heads.gap_s
        )
        self.chart = chart
        chart.dots = [Dot(each.at, each.head, each.outcome) for each in heads.points]
        beside.add_widget(chart)
        self._fit()
        if heads.unknown:
            beside.add_widget(Notice(shown="not shown", text=tr_count(*words.HEADS_UNKNOWN, heads.unknown)))


def _likely(box: FormField) -> str:
    if box.plausible is None:
        return ""
    low, high = (each.replace(" ", UNBROKEN) for each in box.plausible)
    unit = "" if box.unit in BARE else f"{UNBROKEN}{box.unit}"
    return degrees(tr(words.LIKELY, low=low, high=f"{high}{unit}"))


load_beside(__file__)
