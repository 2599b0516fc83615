"""One calm sentence in place: what was refused, what a reading means, what is not shown."""

from __future__ import annotations

from kivy.properties import OptionProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.shapes import STATES, StateShape
from fieldapp.ui.widgets.text import Words

REGISTERED = (StateShape, Words)


class Notice(BoxLayout):
    """Shape and sentence; without a sentence it takes no room."""

    shown = OptionProperty("", options=list(STATES))
    text = StringProperty("")


load_beside(__file__)
