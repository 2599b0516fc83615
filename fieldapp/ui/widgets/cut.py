"""Cuts what scrolls to its place by the renderer's own rectangle, which costs nothing.

Kivy's rule for a scroll view draws its place twice into a mask, and every pixel inside is tested against it;
its bars, though they are not shown here, fade over the thirty frames after each change of what scrolls.
"""

from __future__ import annotations

from typing import Any, Final

from kivy.core.window import Window
from kivy.graphics import Callback
from kivy.graphics.opengl import GL_SCISSOR_TEST, glDisable, glEnable, glScissor
from kivy.uix.widget import Widget

_Box = tuple[int, int, int, int]
_cuts: Final[list[_Box]] = []
"""Left, low, right and high edge of every cut that is being drawn in, the innermost last."""


class Cut(Widget):
    """Put it before a scroll view; the rule of the class begins with a minus, which leaves Kivy's own out."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        with self.canvas.before:
            Callback(self._begin)
        with self.canvas.after:
            Callback(self._end)

    def _begin(self, _instruction: Callback) -> None:
        left, low, right, high = self._box()
        if _cuts:
            outer = _cuts[-1]
            left, low = max(left, outer[0]), max(low, outer[1])
            right, high = max(left, min(right, outer[2])), max(low, min(high, outer[3]))
        _cuts.append((left, low, right, high))
        _apply()

    def _end(self, _instruction: Callback) -> None:
        _cuts.pop()
        _apply()

    def _box(self) -> _Box:
        """Where this stands on the glass: the system's keyboard may have moved it up, or it is turned."""
        moved = Window.render_context["modelview_mat"]
        ends = (self.to_window(*self.pos), self.to_window(self.x + self.width, self.y + self.height))
        across, upright, _ = zip(*(moved.transform_point(*end, 0) for end in ends), strict=True)
        return round(min(across)), round(min(upright)), round(max(across)), round(max(upright))


def _apply() -> None:
    if not _cuts:
        glDisable(GL_SCISSOR_TEST)
        return
    left, low, right, high = _cuts[-1]
    glEnable(GL_SCISSOR_TEST)
    glScissor(left, low, right - left, high - low)


def _begin_frame(*_: object) -> None:
    """A frame that broke off in the middle must not cut the ones after it."""
    _cuts.clear()
    _apply()


Window.bind(on_draw=_begin_frame)  # runs before the window clears itself and draws
