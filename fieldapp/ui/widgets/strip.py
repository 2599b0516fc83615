"""The strip, the conscience of the screen: standing, reasons in order, the clock, the next thing.

Landscape: a column on the right.  ``compact`` (portrait): a band at the bottom that opens upwards.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from kivy.properties import (
    BooleanProperty,
    ListProperty,
    NumericProperty,
    ObjectProperty,
    OptionProperty,
    StringProperty,
)
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.finding_row import ReasonRow
from fieldapp.ui.widgets.hold_button import KeyedHoldButton
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.measure import wrapped_height
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.press import ActButton, ArrowButton, PlainButton
from fieldapp.ui.widgets.shapes import STATES

REGISTERED = (Pages, ActButton, ArrowButton, PlainButton)


@dataclass(frozen=True, slots=True)
class Reason:
    """One line of the strip: a state, a sentence, and what ``on_reason`` gives when it is tapped."""

    shown: str
    text: str
    subject: Hashable = None


class Strip(Ground):
    """Give it words and reasons; it gives ``on_reason(subject)``, ``on_next()`` and ``on_second()``."""

    __events__ = ("on_reason", "on_next", "on_second")
    caption = StringProperty("")
    shown = OptionProperty("", options=list(STATES))
    word = StringProperty("")
    reasons = ListProperty([])
    clock_caption = StringProperty("")
    clock = StringProperty("")
    clock_note = StringProperty("")
    second_text = StringProperty("")
    next_text = StringProperty("")
    next_able = BooleanProperty(True)
    hold_next = BooleanProperty(False)
    """The next thing must be held for a second, by finger or enter key: for a release and for a signature."""
    compact = BooleanProperty(False)
    opened = BooleanProperty(False)
    tight = BooleanProperty(False)
    """Large text left too little room for the reasons: the clock stands after them, on the same pages."""
    cramped = BooleanProperty(False)
    """Even so the reasons could not be read: the two buttons are written smaller."""
    least_pages = NumericProperty("150dp")
    full_px = NumericProperty("24sp")
    small_px = NumericProperty("17sp")
    open_height = NumericProperty("320dp")
    pages = ObjectProperty(None)
    extra = ObjectProperty(None)
    """An empty box between reasons and clock, for what one screen alone needs."""
    foot = ObjectProperty(None)

    _next: ActButton | None = None
    _second: PlainButton | None = None

    def on_kv_post(self, _base: Widget) -> None:
        self.fbind("reasons", self._list_reasons)
        for name in ("next_text", "second_text", "hold_next"):
            self.fbind(name, self._fill_foot)
        self._times = self.ids.times.__self__  # kept alive while it moves from the column into the pages
        for part in (self, self.ids.head, self._times, self.foot, self.extra):
            part.fbind("height", self._judge)
        for name in ("compact", "width"):
            self.fbind(name, self._judge)
        self.fbind("tight", self._move_times)
        for name in ("cramped", "full_px", "small_px"):
            self.fbind(name, self._size_foot)
        self._list_reasons()
        self._fill_foot()

    @property
    def next_button(self) -> ActButton | None:
        return self._next

    @property
    def second_button(self) -> PlainButton | None:
        return self._second

    def on_reason(self, _subject: Hashable) -> None:
        pass

    def on_next(self) -> None:
        pass

    def on_second(self) -> None:
        pass

    def _judge(self, *_: object) -> None:
        rest = (self.ids.head, self._times, self.foot, self.extra)
        self.tight = not self.compact and self.height - sum(part.height for part in rest) < self.least_pages
        left = self.height - self.ids.head.height - self.extra.height - self._full_foot()
        self.cramped = not self.compact and left < self.least_pages

    def _full_foot(self) -> float:
        """How high the foot is when its buttons are written in full size."""
        high: float = self.foot.padding[1]
        if self._second is not None:
            inset = self._second.parent.padding
            high += self.foot.spacing + _height(self._second, self.full_px, self.width - inset[0] - inset[2])
        return high + (_height(self._next, self.full_px, self.width) if self._next is not None else 0.0)

    def _size_foot(self, *_: object) -> None:
        for each in (self._second, self._next):
            if each is not None:
                each.full = self.small_px if self.cramped else self.full_px

    def _move_times(self, *_: object) -> None:
        self._times.parent.remove_widget(self._times)
        if self.tight:
            self.pages.add_widget(self._times)
        else:
            self.add_widget(self._times, index=self.children.index(self.foot.__self__) + 1)

    def _list_reasons(self, *_: object) -> None:
        self.pages.clear()
        for reason in self.reasons:
            row = ReasonRow(shown=reason.shown, text=reason.text, subject=reason.subject)
            row.bind(on_release=lambda tapped: self.dispatch("on_reason", tapped.subject))
            self.pages.add_widget(row)
        if self.tight:
            self.pages.add_widget(self._times)

    def _fill_foot(self, *_: object) -> None:
        self.foot.clear_widgets()
        self._next = self._second = None
        if self.second_text:
            self._second = SecondButton(text=self.second_text)
            self._second.bind(on_release=lambda *_: self.dispatch("on_second"))
            self.foot.add_widget(_inset(self._second))
        if self.next_text:
            self._next = (KeyedHoldButton if self.hold_next else ActButton)(text=self.next_text)
            event = "on_held" if self.hold_next else "on_release"
            self._next.bind(**{event: lambda *_: self.dispatch("on_next")})
            self._next.disabled = not self.next_able
            self.foot.add_widget(self._next)
        self._size_foot()
        self._judge()

    def on_next_able(self, _strip: Strip, able: bool) -> None:
        if self._next is not None:
            self._next.disabled = not able


class SecondButton(PlainButton):
    """The other thing that can be done, above the next."""


class Inset(BoxLayout):
    """Keeps a box away from the edges of its column."""


def _height(button: ActButton | PlainButton, full_px: float, width: float) -> float:
    left, top, right, low = button.padding
    text = wrapped_height(button.text, full_px, True, max(1.0, width - left - right))
    return float(max(button.least, text + top + low))


def _inset(button: PlainButton) -> Inset:
    holder = Inset()
    holder.add_widget(button)
    return holder


load_beside(__file__)
