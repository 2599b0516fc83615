"""Keys of a keyboard that is plugged in, for a widget that is on the glass.

Nothing here asks for a keyboard: on a tablet that would bring up the one of the system.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from kivy.core.window import Window
from kivy.uix.widget import Widget

UP: Final = 273
DOWN: Final = 274
ENTER: Final = 13
NUMPAD_ENTER: Final = 271
SPACE: Final = 32


class HardwareKeys:
    """Calls ``pressed(code)`` and ``let_go(code)`` while the widget is shown; True takes the key."""

    def __init__(
        self,
        widget: Widget,
        pressed: Callable[[int], bool],
        let_go: Callable[[int], bool] | None = None,
    ) -> None:
        self._widget, self._pressed, self._let_go = widget, pressed, let_go
        self._listening = False
        widget.fbind("parent", self._judge)

    def _judge(self, *_: object) -> None:
        shown = self._widget.parent is not None
        if shown == self._listening:
            return
        self._listening = shown
        turn = Window.bind if shown else Window.unbind
        turn(on_key_down=self._down)
        if self._let_go is not None:
            turn(on_key_up=self._up)

    def _able(self) -> bool:
        widget = self._widget
        return widget.get_parent_window() is not None and not widget.disabled

    def _down(self, _window: object, code: int, *_rest: object) -> bool:
        return self._able() and self._pressed(code)

    def _up(self, _window: object, code: int, *_rest: object) -> bool:
        return self._let_go is not None and self._able() and self._let_go(code)
