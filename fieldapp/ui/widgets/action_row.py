"""Buttons side by side at the foot of a column, as high as the highest, the next thing last."""

from __future__ import annotations

from typing import Any

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.loading import load_beside


class ActionRow(BoxLayout):
    """Add buttons of `press`; give each its ``size_hint_x``."""

    def add_widget(self, widget: Widget, *args: Any, **kwargs: Any) -> None:
        super().add_widget(widget, *args, **kwargs)
        widget.fbind("texture_size", self._level)
        self._level()

    def _level(self, *_: object) -> None:
        for button in self.children:
            button.share = max(each.texture_size[1] for each in self.children)


load_beside(__file__)
