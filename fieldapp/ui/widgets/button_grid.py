"""Boxes of equal width to choose from, in as many columns as their words leave room for."""

from __future__ import annotations

from math import floor
from typing import Any

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.gridlayout import GridLayout

from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.measure import word_width
from fieldapp.ui.widgets.press import PlainButton


class GridButton(PlainButton):
    """One box of the grid; ``key`` is what it stands for."""

    key = StringProperty("")
    inset = NumericProperty("12dp")
    """Room beside its words, on either side."""


class ButtonGrid(GridLayout):
    """Give it ``items`` (key and text) and ``chosen``; gives ``on_choose(key)``."""

    __events__ = ("on_choose",)
    items = ListProperty([])
    chosen = StringProperty("")
    least = NumericProperty("64dp")
    full = NumericProperty("20sp")
    side_room = NumericProperty("32dp")
    inset = NumericProperty("12dp")
    gap = NumericProperty("12dp")
    one_column = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.fbind("items", self._build)
        self.fbind("chosen", self._mark)
        for name in ("width", "full", "gap", "one_column"):
            self.fbind(name, self._share)
        self._build()

    def button(self, key: str) -> GridButton:
        """The box of a key.  Raises StopIteration."""
        found: GridButton = next(each for each in self.children if each.key == key)
        return found

    def on_choose(self, _key: str) -> None:
        pass

    def _build(self, *_: object) -> None:
        if [key for key, _ in self.items] == [each.key for each in reversed(self.children)]:
            for (_, text), button in zip(self.items, reversed(self.children), strict=True):
                button.text = text
            self._share()
            return
        self.clear_widgets()
        for key, text in self.items:
            button = GridButton(key=key, text=text, full=self.full, least=self.least, inset=self.inset)
            button.bind(
                on_release=lambda tapped: self.dispatch("on_choose", tapped.key), texture_size=self._level
            )
            self.add_widget(button)
        self._mark()
        self._share()

    def _mark(self, *_: object) -> None:
        for each in self.children:
            each.chosen = bool(self.chosen) and each.key == self.chosen

    def _share(self, *_: object) -> None:
        if not self.children:
            return
        for each in self.children:
            each.full = self.full
        widest = max(word_width(each.text, self.full, True) for each in self.children) + self.side_room
        columns = 1 if self.one_column else max(1, floor((self.width + self.gap) / (widest + self.gap)))
        lines = -(-len(self.children) // columns)
        self.cols = -(-len(self.children) // lines)
        self._level()

    def _level(self, *_: object) -> None:
        buttons = self.children[::-1]
        for start in range(0, len(buttons), self.cols or 1):
            line = buttons[start : start + (self.cols or 1)]
            for each in line:
                each.share = max(other.texture_size[1] for other in line)


load_beside(__file__)
