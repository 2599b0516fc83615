"""Things to press: 64 dp or more both ways, acting on release, never on a gesture alone."""

from __future__ import annotations

from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, SmoothLine
from kivy.input import MotionEvent
from kivy.properties import (
    BooleanProperty,
    BoundedNumericProperty,
    ColorProperty,
    NumericProperty,
    OptionProperty,
    StringProperty,
)
from kivy.uix.behaviors import ButtonBehavior, FocusBehavior
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.seam import Seamed
from fieldapp.ui.widgets.shapes import STATES
from fieldapp.ui.widgets.text import Fitted


class ActButton(ButtonBehavior, Boxed, Fitted):
    """The next thing: blue, 80 dp or more, one on a screen."""

    least = NumericProperty("80dp")
    share = NumericProperty(0)


class PlainButton(ButtonBehavior, Boxed, Fitted):
    """Another thing that can be done: a box.  ``chosen`` prints it in reverse, for a choice of few."""

    least = NumericProperty("64dp")
    share = NumericProperty(0)
    chosen = BooleanProperty(False)
    turned = BooleanProperty(False)


class Key(ButtonBehavior, Boxed, Fitted):
    """One key of the keypad; ``kind`` gives its ground, ``code`` is what it types."""

    code = StringProperty("")
    kind = OptionProperty("digit", options=["digit", "side", "next"])
    plain_fill = ColorProperty("#FFFFFF")
    plain_ink = ColorProperty("#000000")


class ArrowButton(ButtonBehavior, Boxed):
    """A chevron drawn as a line: back, up and down need no word and no font."""

    ink = ColorProperty("#000000")
    way = OptionProperty("left", options=["left", "up", "down"])
    stroke = NumericProperty("3dp")
    reach = NumericProperty("14dp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        with self.canvas:
            self._color = Color(rgba=(0, 0, 0, 1))
            self._line = SmoothLine(width=1, joint="miter", cap="square")
        for name in ("pos", "size", "way", "stroke", "reach", "ink"):
            self.fbind(name, self._draw)
        self._draw()

    def _draw(self, *_: object) -> None:
        # not center_x: Kivy may still hold the one of before when only the width has changed
        x, y, r = self.x + self.width / 2, self.y + self.height / 2, self.reach
        half = r / 2
        points = {
            "left": (x + half, y + r, x - half, y, x + half, y - r),
            "up": (x - r, y - half, x, y + half, x + r, y - half),
            "down": (x - r, y + half, x, y - half, x + r, y + half),
        }[self.way]
        self._line.points = points
        self._line.width = self.stroke
        self._color.rgba = self.ink


class RailRow(Seamed, Boxed, BoxLayout):
    """A stage of the shaft: shape and caption; under each other when ``upright``."""

    least = NumericProperty("72dp")
    share = NumericProperty(0)
    stage = StringProperty("")
    text = StringProperty("")
    shown = OptionProperty("", options=list(STATES))
    chosen = BooleanProperty(False)
    upright = BooleanProperty(False)
    turned = BooleanProperty(False)


class HoldButton(ActButton):
    """Acts when it was held for ``hold_s``, with the progress in view; letting go earlier does nothing.

    A hold also ends, without acting, when the button is taken away or may no longer be pressed.
    """

    __events__ = ("on_held",)
    hold_s = BoundedNumericProperty(1.0, min=0.1)
    progress = NumericProperty(0.0)
    bar = NumericProperty("12dp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for name in ("parent", "disabled"):
            self.fbind(name, self._give_up)

    def on_state(self, _button: HoldButton, state: str) -> None:
        Clock.unschedule(self._tick)
        self.progress = 0.0
        if state == "down":
            Clock.schedule_interval(self._tick, 0)

    def on_touch_move(self, touch: MotionEvent) -> bool:
        if touch.grab_current is self and not self.collide_point(*touch.pos):
            self.state = "normal"
        return bool(super().on_touch_move(touch))

    def _give_up(self, *_: object) -> None:
        if self.parent is None or self.disabled:
            self.state = "normal"

    def _tick(self, passed_s: float) -> bool:
        self.progress = min(1.0, self.progress + passed_s / self.hold_s)
        if self.progress < 1.0:
            return True
        self.state = "normal"
        self._keep_focus()
        self.dispatch("on_held")
        return False

    def _keep_focus(self) -> None:
        """What is focused by the hold stays so when the finger is lifted."""
        touch = self.last_touch
        if touch is not None and any(held() is self for held in touch.grab_list):
            FocusBehavior.ignored_touch.append(touch)

    def on_held(self) -> None:
        pass


load_beside(__file__)
