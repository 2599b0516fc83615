"""The top bar: back, where we are, and on the right what was saved last."""

from __future__ import annotations

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.boxed import Ground
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.measure import line_width
from fieldapp.ui.widgets.press import ArrowButton

REGISTERED = (ArrowButton,)


class Bar(Ground):
    """72 dp, or more when large text needs a second line; gives ``on_back()``."""

    __events__ = ("on_back",)
    least = NumericProperty("76dp")
    title = StringProperty("")
    subtitle = StringProperty("")
    right = StringProperty("")
    back_able = BooleanProperty(True)
    stacked = BooleanProperty(False)
    title_px = NumericProperty("28sp")
    reading_px = NumericProperty("20sp")
    title_width = NumericProperty(0)
    right_width = NumericProperty(0)

    def on_kv_post(self, _base: Widget) -> None:
        for name in ("title", "subtitle", "right", "width", "title_px", "reading_px"):
            self.fbind(name, self._measure)
        self._measure()

    def on_back(self) -> None:
        pass

    def _measure(self, *_: object) -> None:
        self.title_width = line_width(self.title, self.title_px, True) + 8
        self.right_width = line_width(self.right, self.reading_px) + 8
        second = line_width(self.subtitle, self.reading_px) + 8
        room = self.width - self.ids.back.width - self.ids.row.padding[0] - self.ids.row.padding[2]
        self.stacked = self.title_width + second + self.right_width + 2 * self.ids.row.spacing + 24 > room


load_beside(__file__)
