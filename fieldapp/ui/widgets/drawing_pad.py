"""A box to draw in with a finger or the mouse: the strokes of a signature, as points, never as a picture.

Points lie in a unit square, x to the right and y up, both by the same measure: the longer side of the box
is 1.  What leaves the box ends at its edge.
"""

from __future__ import annotations

from typing import Any, Final

from kivy.graphics import Color, SmoothLine
from kivy.input import MotionEvent
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.text import Caption

REGISTERED = (Caption, PlainButton)
FEWEST: Final = 3
MOST: Final = 1600
"""Points; as text they stay below the 20,000 characters that an entry takes."""
NEAREST: Final = 0.004
Stroke = tuple[tuple[float, float], ...]


class DrawingSheet(Boxed):
    """The box itself; ``strokes`` in unit measure."""

    __events__ = ("on_drawn",)
    ink = ColorProperty("#000000")
    pen = NumericProperty("3dp")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.strokes: list[list[tuple[float, float]]] = []
        for name in ("pos", "size", "ink", "pen"):
            self.fbind(name, self._draw)

    def on_drawn(self) -> None:
        pass

    def on_touch_down(self, touch: MotionEvent) -> bool:
        if self.disabled or not self.collide_point(*touch.pos) or self._count() >= MOST:
            return bool(super().on_touch_down(touch))
        touch.grab(self)
        self.strokes.append([self._place(*touch.pos)])
        self._draw()
        return True

    def on_touch_move(self, touch: MotionEvent) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_move(touch))
        self._follow(touch)
        return True

    def on_touch_up(self, touch: MotionEvent) -> bool:
        if touch.grab_current is not self:
            return bool(super().on_touch_up(touch))
        touch.ungrab(self)
        self._follow(touch)
        self.dispatch("on_drawn")
        return True

    def _follow(self, touch: MotionEvent) -> None:
        x, y = self._place(*touch.pos)
        last_x, last_y = self.strokes[-1][-1]
        if abs(x - last_x) + abs(y - last_y) >= NEAREST and self._count() < MOST:
            self.strokes[-1].append((x, y))
            self._draw()

    def _count(self) -> int:
        return sum(len(each) for each in self.strokes)

    def _place(self, x: float, y: float) -> tuple[float, float]:
        longer = max(self.width, self.height, 1)
        inside_x = min(max(x - self.x, 0), self.width) / longer
        inside_y = min(max(y - self.y, 0), self.height) / longer
        return round(inside_x, 3), round(inside_y, 3)

    def _draw(self, *_: object) -> None:
        self.canvas.after.clear()
        longer = max(self.width, self.height)
        with self.canvas.after:
            Color(rgba=self.ink)
            for stroke in self.strokes:
                dots = stroke if len(stroke) > 1 else [stroke[0], (stroke[0][0] + NEAREST, stroke[0][1])]
                points = [(self.x, self.y)[i] + part * longer for at in dots for i, part in enumerate(at)]
                SmoothLine(points=points, width=self.pen, cap="round", joint="round")


class DrawingPad(BoxLayout):
    """A sheet and a button that clears it; gives ``on_drawn()`` after each stroke and after clearing."""

    __events__ = ("on_drawn",)
    caption = StringProperty("")
    clear_text = StringProperty("clear")
    sheet_height = NumericProperty("180dp")
    enough = BooleanProperty(False)
    """At least three points were drawn."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.sheet: Widget = self.ids.sheet
        self.sheet.bind(on_drawn=lambda _sheet: self._tell())
        self.ids.wipe.bind(on_release=lambda _button: self.clear())

    @property
    def strokes(self) -> tuple[Stroke, ...]:
        """Each stroke as its points ``(x, y)``, from 0 to 1; nothing while there are too few."""
        return tuple(tuple(each) for each in self.sheet.strokes) if self.enough else ()

    @property
    def text(self) -> str:
        """The strokes as an entry keeps them: ``0.100,0.200 0.110,0.230;0.500,0.400``."""
        return ";".join(" ".join(f"{x:.3f},{y:.3f}" for x, y in stroke) for stroke in self.strokes)

    def clear(self) -> None:
        """Take everything away that was drawn."""
        self.sheet.strokes.clear()
        self.sheet.canvas.after.clear()
        self._tell()

    def on_drawn(self) -> None:
        pass

    def _tell(self) -> None:
        self.enough = sum(len(each) for each in self.sheet.strokes) >= FEWEST
        self.dispatch("on_drawn")


load_beside(__file__)
