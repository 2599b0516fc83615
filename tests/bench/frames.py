"""Frames of a real window, each split into what holds up a touch and what the renderer takes.

``work`` is clock, touches and layout on the screen's thread.  ``quiet`` is what it would take on a machine
with nothing else to do: the processor's time of the screen's thread, and that of the workers while the
screen's thread waited.  ``drawing`` is the full redraw and the flip, which a software renderer does on the
processor and a tablet does not.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass

from kivy.base import EventLoop
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.lang import Builder

PACE_S = 1 / 60


@dataclass(frozen=True, slots=True)
class Frame:
    """One frame, in seconds."""

    work_s: float
    quiet_s: float
    held_s: float
    """The part of it in which a worker ran and the screen's thread did not, though it wanted to."""
    drawing_s: float


def frame(due_s: float | None = None, workers_s: float | None = None) -> Frame:
    """Pass one frame; ``due_s`` (of `time.monotonic`) is when it was to begin: waking late counts."""
    begun = time.monotonic() if due_s is None else due_s
    others = of_workers_s() if workers_s is None else workers_s
    ran = time.thread_time()
    Clock.tick()
    EventLoop.dispatch_input()
    Builder.sync()
    Clock.tick_draw()
    Builder.sync()
    worked, ran = time.monotonic(), time.thread_time() - ran
    held = max(0.0, min(worked - begun - ran, of_workers_s() - others))
    if Window.canvas.needs_redraw:
        Window.dispatch("on_draw")
        Window.dispatch("on_flip")
    return Frame(worked - begun, ran + held, held, time.monotonic() - worked)


def of_workers_s() -> float:
    """Processor time of all threads of Python but this one; asking does not give the interpreter away."""
    own = threading.get_ident()
    clocks = (time.pthread_getcpuclockid(each.ident) for each in threading.enumerate() if each.ident != own)
    return sum(map(time.clock_gettime, clocks))


def frames_while(goes_on: Callable[[], bool], most_s: float = 120.0) -> list[Frame]:
    """Frames at sixty a second, as the app paces them, while something goes on."""
    end = time.monotonic() + most_s
    found = []
    while goes_on():
        others, due = of_workers_s(), time.monotonic() + PACE_S
        time.sleep(PACE_S)
        found.append(frame(due, others))
        if due > end:
            raise SystemExit("what was measured did not end")
    return found
