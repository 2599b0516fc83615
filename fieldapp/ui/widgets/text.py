"""Type: captions wrap, numbers shrink last, nothing is cut.

``Words`` takes the width it is given and the height it needs.  ``Fixed`` lives in a box of given
size.  Both come down from their full size only when a word, or a number, would not fit.

Of the picture of a text only the part with ink is drawn: Kivy's own rule draws it with its padding and in
its whole width, and a software renderer pays for what cannot be seen as for what can.
"""

from __future__ import annotations

from itertools import accumulate
from math import ceil, floor
from typing import Any, Final

from kivy.properties import BooleanProperty, ListProperty, NumericProperty, ObjectProperty
from kivy.uix.label import Label

from fieldapp.ui.widgets.loading import load_beside
from fieldapp.ui.widgets.measure import held_together, line_width, name_width, word_width, wrapped_height

SHRINK_STEP = 0.94
SMALLEST_PX = 8
NAME_SHARE: Final = 0.75
OVERHANG_PX = 2
"""So far a glyph may reach over the width that it is set in."""
_BEFORE: Final = {"center": 0.5, "right": 1.0}
"""The share of the free room that stands before a line."""


class Fitted(Label):
    """A label whose ``font_size`` is ``full``, or smaller when that would cut a word."""

    full = NumericProperty("20sp")
    wrap = BooleanProperty(True)
    keep_height = BooleanProperty(False)
    inked = ObjectProperty(None, allownone=True)
    """The part of ``texture`` with ink, and where in it that lies: x, y, width, height."""
    ink_box = ListProperty([0, 0, 0, 0])

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        for name in ("full", "wrap", "keep_height", "text", "size", "bold", "padding"):
            self.fbind(name, self._fit)
        self._fit()

    def texture_update(self, *args: Any) -> None:
        self._label.text = held_together(self.text)
        super().texture_update(*args)
        if self.texture is None:
            self.inked, self.ink_box = None, [0, 0, 0, 0]
            return
        wide, high = self.texture.size
        left, top, right, low = self.padding
        widest = max((line.w for line in self._label._cached_lines), default=0)  # Kivy tells it nowhere else
        room = wide - left - right - widest
        start = left + room * _BEFORE.get(self.halign, 0)
        x, end = max(0, floor(start - OVERHANG_PX)), min(wide, ceil(start + widest + OVERHANG_PX))
        y, top = max(0, floor(low - OVERHANG_PX)), min(high, ceil(high - top + OVERHANG_PX))
        self.texture.min_filter = self.texture.mag_filter = "nearest"  # drawn pixel for pixel
        self.inked = self.texture.get_region(x, y, end - x, top - y)
        self.ink_box = [x, y, end - x, top - y]

    def line_ends(self) -> list[float]:
        """Where every line but the last ends, in pixels down from the upper edge of the text."""
        return list(accumulate(float(line.h) for line in self._label._cached_lines))[:-1]

    def _fit(self, *_: object) -> None:
        room = self.width - self.padding[0] - self.padding[2]
        if room < 1 or not self.text:
            return
        measured = word_width if self.wrap else line_width
        widest = measured(self.text, self.full, self.bold)
        size = self.full if widest <= room else max(SMALLEST_PX, floor(self.full * room / widest))
        while size > SMALLEST_PX and measured(self.text, size, self.bold) > room:
            size -= 1  # hinting makes a smaller size a little wider than its share
        if self.wrap:
            size = self._named(size, room)
        if self.keep_height:
            size = self._lowered(size, room)
        self.font_size = size

    def _named(self, size: float, room: float) -> float:
        """The name of a file stands on one line where a little less is enough; else it is broken."""
        least = max(SMALLEST_PX, floor(size * NAME_SHARE))
        if name_width(self.text, least, self.bold) > room:
            return size
        while name_width(self.text, size, self.bold) > room:
            size -= 1
        return size

    def _lowered(self, size: float, room: float) -> float:
        high = self.height - self.padding[1] - self.padding[3]
        while high > 1 and size > SMALLEST_PX and wrapped_height(self.text, size, self.bold, room) > high:
            size = max(SMALLEST_PX, floor(size * SHRINK_STEP))
        return size


class Words(Fitted):
    """Reading size, in ink."""

    def breaks(self) -> list[float]:
        """Where pages may part a text that is too high for them: under its lines, pixels from the top."""
        return [self.padding[1] + each for each in self.line_ends()]


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
