"""Drives a real window as a hand does: frames, touches, waiting for what must come, pictures to look at.

Nothing here sleeps.  Touches go through Kivy's own dispatcher, so what they reach is what a finger reaches.
"""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable, Iterator
from itertools import combinations
from math import hypot
from pathlib import Path

from kivy.base import EventLoop
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.lang import Builder
from kivy.metrics import Metrics
from kivy.tests.common import UnitTestTouch
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.label import Label
from kivy.uix.scrollview import ScrollView
from kivy.uix.widget import Widget

Box = tuple[float, float, float, float]

LANDSCAPE = (1280, 800)
PORTRAIT = (800, 1280)
LET_WORK_S = 0.002
"""Between two frames of waiting, so that the worker is not kept from the very thing that is waited for."""


class Driver:
    """One window for the whole run; each test shows what it needs and leaves it empty."""

    def resize(self, size: tuple[int, int]) -> None:
        Window.size = size
        self.until(lambda: tuple(Window.size) == size)

    def show(self, widget: Widget) -> Widget:
        self.clear()
        widget.size_hint = (1, 1)
        Window.add_widget(widget)
        self.settle()
        self.draw()
        return widget

    def clear(self) -> None:
        for child in list(Window.children):
            Window.remove_widget(child)
        self.pump(1)

    def pump(self, frames: int = 2) -> None:
        """Let frames pass: clock, touches, layout.  They are drawn only when shown or pictured."""
        for _ in range(frames):
            Clock.tick()
            EventLoop.dispatch_input()
            Builder.sync()
            Clock.tick_draw()
            Builder.sync()

    def draw(self) -> None:
        Window.canvas.ask_update()
        EventLoop.idle()

    def settle(self, frames: int = 60) -> None:
        """Pump until no widget moves any more; a layout that never comes to rest is a failure."""
        before: list[Box] = []
        for _ in range(frames):
            self.pump(2)
            # each by itself: to make a pos and a size of them takes twenty times as long
            now = [(w.x, w.y, w.width, w.height) for w in self.widgets()]
            if now == before:
                return
            before = now
        raise AssertionError(f"the layout did not come to rest in {2 * frames} frames")

    def until(self, ok: Callable[[], bool], seconds: float = 5.0) -> None:
        end = time.monotonic() + seconds
        while not ok():
            if time.monotonic() > end:
                raise AssertionError("what was waited for did not come")
            self.pump(1)
            time.sleep(LET_WORK_S)

    def touch(self, x: float, y: float) -> UnitTestTouch:
        touch = UnitTestTouch(x, y)
        touch.touch_down()
        self.pump(2)
        return touch

    def tap_at(self, x: float, y: float) -> None:
        self.touch(x, y).touch_up()
        self.pump(4)

    def tap(self, widget: Widget) -> None:
        self.tap_at(*widget.to_window(*widget.center))

    def shot(self, path: Path) -> Path:
        for _ in range(2):  # the first frame after a change may still be black
            self.draw()
        made = Path(Window.screenshot(name=str(path)))
        return Path(shutil.move(made, path))

    def widgets(self) -> Iterator[Widget]:
        for child in Window.children:
            yield from child.walk()

    def cut_labels(self) -> list[str]:
        """Labels whose text is larger than their place, or that stand outside of the window's width."""
        found = []
        for label in (w for w in self.widgets() if isinstance(w, Label) and w.text):
            wide, high = label.texture_size
            x, _ = label.to_window(*label.pos)
            inside = x >= -1 and x + label.width <= Window.width + 1
            if wide > label.width + 1 or high > label.height + 1 or not inside:
                found.append(f"{type(label).__name__} '{label.text}' {wide}x{high} in {label.size}")
        return found

    def small_targets(self, least_dp: float = 64) -> list[str]:
        """What can be pressed but is smaller than a gloved finger needs."""
        least = least_dp * Metrics.density - 1
        return [
            f"{type(w).__name__} {getattr(w, 'text', '')!r} {w.size}"
            for w in self.widgets()
            if isinstance(w, ButtonBehavior)
            and w.opacity > 0
            and (w.width < least or w.height - getattr(w, "seam", 0) < least)
        ]

    def close_targets(self, least_dp: float = 8) -> list[str]:
        """Pairs that can be pressed, both in view, with less between them than keeps a glove off the other.

        What lies inside of a target belongs to it; a seam, which takes no finger, does not.
        """
        least = least_dp * Metrics.density - 1
        seen = [(w, _in_view(w)) for w in self.widgets() if isinstance(w, ButtonBehavior) and w.opacity > 0]
        targets = [(w, box) for w, box in seen if box is not None]
        return [
            f"{_named(one)} and {_named(other)}: {between:.0f} px"
            for (one, a), (other, b) in combinations(targets, 2)
            if (between := _between(a, b)) < least and not (_inside(one, other) or _inside(other, one))
        ]


def _named(widget: Widget) -> str:
    words = next((w.text for w in widget.walk() if getattr(w, "text", "")), "")
    return f"{type(widget).__name__} {words!r}"


def _in_view(widget: Widget) -> Box | None:
    """What of a widget is on the window and in the scroll views that hold it: left, low, right, high."""
    box: Box = (0.0, 0.0, float(Window.width), float(Window.height))
    held: Widget = widget
    while isinstance(held, Widget):  # the window itself is none
        if held is widget or isinstance(held, ScrollView):
            seam = getattr(held, "seam", 0)
            low, high = held.to_window(held.x, held.y + seam), held.to_window(held.right, held.top)
            box = (max(box[0], low[0]), max(box[1], low[1]), min(box[2], high[0]), min(box[3], high[1]))
        held = held.parent
    return box if box[2] - box[0] > 1 and box[3] - box[1] > 1 else None


def _between(a: Box, b: Box) -> float:
    """Pixels between two boxes, along the straight line where they stand across."""
    across = max(0.0, b[0] - a[2], a[0] - b[2])
    upright = max(0.0, b[1] - a[3], a[1] - b[3])
    return hypot(across, upright)


def _inside(one: Widget, other: Widget) -> bool:
    held = one.parent
    while isinstance(held, Widget) and held is not other:
        held = held.parent
    return held is other
