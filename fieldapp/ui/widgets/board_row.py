"""The board: one row a shaft, made for thousands of rows of which a dozen are alive.

All that a row shows comes from its data; nothing is kept in the row.
"""

from __future__ import annotations

from kivy.properties import (
    BooleanProperty,
    ColorProperty,
    ListProperty,
    NumericProperty,
    ObjectProperty,
    OptionProperty,
    StringProperty,
)
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.recycleview import RecycleView
from kivy.uix.recycleview.views import RecycleDataViewBehavior
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.boxed import Boxed, Rule
from fieldapp.ui.widgets.cut import Cut
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.pages import TurnKeys
from fieldapp.ui.widgets.seam import Seamed
from fieldapp.ui.widgets.shapes import STATES
from fieldapp.ui.widgets.text import Fixed

REGISTERED = (Fixed, Rule)
RULE_PX = 4
LOW_LINES_EM = 30


class BoardRow(Seamed, RecycleDataViewBehavior, Boxed, BoxLayout):
    """Shaft, shape and word, stage, the next thing, the clock that matters."""

    em = NumericProperty("20sp")
    ems_of_one_line = NumericProperty(44)
    ems_of_low_lines = NumericProperty(LOW_LINES_EM)
    shaft = StringProperty("")
    stage = StringProperty("")
    shown = OptionProperty("", options=list(STATES))
    word = StringProperty("")
    next_text = StringProperty("")
    late = OptionProperty("", options=["", "due"])
    """The clock has run out: the sign of what is due stands beside it."""
    clock_caption = StringProperty("")
    clock = StringProperty("")
    stacked = BooleanProperty(False)
    wide = BooleanProperty(False)
    """A row on two lines is low: the next thing has room on one of them."""
    turned = BooleanProperty(False)
    printed = ColorProperty("#000000")

    def on_release(self) -> None:
        self.parent.recycleview.dispatch("on_shaft", self.shaft)


class BoardList(Cut, RecycleView):
    """Rows from ``data`` (dicts named like the properties of BoardRow); gives ``on_shaft(shaft)``."""

    __events__ = ("on_shaft",)
    em = NumericProperty("20sp")
    ems_of_one_line = NumericProperty(44)
    ems_of_low_lines = NumericProperty(LOW_LINES_EM)
    one_line = NumericProperty("72sp")
    low_lines = NumericProperty("72sp")
    two_lines = NumericProperty("104sp")
    stacked = BooleanProperty(False)
    wide = BooleanProperty(False)
    line = NumericProperty(1)
    """The height of a row."""

    def on_shaft(self, _shaft: str) -> None:
        pass


class BoardHead(BoxLayout):
    """The captions above the columns; the next thing has none when rows stand on two lines."""

    em = NumericProperty("20sp")
    ems_of_one_line = NumericProperty(44)
    least = NumericProperty("44dp")
    shaft_text = StringProperty("")
    standing_text = StringProperty("")
    stage_text = StringProperty("")
    next_text = StringProperty("")
    ems_of_low_lines = NumericProperty(LOW_LINES_EM)
    stacked = BooleanProperty(False)
    wide = BooleanProperty(False)


class Board(BoxLayout):
    """Captions, rows, and keys to turn the page when there are more; gives ``on_shaft(shaft)``."""

    __events__ = ("on_shaft",)
    data = ListProperty([])
    head = ObjectProperty(None)
    rows = ObjectProperty(None)

    def on_kv_post(self, _base: Widget) -> None:
        self.keys, self._rest = TurnKeys(), Widget()
        self.keys.bind(on_turn=lambda _keys, way: self._turn(way))
        self.rows.bind(scroll_y=lambda _view, place: setattr(self.keys, "place", place))
        self.rows.layout_manager.bind(height=self._judge)
        self.rows.bind(line=self._judge)
        self.head.bind(height=self._judge)
        self.bind(height=self._judge, data=self._show)
        self._show()

    def on_shaft(self, _shaft: str) -> None:
        pass

    def show(self, data: list[dict[str, str]]) -> None:
        """Show these rows; where the shafts are the same only their words change, and nothing is laid out."""
        if [each["shaft"] for each in data] != [each["shaft"] for each in self.data]:
            self.data = data
            return
        new = {each["shaft"]: each for each in data}
        for each in self.data:
            each.update(new[each["shaft"]])
        for row in self.rows.layout_manager.children:
            for name, text in new[row.shaft].items():
                setattr(row, name, text)

    def _show(self, *_: object) -> None:
        self.rows.data = list(self.data)

    def _judge(self, *_: object) -> None:
        """More rows than there is room for: whole ones only, and keys to turn the page."""
        room = self.height - self.head.height
        more = self.rows.layout_manager.height > room
        if more and self.keys.parent is None:
            self.add_widget(self._rest)
            self.add_widget(self.keys)
        elif not more and self.keys.parent is self:
            self.remove_widget(self.keys)
            self.remove_widget(self._rest)
            self.rows.size_hint_y = 1
            self.rows.scroll_y = 1.0
        if more:
            line = self.rows.line
            self.rows.size_hint_y = None
            self.rows.height = max(1, (room - self.keys.height - RULE_PX) // line) * line

    def _turn(self, way: int) -> None:
        """To the rows after the last one in view, or before the first."""
        hidden = self.rows.layout_manager.height - self.rows.height
        if hidden > 0:
            line = self.rows.line
            first = round((1.0 - self.rows.scroll_y) * hidden / line) * line + way * self.rows.height
            self.rows.scroll_y = 1.0 - min(hidden, max(0.0, first)) / hidden


load_beside(__file__)
