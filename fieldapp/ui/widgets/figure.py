"""A number that matters, with its caption under it."""

from __future__ import annotations

from kivy.properties import NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.text import Caption, Number

REGISTERED = (Caption, Number)


class Figure(BoxLayout):
    """``number`` large, ``caption`` small; the height follows."""

    number = StringProperty("")
    caption = StringProperty("")
    number_px = NumericProperty("34sp")


load_beside(__file__)
