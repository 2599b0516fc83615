"""Rows that touch one another: each keeps a seam along its lower edge that takes no finger.

So there are 8 dp between two targets, and the list keeps its hairlines and its height.
"""

from __future__ import annotations

from typing import Final

from kivy.properties import NumericProperty
from kivy.uix.behaviors import ButtonBehavior

SEAM: Final = "8dp"


class Seamed(ButtonBehavior):
    """A row to press; put it before the widgets that it is made of, and give it a height of 72 dp or more."""

    seam = NumericProperty(SEAM)

    def collide_point(self, x: float, y: float) -> bool:
        return bool(super().collide_point(x, y)) and y >= self.y + self.seam
