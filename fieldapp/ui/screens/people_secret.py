"""A passphrase while it is typed: unseen until somebody asks, never copied, gone when it is forgotten."""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty, NumericProperty, ObjectProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui.widgets.boxed import Boxed
from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.press import PlainButton
from fieldapp.ui.widgets.text import Caption
from fieldapp.ui.widgets.text_field import Typing

REGISTERED = (Caption, PlainButton)
LONGEST = 256


class Secret(Typing):
    """The part that is written in; nothing in it reaches the clipboard, and no keyboard learns it."""

    def copy(self, *_: Any, **__: Any) -> None:
        pass

    def cut(self, *_: Any, **__: Any) -> None:
        pass


class SecretBox(Boxed, BoxLayout):
    """The frame around what is typed."""


class SecretField(BoxLayout):
    """Caption, box and a button that shows it; gives ``on_typed()`` and, for enter, ``on_done()``."""

    __events__ = ("on_typed", "on_done")
    caption = StringProperty("")
    show_text = StringProperty("")
    hide_text = StringProperty("")
    least = NumericProperty("72dp")
    seen = BooleanProperty(False)
    typing = ObjectProperty(None)

    def on_kv_post(self, _base: Widget) -> None:
        self.typing.longest = LONGEST
        self.typing.bind(
            text=lambda *_: self.dispatch("on_typed"),
            on_text_validate=lambda *_: self.dispatch("on_done"),
        )

    def forget(self) -> None:
        """Nothing that was typed stays, nor what an undo would bring back."""
        self.seen = False
        self.typing.focus = False
        self.typing.text = ""
        self.typing.reset_undo()

    def on_typed(self) -> None:
        pass

    def on_done(self) -> None:
        pass


load_beside(__file__)
