"""Rows of findings: a reason in the strip, and a requirement with what was shown and asked.

A tap goes to what settles it: bind ``on_release``; ``subject`` tells which row it was.
"""

from __future__ import annotations

from kivy.properties import (
    BooleanProperty,
    ColorProperty,
    NumericProperty,
    ObjectProperty,
    OptionProperty,
    StringProperty,
)
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.seam import Seamed
from fieldapp.ui.widgets.shapes import STATES


class ReasonRow(Seamed, Boxed, BoxLayout):
    """Shape and sentence, in the strip or under a field."""

    least = NumericProperty("72dp")
    shown = OptionProperty("", options=list(STATES))
    text = StringProperty("")
    subject = ObjectProperty(None, allownone=True)
    turned = BooleanProperty(False)


class FindingRow(Seamed, Boxed, BoxLayout):
    """One requirement in four columns; in a narrow place, or with large text, one under the other."""

    least = NumericProperty("72dp")
    em = NumericProperty("20sp")
    shown = OptionProperty("", options=list(STATES))
    title = StringProperty("")
    found = StringProperty("")
    asked = StringProperty("")
    when = StringProperty("")
    subject = ObjectProperty(None, allownone=True)
    turned = BooleanProperty(False)
    stacked = BooleanProperty(False)
    printed = ColorProperty("#000000")


load_beside(__file__)
