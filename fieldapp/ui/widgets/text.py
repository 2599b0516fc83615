"""Type: captions wrap, numbers shrink last, nothing is cut.

``Words`` takes the width it is given and the height it needs.  ``Fixed`` lives in a box of given
size.  Both come down from their full size only when a word, or a number, would not fit.
"""

from __future__ import annotations

from math import floor
from typing import Any

from kivy.properties import BooleanProperty, NumericProperty
from kivy.uix.label import Label

from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.measure import line_width, word_width, wrapped_height

SHRINK_STEP = 0.94
SMALLEST_PX = 8


class Fitted(Label):
    """A label whose ``font_size`` is ``full``, or smaller when that would cut a word."""

    full = NumericProperty("20sp")
    wrap = BooleanProperty(True)
    keep_height = BooleanProperty(False)

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for name in ("full", "wrap", "keep_height", "text", "size", "bold", "padding"):
            self.fbind(name, self._fit)
        self._fit()

    def _fit(self, *_: object) -> None:
        room = self.width - self.padding[0] - self.padding[2]
        if room < 1 or not self.text:
            return
        measured = word_width if self.wrap else line_width
        widest = measured(self.text, self.full, self.bold)
        size = self.full if widest <= room else max(SMALLEST_PX, floor(self.full * room / widest))
        while size > SMALLEST_PX and measured(self.text, size, self.bold) > room:
            size -= 1  # hinting makes a smaller size a little wider than its share
        if self.keep_height:
            size = self._lowered(size, room)
        self.font_size = size

    def _lowered(self, size: float, room: float) -> float:
        high = self.height - self.padding[1] - self.padding[3]
        while high > 1 and size > SMALLEST_PX and wrapped_height(self.text, size, self.bold, room) > high:
            size = max(SMALLEST_PX, floor(size * SHRINK_STEP))
        return size


class Words(Fitted):
    """Reading size, in ink."""


class Caption(Words):
    """16 sp, soft ink, lower case."""


class Title(Words):
    """28 sp bold."""


class Number(Words):
    """44 sp bold, on one line."""


class ListNumber(Words):
    """26 sp bold, on one line."""


class Fixed(Fitted):
    """Reading size in a box whose size is given, as in a row of a list."""


load_beside(__file__)
