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

    def breaks(self) -> list[float]:
        """Where pages may part a row that is too high for them: under its lines, pixels from the top."""
        words = self.ids.words
        return [self.top - words.top + each for each in words.line_ends()]


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
