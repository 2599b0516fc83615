"""Ground, box and line: a line separates, a box is something to touch or type."""

from __future__ import annotations

from kivy.properties import ColorProperty, NumericProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.loading import load_beside


class Boxed(Widget):
    """Draws a square-cornered frame of ``edge`` around a fill, both inside the widget."""

    edge = NumericProperty("2dp")
    edge_color = ColorProperty("#00000000")
    fill_color = ColorProperty("#00000000")


class Ground(BoxLayout):
    """A vertical box with an opaque ground, so that pictures of it are never transparent."""


class Hairline(Widget):
    """One pixel between two things in a list."""


class Rule(Widget):
    """Two pixels between two parts of a screen."""

    thick = NumericProperty("2dp")


class UprightRule(Widget):
    """Two pixels between two columns."""

    thick = NumericProperty("2dp")


load_beside(__file__)
