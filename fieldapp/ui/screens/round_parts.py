"""Parts of a round: the two depths of a point, the three numbers of the base, why there is no reading."""

from __future__ import annotations

from typing import Any

from kivy.properties import StringProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.figure import Figure
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.reading_field import ReadingField
from fieldapp.ui.words import round as words

REGISTERED = (Figure, Notice, ReadingField)


class RoundFields(BoxLayout):
    """First contact, firm with the thickness, and a sentence when something is to be said of them."""

    __events__ = ("on_field",)
    label = StringProperty("")
    unit = StringProperty("")
    active = StringProperty("")
    first = StringProperty("")
    firm = StringProperty("")
    thickness = StringProperty("")
    shown = StringProperty("")
    said = StringProperty("")
    refused = StringProperty("")

    def on_field(self, _name: str) -> None:
        pass


class RoundFigures(BoxLayout):
    """Share, largest and mean of the round so far."""


class Reasons(BoxLayout):
    """Why there is no reading: a question and a few large answers, in the place of the keys."""

    __events__ = ("on_reason",)
    label = StringProperty("")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for reason in words.REASONS:
            button = PlainButton(text=reason, least="72dp")
            button.bind(on_release=lambda _button, reason=reason: self.dispatch("on_reason", reason))
            self.add_widget(button)

    def on_reason(self, _reason: str) -> None:
        pass


load_beside(__file__)
