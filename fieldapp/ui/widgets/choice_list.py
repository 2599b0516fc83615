"""One of a few words, or several of them: a large row each, a shape and the word, never a drop-down.

Up and down of a keyboard move through the rows; where one is chosen they choose it, where several are the
space key does.
"""

from __future__ import annotations

from typing import Any, Final

from kivy.graphics import Color, Ellipse, Rectangle, SmoothLine
from kivy.properties import BooleanProperty, ColorProperty, ListProperty, NumericProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.hardware_keys import DOWN, SPACE, UP, HardwareKeys
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.text import Words

REGISTERED = (Words,)
TICK: Final = (0.22, 0.52, 0.42, 0.30, 0.80, 0.74)


class ChoiceMark(Widget):
    """A ring or, where several may be chosen, a box: open, or filled when chosen."""

    chosen = BooleanProperty(False)
    several = BooleanProperty(False)
    ink = ColorProperty("#000000")
    ground = ColorProperty("#FFFFFF")
    stroke = NumericProperty("2dp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for name in ("chosen", "several", "ink", "ground", "stroke", "pos", "size"):
            self.fbind(name, self._draw)
        self._draw()

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        side, edge = min(self.width, self.height), self.stroke
        with self.canvas:
            Color(rgba=self.ink)
            if not self.several:
                middle = (self.x + side / 2, self.y + side / 2)
                SmoothLine(circle=(*middle, side / 2 - edge), width=edge)
                if self.chosen:
                    Ellipse(pos=(self.x + side * 0.26, self.y + side * 0.26), size=(side * 0.48, side * 0.48))
                return
            Rectangle(pos=self.pos, size=(side, side))
            inside = 0 if self.chosen else edge * 1.5
            Color(rgba=self.ink if self.chosen else self.ground)
            Rectangle(pos=(self.x + inside, self.y + inside), size=(side - 2 * inside, side - 2 * inside))
            if self.chosen:
                Color(rgba=self.ground)
                placed = [(self.x, self.y)[i % 2] + part * side for i, part in enumerate(TICK)]
                SmoothLine(points=placed, width=edge * 1.2, cap="square", joint="miter")


class ChoiceRow(ButtonBehavior, Boxed, BoxLayout):
    """One word."""

    least = NumericProperty("64dp")
    value = StringProperty("")
    text = StringProperty("")
    chosen = BooleanProperty(False)
    several = BooleanProperty(False)
    here = BooleanProperty(False)
    """The keyboard stands on it."""
    turned = BooleanProperty(False)


class ChoiceList(BoxLayout):
    """``options`` are pairs of value and word, ``chosen`` the values; gives ``on_choice(chosen)``.

    Tapping a chosen word again takes it back, unless one is ``needed``.
    """

    __events__ = ("on_choice",)
    options = ListProperty([])
    chosen = ListProperty([])
    several = BooleanProperty(False)
    needed = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.rows: dict[str, ChoiceRow] = {}
        self._here = -1
        self.keys = HardwareKeys(self, self.press)
        self.fbind("options", self._list)
        for name in ("chosen", "several"):
            self.fbind(name, self._mark)
        self._list()

    def on_choice(self, _chosen: list[str]) -> None:
        pass

    def press(self, code: int) -> bool:
        """A key of a keyboard; True when it meant something here."""
        if code in {UP, DOWN} and self.rows:
            self._here = max(0, min(len(self.rows) - 1, self._here + (1 if code == DOWN else -1)))
            self._mark()
            if not self.several:
                self._take(list(self.rows)[self._here])
            return True
        if code == SPACE and self.several and self._here >= 0:
            self.toggle(list(self.rows)[self._here])
            return True
        return False

    def toggle(self, value: str) -> None:
        """What a tap on a row does."""
        if value in self.chosen:
            if self.several or not self.needed:
                self._give([each for each in self.chosen if each != value])
        else:
            self._take(value)

    def _take(self, value: str) -> None:
        kept = self.chosen if self.several else []
        self._give([each for each in self.rows if each == value or each in kept])

    def _give(self, chosen: list[str]) -> None:
        if chosen != self.chosen:
            self.chosen = chosen
            self.dispatch("on_choice", chosen)

    def _list(self, *_: object) -> None:
        self.clear_widgets()
        self.rows, self._here = {}, -1
        for value, word in self.options:
            row = ChoiceRow(value=value, text=word)
            row.bind(on_release=lambda tapped: self.toggle(tapped.value))
            self.rows[value] = row
            self.add_widget(row)
        self._mark()

    def _mark(self, *_: object) -> None:
        for index, (value, row) in enumerate(self.rows.items()):
            row.several, row.chosen, row.here = self.several, value in self.chosen, index == self._here


load_beside(__file__)
