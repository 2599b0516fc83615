"""The frame that every screen stands in: bar, rail, middle, strip.

Landscape: rail | middle | strip under the bar.  Portrait: the rail is a row under the bar and the strip
a band at the bottom; the middle keeps its order.  A part that is None takes no room.

The ground of all of it is what the window is cleared to: a rectangle as large as the window would cost a
software renderer several milliseconds in every frame.
"""

from __future__ import annotations

from typing import Any, Final

from kivy.clock import Clock
from kivy.core.window import Window
from kivy.graphics import Rectangle
from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.boxed import Ground, Rule, UprightRule
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.theme import Theme, theme

STEPS: Final = 40
"""Of layout in a frame: a width goes down and heights come up again box by box, over 20 steps in a form."""
Clock.max_iteration = STEPS


class ShaftFrame(Ground):
    """Set ``bar``, ``rail`` (a Rail), ``middle`` and ``strip`` (a Strip); it places them."""

    bar = ObjectProperty(None, allownone=True)
    rail = ObjectProperty(None, allownone=True)
    middle = ObjectProperty(None, allownone=True)
    strip = ObjectProperty(None, allownone=True)
    rail_width = NumericProperty("216dp")
    strip_width = NumericProperty("316dp")
    portrait = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        theme.bind(ground=_lay_ground)  # the same function again is bound once
        _lay_ground(theme, theme.ground)
        for name in ("bar", "rail", "middle", "strip", "portrait"):
            self.fbind(name, self._arrange)
        for name in ("rail_width", "strip_width"):
            self.fbind(name, self._widen)
        self.fbind("size", self._judge)
        self._judge()
        self._arrange()

    def _judge(self, *_: object) -> None:
        self.portrait = self.height > self.width

    def _arrange(self, *_: object) -> None:
        for part in (self.bar, self.rail, self.middle, self.strip):
            if part is not None and part.parent is not None:
                part.parent.remove_widget(part)
        self.clear_widgets()
        if self.bar is not None:
            self.add_widget(self.bar)
        if self.rail is not None:
            self.rail.across = self.portrait
        if self.strip is not None:
            self.strip.compact = self.portrait
        (self._upright if self.portrait else self._level)()

    def _upright(self) -> None:
        for part in (self.rail, self.strip):
            if part is not None:
                part.size_hint_x = 1
        if self.rail is not None:
            self.add_widget(self.rail)
            self.add_widget(Rule())
        if self.middle is not None:
            self.add_widget(self.middle)
        if self.strip is not None:
            self.add_widget(Rule())
            self.add_widget(self.strip)

    def _level(self) -> None:
        body = BoxLayout(orientation="horizontal")
        if self.rail is not None:
            self.rail.size_hint_x = None
            body.add_widget(self.rail)
            body.add_widget(UprightRule())
        if self.middle is not None:
            body.add_widget(self.middle)
        if self.strip is not None:
            self.strip.size_hint_x = None
            body.add_widget(UprightRule())
            body.add_widget(self.strip)
        self.add_widget(body)
        self._widen()

    def _widen(self, *_: object) -> None:
        if not self.portrait:
            for part, width in ((self.rail, self.rail_width), (self.strip, self.strip_width)):
                if part is not None:
                    part.width = width


def _lay_ground(_theme: Theme, ground: list[float]) -> None:
    # Of one colour all over, what every plain shape is drawn with: its pixels need no mixing.
    plain = Rectangle().texture
    plain.min_filter = plain.mag_filter = "nearest"
    Window.clearcolor = ground
    Window.canvas.ask_update()


load_beside(__file__)
