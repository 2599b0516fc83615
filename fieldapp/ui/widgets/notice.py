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

    def breaks(self) -> list[float]:
        """Where pages may part a sentence that is too high for them: under its lines, pixels from the top."""
        words = self.ids.words
        return [self.top - words.top + each for each in words.line_ends()]


load_beside(__file__)
