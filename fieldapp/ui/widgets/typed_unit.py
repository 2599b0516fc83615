"""A reading that looks as if it was typed in another unit: the sentence, and one tap to take that unit."""

from __future__ import annotations

from typing import Any

from kivy.properties import ListProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.press import PlainButton

REGISTERED = (Notice,)


class TypedUnit(BoxLayout):
    """Without a sentence it takes no room; ``units`` are pairs of a unit and what stands on its button.

    Gives ``on_take(unit)``.
    """

    __events__ = ("on_take",)
    text = StringProperty("")
    units = ListProperty([])

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for name in ("text", "units"):
            self.fbind(name, self._offer)
        self._offer()

    def buttons(self) -> list[PlainButton]:
        """The buttons on offer, in the order of the units."""
        return [each for each in reversed(self.children) if isinstance(each, PlainButton)]

    def on_take(self, _unit: str) -> None:
        pass

    def _offer(self, *_: object) -> None:
        for each in self.buttons():
            self.remove_widget(each)
        for unit, words in self.units if self.text else ():
            button = PlainButton(text=words)
            button.bind(on_release=lambda _button, unit=unit: self.dispatch("on_take", unit))
            self.add_widget(button)


load_beside(__file__)
