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
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.recycleview import RecycleView
from kivy.uix.recycleview.views import RecycleDataViewBehavior
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.boxed import Boxed, Rule
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.pages import TurnKeys, turn
from fieldapp.ui.widgets.shapes import STATES
from fieldapp.ui.widgets.text import Fixed

REGISTERED = (Fixed, Rule)


class BoardRow(ButtonBehavior, RecycleDataViewBehavior, Boxed, BoxLayout):
    """Shaft, shape and word, stage, the next thing, the clock that matters."""

    em = NumericProperty("20sp")
    ems_of_one_line = NumericProperty(44)
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
    turned = BooleanProperty(False)
    printed = ColorProperty("#000000")

    def on_release(self) -> None:
        self.parent.recycleview.dispatch("on_shaft", self.shaft)


class BoardList(RecycleView):
    """Rows from ``data`` (dicts named like the properties of BoardRow); gives ``on_shaft(shaft)``."""

    __events__ = ("on_shaft",)
    em = NumericProperty("20sp")
    ems_of_one_line = NumericProperty(44)
    one_line = NumericProperty("64sp")
    two_lines = NumericProperty("104sp")
    stacked = BooleanProperty(False)

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
    stacked = BooleanProperty(False)


class Board(BoxLayout):
    """Captions, rows, and keys to turn the page when there are more; gives ``on_shaft(shaft)``."""

    __events__ = ("on_shaft",)
    data = ListProperty([])
    head = ObjectProperty(None)
    rows = ObjectProperty(None)

    def on_kv_post(self, _base: Widget) -> None:
        self.keys = TurnKeys()
        self.keys.bind(on_turn=lambda _keys, way: turn(self.rows, self.rows.layout_manager.height, way))
        self.rows.bind(scroll_y=lambda _view, place: setattr(self.keys, "place", place))
        self.rows.layout_manager.bind(height=self._judge)
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
        more = self.rows.layout_manager.height > self.height - self.head.height
        if more and self.keys.parent is None:
            self.add_widget(self.keys)
        elif not more and self.keys.parent is self:
            self.remove_widget(self.keys)
            self.rows.scroll_y = 1.0


load_beside(__file__)
