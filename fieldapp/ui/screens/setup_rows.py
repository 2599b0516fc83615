"""Rows of the office's lists: a shape where there is a state, a title, sentences, a value on the right."""

from __future__ import annotations

from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, OptionProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.boxed import Boxed, Hairline, Rule
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.seam import Seamed
from fieldapp.ui.widgets.shapes import STATES, StateShape
from fieldapp.ui.widgets.text import Caption, Title, Words

REGISTERED = (Caption, Hairline, Rule, StateShape, Title, Words)


class SetupRow(Seamed, Boxed, BoxLayout):
    """Tap it: bind ``on_release``; ``subject`` is whatever it stands for."""

    least = NumericProperty("72dp")
    em = NumericProperty("20sp")
    subject = ObjectProperty(None, allownone=True)
    shown = OptionProperty("", options=list(STATES))
    title = StringProperty("")
    says = StringProperty("")
    detail = StringProperty("")
    value = StringProperty("")
    indented = BooleanProperty(False)
    """Keeps the place of a shape, so that titles stand under each other."""
    turned = BooleanProperty(False)
    stacked = BooleanProperty(False)

    def breaks(self) -> list[float]:
        """Where pages may part a row that is too high for them: under its lines, pixels from the top."""
        texts = [each for each in reversed(self.ids.words.children) if each.text]
        ends = [self.top - each.top + end for each in texts for end in (*each.line_ends(), each.height)]
        return ends[:-1]


class SetupSays(Notice):
    """A sentence that stands in line with the rows."""


class SetupHead(BoxLayout):
    """A caption over the rows under it."""

    leads = True
    text = StringProperty("")


load_beside(__file__)
