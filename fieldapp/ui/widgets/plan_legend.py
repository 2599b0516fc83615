"""What the cells of the base plan mean: the classes of thickness with their ends, told without colour too."""

from __future__ import annotations

from typing import Any

from kivy.graphics import Color, Line
from kivy.properties import ColorProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.plan_cells import fill, fill_lines
from fieldapp.ui.widgets.text import Caption

REGISTERED = (Caption,)


class Swatch(Widget):
    """One class as a cell shows it."""

    thickness_class = NumericProperty(0)
    stroke = NumericProperty("2dp")
    line = ColorProperty("#000000")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for name in ("pos", "size", "thickness_class", "stroke", "line"):
            self.fbind(name, self._draw)
        self._draw()

    def _draw(self, *_: object) -> None:
        x, y, right, top = self.x, self.y, self.right, self.top
        corners = ((x, y), (right, y), (right, top), (x, top))
        self.canvas.clear()
        if self.width < 1 or self.height < 1:
            return
        with self.canvas:
            fill(corners, int(self.thickness_class))
            fill_lines(corners, int(self.thickness_class), self.stroke)
            Color(rgba=self.line)
            Line(rectangle=(x, y, self.width, self.height), width=1)


class LegendClass(BoxLayout):
    """A swatch with the end of its class under it."""

    thickness_class = NumericProperty(0)
    text = StringProperty("")


class PlanLegend(BoxLayout):
    """``classes`` are the texts of the classes, thin to thick; ``note`` stands under them."""

    classes = ListProperty([])
    note = StringProperty("")

    def on_kv_post(self, _base: Widget) -> None:
        self.fbind("classes", self._list)
        self._list()

    def _list(self, *_: object) -> None:
        row = self.ids.row
        row.clear_widgets()
        for at, text in enumerate(self.classes):
            row.add_widget(LegendClass(thickness_class=at, text=text))


load_beside(__file__)
