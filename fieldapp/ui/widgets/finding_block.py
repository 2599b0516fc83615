"""One requirement held against the record: what it is, what is shown, what is asked, when.

A tap opens the source of the limit under it and closes it again.
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


class FindingBlock(Seamed, Boxed, BoxLayout):
    """Requirement small above the sentence; the limit and the time stand on the right."""

    least = NumericProperty("72dp")
    em = NumericProperty("20sp")
    shown = OptionProperty("", options=list(STATES))
    title = StringProperty("")
    says = StringProperty("")
    asked = StringProperty("")
    when = StringProperty("")
    source = StringProperty("")
    opened = BooleanProperty(False)
    turned = BooleanProperty(False)
    stacked = BooleanProperty(False)
    printed = ColorProperty("#000000")
    faint = ColorProperty("#000000")

    def on_release(self) -> None:
        self.opened = bool(self.source) and not self.opened


load_beside(__file__)
