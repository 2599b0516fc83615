"""A question in place, never a dialogue: a sentence and two answers side by side."""

from __future__ import annotations

from kivy.properties import BooleanProperty, StringProperty

from fieldapp.ui.widgets.boxed import Ground, Hairline
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.press import ActButton, PlainButton
from fieldapp.ui.widgets.shapes import StateShape
from fieldapp.ui.widgets.text import Words

REGISTERED = (ActButton, Hairline, PlainButton, StateShape, Words)


class Question(Ground):
    """Gives ``on_yes()`` or ``on_no()``; which is which stands on the buttons."""

    __events__ = ("on_yes", "on_no")
    text = StringProperty("")
    yes_text = StringProperty("")
    no_text = StringProperty("")
    told = BooleanProperty(True)
    """Whether its sentence stands over the answers; a long one may stand elsewhere."""

    def on_yes(self) -> None:
        pass

    def on_no(self) -> None:
        pass


load_beside(__file__)
