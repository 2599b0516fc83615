"""Free text by the system's keyboard: it grows with what is written, and the hint stands where it will be."""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.textinput import TextInput
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.loading import load_beside

LONGEST = 2000


class Typing(TextInput):
    """The part that is written in; it takes no more than ``longest`` characters."""

    longest = NumericProperty(LONGEST)
    full = NumericProperty("20sp")

    def insert_text(self, substring: str, from_undo: bool = False) -> Any:
        room = max(0, int(self.longest) - len(self.text))
        return super().insert_text(substring[:room], from_undo=from_undo)


class TextField(Boxed, BoxLayout):
    """``text`` is what stands there; gives ``on_typed(text)`` for a change by hand, then ``on_left()``."""

    __events__ = ("on_typed", "on_left")
    text = StringProperty("")
    hint = StringProperty("")
    least = NumericProperty("64dp")
    long = BooleanProperty(False)
    """A long text begins with the room of several lines, and takes line breaks."""
    typing = ObjectProperty(None)

    def on_kv_post(self, _base: Widget) -> None:
        self.typing.bind(text=self._typed, focus=self._focus)
        self.fbind("text", self._show)
        self._show()

    def on_typed(self, _text: str) -> None:
        pass

    def on_left(self) -> None:
        pass

    def _show(self, *_: object) -> None:
        if self.typing.text != self.text:
            self.typing.text = self.text

    def _typed(self, _typing: Typing, text: str) -> None:
        if text != self.text:
            self.text = text
            self.dispatch("on_typed", text)

    def _focus(self, _typing: Typing, focused: bool) -> None:
        if not focused:
            self.dispatch("on_left")


load_beside(__file__)
