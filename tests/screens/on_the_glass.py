"""One widget alone on the glass, keys of a keyboard, and what an event gave."""

from __future__ import annotations

from typing import Any

from kivy.core.window import Window
from kivy.uix.boxlayout import BoxLayout

from tests.support.driver import Driver


def shown(hand: Driver, widget: Any) -> Any:
    """Put a widget on the glass, at the top of an otherwise empty screen."""
    holder = BoxLayout(padding=40)
    widget.pos_hint = {"top": 1}
    holder.add_widget(widget)
    hand.show(holder)
    return widget


def key(code: int) -> None:
    """A key of a keyboard goes down."""
    Window.dispatch("on_key_down", code, 0, None, [])


def told(widget: Any, event: str) -> list[Any]:
    """What an event gives from now on."""
    heard: list[Any] = []
    widget.bind(**{event: lambda _widget, *given: heard.append(given[0] if given else None)})
    return heard
