"""A column that may be longer than its place: it scrolls, and two keys do the same as the finger.

The keys appear only when something does not fit, so a short list keeps its calm.
"""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.loading import load_beside

PAGE_SHARE = 0.8


class Pages(BoxLayout):
    """Add widgets of their own height; they stand in ``content``."""

    content = ObjectProperty(None, allownone=True)
    scroller = ObjectProperty(None, allownone=True)
    keys = ObjectProperty(None, allownone=True)
    overflow = BooleanProperty(False)
    gap = NumericProperty(0)
    foot_height = NumericProperty("64dp")

    def on_kv_post(self, _base: Widget) -> None:
        self._held = self.keys.__self__  # an id alone is a weak reference, and the keys leave the tree
        self.bind(height=self._judge)
        self.content.bind(height=self._judge)
        self._judge()

    def add_widget(self, widget: Widget, *args: Any, **kwargs: Any) -> None:
        if self.content is None or widget is self.keys:
            super().add_widget(widget, *args, **kwargs)
        else:
            self.content.add_widget(widget, *args, **kwargs)

    def clear(self) -> None:
        self.content.clear_widgets()

    def turn(self, way: int) -> None:
        """Move by most of a page: 1 down, -1 up."""
        hidden = self.content.height - self.scroller.height
        if hidden > 0:
            step = way * PAGE_SHARE * self.scroller.height / hidden
            self.scroller.scroll_y = min(1.0, max(0.0, self.scroller.scroll_y - step))

    def _judge(self, *_: object) -> None:
        self.overflow = self.content.height > self.height + 1
        if self.overflow and self.keys.parent is None:
            self.add_widget(self.keys)
        elif not self.overflow and self.keys.parent is self:
            self.remove_widget(self.keys)
            self.scroller.scroll_y = 1.0


load_beside(__file__)
