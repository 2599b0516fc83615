"""Ground, box and line: a line separates, a box is something to touch or type.

The ground is the colour that the window is cleared to (`fieldapp.ui.widgets.frame`), which costs nothing: a
software renderer pays for every pixel that is drawn over another.  So nothing here fills with the ground.
"""

from __future__ import annotations

from itertools import chain
from typing import Any, Final

from kivy.clock import Clock
from kivy.graphics import Color, Mesh
from kivy.properties import ColorProperty, NumericProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.theme import theme

_STRIP: Final = [0, 1, 2, 3, 4, 5, 6, 7, 0, 1]


class Boxed(Widget):
    """Draws a square-cornered frame of ``edge`` around a fill, both inside the widget.

    A fill in the colour of the ground is not drawn: the ground is there.  Nothing may lie behind such a box.
    """

    edge = NumericProperty("2dp")
    edge_color = ColorProperty("#00000000")
    fill_color = ColorProperty("#00000000")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        with self.canvas.before:
            self._edge_paint = Color()
            self._edge_mesh = Mesh(mode="triangle_strip", indices=_STRIP)
            self._fill_paint = Color()
            self._fill_mesh = Mesh(mode="triangle_fan", indices=_STRIP[:4])
        draw = Clock.create_trigger(self._draw_box, -1)
        for name in ("pos", "size", "edge", "edge_color", "fill_color"):
            self.fbind(name, draw)
        draw()

    def _draw_box(self, *_: object) -> None:
        edge = min(self.edge, self.width / 2, self.height / 2)
        framed = edge > 0 and self.edge_color[3] > 0
        filled = self.fill_color[3] > 0 and self.fill_color != theme.ground
        outer, inner = self._corners(0), self._corners(edge)
        self._edge_paint.rgba, self._fill_paint.rgba = self.edge_color, self.fill_color
        between = [corner for pair in zip(outer, inner, strict=True) for corner in pair] if framed else []
        self._edge_mesh.vertices = list(chain.from_iterable(between))
        self._fill_mesh.vertices = list(chain.from_iterable(inner)) if filled else []

    def _corners(self, inset: float) -> tuple[tuple[float, float, int, int], ...]:
        """Vertices of the rectangle so far inside of the widget: place, and none in a texture."""
        x, y = self.x + inset, self.y + inset
        right, top = self.x + self.width - inset, self.y + self.height - inset
        return (x, y, 0, 0), (right, y, 0, 0), (right, top, 0, 0), (x, top, 0, 0)


class Ground(BoxLayout):
    """A vertical box that stands on the ground of the window."""


class Hairline(Widget):
    """One pixel between two things in a list."""


class Rule(Widget):
    """Two pixels between two parts of a screen; in pages it stands with what is under it."""

    leads = True
    thick = NumericProperty("2dp")


class UprightRule(Widget):
    """Two pixels between two columns."""

    thick = NumericProperty("2dp")


load_beside(__file__)
