"""What a field for a picture is filled with: choose one, look at the one that is kept, leave it out."""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty
from kivy.uix.boxlayout import BoxLayout

from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.words import picture as words
from fieldapp.ui.words.tongue import tr


class PictureTool(BoxLayout):
    """Gives ``on_choose()``, ``on_look()``, ``on_away()``; ``kept`` when there is a picture."""

    __events__ = ("on_choose", "on_look", "on_away")
    kept = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.choose = PlainButton(full="24sp", least="96dp")
        self.look = PlainButton(text=tr(words.LOOK), full="20sp")
        self.away = PlainButton(text=tr(words.TAKE_AWAY), full="20sp")
        self.choose.bind(on_release=lambda _button: self.dispatch("on_choose"))
        self.look.bind(on_release=lambda _button: self.dispatch("on_look"))
        self.away.bind(on_release=lambda _button: self.dispatch("on_away"))
        self.fbind("kept", self._fill)
        self._fill()

    def on_choose(self) -> None:
        pass

    def on_look(self) -> None:
        pass

    def on_away(self) -> None:
        pass

    def _fill(self, *_: object) -> None:
        self.clear_widgets()
        self.choose.text = tr(words.CHOOSE_OTHER if self.kept else words.CHOOSE)
        for each in (self.choose, *((self.look, self.away) if self.kept else ())):
            self.add_widget(each)


load_beside(__file__)
