"""A button that is held for a second, by finger or by keyboard; letting go earlier does nothing.

By keyboard it is the enter key that is held down the same while.  A key that has acted must be let go and
pressed anew before it acts again, here or on a button that came in the meantime.
"""

from __future__ import annotations

from typing import Any, ClassVar, Final

from kivy.core.window import Window
from kivy.properties import BooleanProperty
from kivy.uix.behaviors import FocusBehavior

from fieldapp.ui.widgets.hardware_keys import ENTER, NUMPAD_ENTER, HardwareKeys
from fieldapp.ui.widgets.press import HoldButton

KEYS: Final = frozenset({ENTER, NUMPAD_ENTER})


class KeyedHoldButton(HoldButton):
    """Gives ``on_held``.  ``keyed``: the enter key of a keyboard means this button, while nobody writes."""

    keyed = BooleanProperty(True)
    spent: ClassVar[bool] = False
    """The key that is down has begun a hold already; a key that stays down comes again and again."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.keys = HardwareKeys(self, self._press, self._let_go)

    def _press(self, code: int) -> bool:
        if code not in KEYS or not self.keyed or _somebody_writes():
            return False
        if not KeyedHoldButton.spent:
            KeyedHoldButton.spent = True
            self.state = "down"
        return True

    def _let_go(self, code: int) -> bool:
        if code not in KEYS or not self.keyed:
            return False
        _is_let_go(Window, code)
        self.state = "normal"
        return True


def _somebody_writes() -> bool:
    return any(
        isinstance(each, FocusBehavior) and each.focus
        for child in Window.children
        for each in child.walk(restrict=True)
    )


def _is_let_go(_window: object, code: int, *_rest: object) -> None:
    if code in KEYS:
        KeyedHoldButton.spent = False


Window.bind(on_key_up=_is_let_go)  # also while no such button is on the glass
