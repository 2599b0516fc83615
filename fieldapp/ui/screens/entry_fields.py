"""The boxes of an entry: caption and unit, what was typed, limit and likely range, and what is said of it."""

from __future__ import annotations

from kivy.properties import BooleanProperty, NumericProperty, OptionProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.shapes import STATES
from fieldapp.ui.widgets.text import Caption, Words

REGISTERED = (Caption, Notice, Words)


class EntryField(ButtonBehavior, Boxed, BoxLayout):
    """One box; it shows what it is given and judges nothing.  Tap it to take it in hand."""

    least = NumericProperty("72dp")
    name = StringProperty("")
    caption = StringProperty("")
    value = StringProperty("")
    number = BooleanProperty(False)
    """A number is printed large; words wrap."""
    limit = StringProperty("")
    likely = StringProperty("")
    before = StringProperty("")
    """What an amended entry says here, where it is changed."""
    says = StringProperty("")
    shown = OptionProperty("", options=list(STATES))
    active = BooleanProperty(False)


load_beside(__file__)
