"""One entry in a list: what it is and says, who made it and when, and what became of it.

A struck entry is struck through and stays readable.  A tap opens it: bind ``on_release``.
"""

from __future__ import annotations

from kivy.properties import BooleanProperty, ColorProperty, NumericProperty, OptionProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.seam import Seamed
from fieldapp.ui.widgets.shapes import STATES, StateShape
from fieldapp.ui.widgets.text import Caption, Words

REGISTERED = (Caption, StateShape, Words)


class EntryBlock(Seamed, Boxed, BoxLayout):
    """Kind and summary; time and author stand on the right; ``marks`` under them with their shape."""

    least = NumericProperty("72dp")
    em = NumericProperty("20sp")
    entry = StringProperty("")
    title = StringProperty("")
    says = StringProperty("")
    when = StringProperty("")
    who = StringProperty("")
    marks = StringProperty("")
    shown = OptionProperty("", options=list(STATES))
    struck = BooleanProperty(False)
    turned = BooleanProperty(False)
    stacked = BooleanProperty(False)
    printed = ColorProperty("#000000")
    faint = ColorProperty("#000000")


load_beside(__file__)
