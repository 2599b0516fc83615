"""A column that may be longer than its place: it scrolls, and two keys do the same as the finger.

The keys appear only when something does not fit, so a short list keeps its calm.
"""

from __future__ import annotations

from typing import Any, Final

from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.press import ArrowButton

REGISTERED = (ArrowButton,)
PAGE_SHARE: Final = 0.8


class TurnKeys(BoxLayout):
    """Up and down, faint at the ends; gives ``on_turn(way)``, 1 down and -1 up."""

    __events__ = ("on_turn",)
    place = NumericProperty(1.0)

    def on_turn(self, _way: int) -> None:
        pass


def turn(scroller: ScrollView, content_height: float, way: int) -> None:
    """Move a scroll view by most of a page."""
    hidden = content_height - scroller.height
    if hidden > 0:
        step = way * PAGE_SHARE * scroller.height / hidden
        scroller.scroll_y = min(1.0, max(0.0, scroller.scroll_y - step))


class Pages(BoxLayout):
    """Add widgets of their own height; they stand in ``content``."""

    content = ObjectProperty(None, allownone=True)
    scroller = ObjectProperty(None, allownone=True)
    overflow = BooleanProperty(False)
    gap = NumericProperty(0)

    def on_kv_post(self, _base: Widget) -> None:
        self.keys = TurnKeys()
        self.keys.bind(on_turn=lambda _keys, way: turn(self.scroller, self.content.height, way))
        self.scroller.bind(scroll_y=lambda _view, place: setattr(self.keys, "place", place))
        self.bind(height=self._judge)
        self.content.bind(height=self._judge)
        self._judge()

    def add_widget(self, widget: Widget, *args: Any, **kwargs: Any) -> None:
        if self.content is None or isinstance(widget, TurnKeys):
            super().add_widget(widget, *args, **kwargs)
        else:
            self.content.add_widget(widget, *args, **kwargs)

    def clear(self) -> None:
        self.content.clear_widgets()

    def _judge(self, *_: object) -> None:
        self.overflow = self.content.height > self.height + 1 and self.height > self.keys.height
        if self.overflow and self.keys.parent is None:
            self.add_widget(self.keys)
        elif not self.overflow and self.keys.parent is self:
            self.remove_widget(self.keys)
            self.scroller.scroll_y = 1.0


load_beside(__file__)
