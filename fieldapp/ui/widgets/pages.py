"""A column that may be longer than its place: it scrolls, and two keys do the same as the finger.

The keys appear only when something does not fit, so a short list keeps its calm.  The keys turn by
whole rows: no row is cut by the edge of the page unless it is higher than its place.  A high child that
says its ``breaks()``, in pixels down from its upper edge, is parted there only.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kivy.clock import Clock
from kivy.metrics import sp
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.cut import Cut
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.press import ArrowButton
from fieldapp.ui.widgets.whole_rows import LEAST_SHARE, NEAR_PX, Paging, Row

REGISTERED = (ArrowButton,)
HOLDER_SP = 160
"""A box of rows is as high; what is lower is one row."""


class TurnKeys(BoxLayout):
    """Up and down, faint at the ends; gives ``on_turn(way)``, 1 down and -1 up."""

    __events__ = ("on_turn",)
    place = NumericProperty(1.0)

    def on_turn(self, _way: int) -> None:
        pass


class PageView(Cut, ScrollView):
    """The place in which the content of a page goes up and down."""


class Pages(BoxLayout):
    """Add widgets of their own height; they stand in ``content``."""

    content = ObjectProperty(None, allownone=True)
    scroller = ObjectProperty(None, allownone=True)
    overflow = BooleanProperty(False)
    gap = NumericProperty(0)

    def __init__(self, **kwargs: Any) -> None:
        self.keys, self._rest = TurnKeys(), Widget()  # before what stands in the pages is added by a rule
        super().__init__(**kwargs)

    def on_kv_post(self, _base: Widget) -> None:
        self._start = 0.0
        self._lay = Clock.create_trigger(self._place)
        self.keys.bind(on_turn=lambda _keys, way: self._turn(way))
        self.scroller.bind(scroll_y=self._scrolled)
        self.bind(height=self._relaid)
        self.content.bind(height=self._relaid, children=self._judge)
        self._judge()

    def add_widget(self, widget: Widget, *args: Any, **kwargs: Any) -> None:
        if self.content is None or widget in (self.keys, self._rest):
            super().add_widget(widget, *args, **kwargs)
        else:
            self.content.add_widget(widget, *args, **kwargs)

    def clear(self) -> None:
        self.content.clear_widgets()

    def bring(self, widget: Widget) -> None:
        """Turn to the page that has this widget of the content in view."""
        if self.overflow:
            paging, row = self._paging(), self._edges(widget)
            self._start = paging.showing(self._start, row)
            if not paging.begins_whole(self._start):  # from inside of a high row
                self._start = min(paging.last, row[0])
            self._lay()

    def _judge(self, *_: object) -> None:
        self.overflow = self.content.height > self.height + 1 and self.height > self.keys.height
        if self.overflow and self.keys.parent is None:
            self.add_widget(self._rest)
            self.add_widget(self.keys)
        elif not self.overflow and self.keys.parent is self:
            self.remove_widget(self.keys)
            self.remove_widget(self._rest)
            self.scroller.size_hint_y = 1
            self._start, self.scroller.scroll_y = 0.0, 1.0
        self._lay()

    def _relaid(self, *_: object) -> None:
        """Other heights, as when the tablet is turned: the page begins with a whole row again."""
        self._judge()
        if self.overflow:
            self._start = self._paging().whole(self._start)

    def _turn(self, way: int) -> None:
        paging = self._paging()
        self._start = paging.after(self._start) if way > 0 else paging.before(self._start)
        self._place()

    def _place(self, *_: object) -> None:
        if not self.overflow:
            return
        self._start, high = self._paging().page(self._start)
        self.scroller.size_hint_y, self.scroller.height = None, high
        hidden = self.content.height - high
        self.scroller.scroll_y = 1.0 - self._start / hidden if hidden > 0 else 1.0

    def _scrolled(self, _view: object, place: float) -> None:
        """By a finger, or by a screen that wants to be elsewhere: that is where the page begins now."""
        self.keys.place = place
        start = (1.0 - place) * (self.content.height - self.scroller.height)
        if self.overflow and abs(start - self._start) > NEAR_PX:
            self._start = max(0.0, start)
            self._lay()

    def _paging(self) -> Paging:
        room = max(1.0, self.height - self.keys.height)
        return Paging(list(self._rows(self.content, room)), self.content.height, room)

    def _rows(self, holder: Widget, room: float) -> Iterator[Row]:
        begins: float | None = None
        for child in reversed(holder.children):
            held = isinstance(child, BoxLayout) and not isinstance(child, ButtonBehavior)
            if (
                held
                and child.orientation == "vertical"
                and child.height > min(sp(HOLDER_SP), LEAST_SHARE * room)
            ):
                yield from self._rows(child, room)
            elif child.height > 1 and child.opacity > 0:
                top, low = self._edges(child)
                if getattr(child, "leads", False):  # a heading stands with what follows
                    begins = top if begins is None else begins
                    continue
                for end in self._breaks(child, room, top):
                    yield top if begins is None else begins, end
                    top, begins = end, None
                yield top if begins is None else begins, low
                begins = None
        if begins is not None:
            yield begins, self._edges(holder)[1]

    def _breaks(self, child: Widget, room: float, top: float) -> list[float]:
        """Where a high child may be parted: under a row of its keys, or under a line of its text."""
        if child.height <= LEAST_SHARE * room or not hasattr(child, "breaks"):
            return []
        return [top + each for each in child.breaks() if 0 < each < child.height]

    def _edges(self, widget: Widget) -> Row:
        return self.content.top - widget.top, self.content.top - widget.y


load_beside(__file__)
