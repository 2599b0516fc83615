"""The board: one row a shaft, made for thousands of rows of which a dozen are alive.

All that a row shows comes from its data (`row_data`); nothing is kept in the row.
"""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty, ColorProperty, NumericProperty, OptionProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.recycleview import RecycleView
from kivy.uix.recycleview.views import RecycleDataViewBehavior

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.shapes import STATES
from fieldapp.ui.widgets.text import Fixed, ListNumber

REGISTERED = (Fixed, ListNumber)


class BoardRow(ButtonBehavior, RecycleDataViewBehavior, Boxed, BoxLayout):
    """Shaft, shape and word, the next thing, the clock that matters."""

    em = NumericProperty("20sp")
    ems_of_one_line = NumericProperty(44)
    shaft = StringProperty("")
    shown = OptionProperty("", options=list(STATES))
    word = StringProperty("")
    next_text = StringProperty("")
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

    def __init__(self, **kwargs: Any) -> None:
        rows = kwargs.pop("data", [])  # Kivy loses rows handed in before its data model exists
        super().__init__(**kwargs)
        self.data = rows

    def on_shaft(self, _shaft: str) -> None:
        pass


class BoardHead(BoxLayout):
    """The captions above the columns; the next thing has none when rows stand on two lines."""

    em = NumericProperty("20sp")
    ems_of_one_line = NumericProperty(44)
    least = NumericProperty("44dp")
    shaft_text = StringProperty("shaft")
    standing_text = StringProperty("base standing")
    next_text = StringProperty("next")
    stacked = BooleanProperty(False)


load_beside(__file__)
