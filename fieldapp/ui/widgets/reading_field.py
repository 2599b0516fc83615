"""A box for one reading: caption and unit, the value, and its limit in view before the first key.

The active field has the blue frame.  A field shows what it is given; it judges nothing.
"""

from __future__ import annotations

from kivy.properties import BooleanProperty, NumericProperty, OptionProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.shapes import STATES


class ReadingField(ButtonBehavior, Boxed, BoxLayout):
    """Tap it to make it active: bind ``on_release``."""

    least = NumericProperty("96dp")
    caption = StringProperty("")
    unit = StringProperty("")
    value = StringProperty("")
    limit = StringProperty("")
    shown = OptionProperty("", options=list(STATES))
    value_px = NumericProperty("44sp")
    active = BooleanProperty(False)


load_beside(__file__)
