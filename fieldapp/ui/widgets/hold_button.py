"""A button that is held for a second, by finger or by keyboard; letting go earlier does nothing.

By keyboard it is the enter key that is held down the same while.
"""

from __future__ import annotations

from typing import Any

from kivy.properties import BooleanProperty

from fieldapp.ui.widgets.hardware_keys import ENTER, HardwareKeys
from fieldapp.ui.widgets.press import HoldButton


class KeyedHoldButton(HoldButton):
    """Gives ``on_held``.  ``keyed``: the enter key of a keyboard means this button."""

    keyed = BooleanProperty(True)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.keys = HardwareKeys(self, self._press, self._let_go)

    def _press(self, code: int) -> bool:
        if code != ENTER or not self.keyed:
            return False
        if self.state != "down":
            self.state = "down"
        return True

    def _let_go(self, code: int) -> bool:
        if code != ENTER or not self.keyed:
            return False
        self.state = "normal"
        return True
