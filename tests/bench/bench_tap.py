"""From a tap that records until it is durable, and until the screen says so, on this machine; not a test.

Run ``python -m tests.bench.bench_tap`` from the top of the project; with ``--taps`` more or fewer than 200.
Goal: median under 30 ms and worst of 200 under 100 ms, on two cores with the software renderer.

The app's own window and settings (offscreen where there is no display), its own worker, the whole sample
project.  Every tap is the last one of a form that was typed before: a head reading, a note or a round, on
shafts with and without a release, the hole open or concrete in; before it the hand has rested, as it does
over a form (`fieldapp.ui.tidying`).  Time runs from the finger that leaves the glass to COMMIT returned, and
to the end of the first frame in which the bar says "saved".

Beside it, in the same run, the raw peers: one insert and COMMIT of as many bytes under the same settings in
a file beside the journal; one more frame of a full screen, and one of an empty window.  CPU time stands
beside wall time, since others may use the machine: one tap cannot be shown sooner than a full frame takes.
"""

from __future__ import annotations

import argparse
import gc
import os
import statistics
import sys
import tempfile
import time
from dataclasses import dataclass, field
from itertools import cycle, islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fieldapp.desk.workplace import Workplace
    from tests.bench.peers import BareTable
    from tests.screens.journey import Journey
    from tests.support.driver import Driver

PERSON = "Inspector A"
WORK = (
    *(("P2-4", kind) for kind in ("head reading", "note", "sounding round", "head reading")),
    *(
        (shaft, kind)
        for shaft in ("P1-4", "P2-1", "P2-3")
        for kind in ("head reading", "note", "sounding round")
    ),
    *((shaft, "note") for shaft in ("P1-1", "P1-3", "T-1")),
)
"""Shafts and kinds of entries, in turn: released, open without a release, concrete in."""


@dataclass
class Times:
    """Milliseconds of every tap, by what was measured."""

    of: dict[str, list[float]] = field(default_factory=dict)

    def add(self, what: str, span_s: float) -> None:
        self.of.setdefault(what, []).append(1000 * span_s)

    def print(self) -> None:
        for what, times_ms in self.of.items():
            middle, most = statistics.median(times_ms), max(times_ms)
            high = statistics.quantiles(times_ms, n=20)[-1] if len(times_ms) > 1 else most
            line = (
                f"{what:<46} median {middle:6.1f}  95 % {high:6.1f}  worst {most:6.1f} ms  of {len(times_ms)}"
            )
            sys.stdout.write(line + "\n")


class Watched:
    """The journal of the open project, with the moment at which its last COMMIT of entries returned."""

    def __init__(self, place: Workplace) -> None:
        self.returned_at = 0.0
        self.cpu_s = 0.0
        self.bytes = 0
        journal: Any = place.journal
        plain = journal.append

        def append(*given: Any) -> Any:
            start_s = time.thread_time()
            made = plain(*given)
            self.returned_at = time.perf_counter()
            self.cpu_s = time.thread_time() - start_s
            self.bytes = len(made[0].sealed)
            return made

        journal.append = append


def ask(on: Journey, question: Any) -> Any:
    """What the worker answers; a problem ends the run."""
    told: list[Any] = []
    on.session.ask(question, told.append, told.append)
    on.hand.until(lambda: bool(told), 20)
    if isinstance(told[0], Exception):
        raise told[0]
    return told[0]


def open_entry(on: Journey, shaft: str, kind: str) -> None:
    """A head reading as the last one was, or a note, typed up to the last tap."""
    from fieldapp.record.column import HeadReading
    from fieldapp.ui import asks_entry
    from fieldapp.ui.entry_typing import EntryTyped

    def keep(place: Workplace) -> None:
        fields = {"text": "crew changed over; nothing loose at the collar"}
        if kind == "head reading":
            last = place.shaft(shaft).last(HeadReading)
            level = last.values.fluid_level if last else None
            fields = {"fluid_level": level.read if level else "3'", "make_up": "on"}
        asks_entry.keep_entry(place, asks_entry.Wanted(shaft, kind), EntryTyped(fields))

    ask(on, keep)
    on.walk.go("entry", shaft=shaft, kind=kind)
    on.wait(hops=3)


def open_round(on: Journey, shaft: str) -> None:
    """A round whose points all read the drilled depth, typed up to the last tap."""
    from fieldapp.desk.rounds.form import round_form
    from fieldapp.ui import asks_round

    def keep(place: Workplace) -> None:
        form, reached = round_form(place, shaft), place.shaft(shaft).base_reached
        depth = reached.values.drilled_depth if reached else None
        assert depth is not None
        texts = {"first_contact": depth.read, "firm": depth.read, "unit": depth.unit}
        points = {each.label: dict(texts) for each in form.points}
        typed = asks_round.RoundTyped(form.number, points, {}, place.now().isoformat())
        asks_round.keep_round(place, shaft, typed)

    ask(on, keep)
    on.walk.go("round", shaft=shaft)
    on.wait(hops=3)


def frames_until(ok: Any, seconds: float = 10.0) -> None:
    """Whole frames of the app's loop, drawn when something changed."""
    from kivy.base import EventLoop

    end = time.monotonic() + seconds
    while not ok():
        EventLoop.idle()
        if time.monotonic() > end:
            raise AssertionError("what was waited for did not come")


class Glass:
    """When the last frame was on the glass: flipped, and finished by the renderer."""

    def __init__(self) -> None:
        from kivy.core.window import Window
        from kivy.graphics.opengl import glFinish

        self.shown_at = 0.0
        self._finish = glFinish
        Window.bind(on_flip=self._flipped)

    def _flipped(self, *_: object) -> None:
        self._finish()
        self.shown_at = time.perf_counter()

    def draw_again(self, times: Times, what: str, number: int = 100) -> None:
        """Frames of what is in the window now."""
        from kivy.core.window import Window

        for _ in range(number):
            start, cpu_s = time.perf_counter(), time.process_time()
            Window.dispatch("on_draw")
            Window.dispatch("on_flip")
            times.add(what, time.perf_counter() - start)
            times.add(f"CPU of {what}", time.process_time() - cpu_s)


def press(on: Journey, button: Any, seen: tuple[Glass, Watched, BareTable], times: Times) -> None:
    """Tap what records, up to the frame that says "saved"; a question is answered with yes."""
    from kivy.tests.common import UnitTestTouch

    from fieldapp.ui.widgets.press import ActButton

    glass, watched, peer = seen
    touch = UnitTestTouch(*button.to_window(*button.center))
    touch.touch_down()
    on.hand.pump(2)
    told: list[float] = []
    saved = on.session.saved

    def tell(*_: object) -> None:
        told.append(time.perf_counter())

    on.session.bind(saved=tell)
    process_s, start = time.process_time(), time.perf_counter()
    touch.touch_up()
    frames_until(lambda: asked(on) is not None or (told and glass.shown_at > told[0]))
    cpu_s = time.process_time() - process_s
    on.session.unbind(saved=tell)
    question = asked(on)
    if question is not None:
        on.hand.settle()
        press(on, next(each for each in question.walk() if isinstance(each, ActButton)), seen, times)
        return
    assert on.session.saved != saved
    assert f"saved {on.session.saved}" in on.screen.sides.bar.right
    times.add("tap to COMMIT returned", watched.returned_at - start)
    times.add("tap to the screen's thread told", told[0] - start)
    times.add('tap to "saved" drawn', glass.shown_at - start)
    times.add("CPU of the append alone", watched.cpu_s)
    times.add('CPU of the process, tap to "saved" drawn', cpu_s)
    start = time.perf_counter()
    peer.insert(watched.bytes)
    times.add("raw peer, insert and COMMIT", time.perf_counter() - start)


def asked(on: Journey) -> Any:
    """The question that stands in the foot of a form, or None."""
    return on.screen.foot.question if hasattr(on.screen, "foot") else None


def all_taps(on: Journey, folder: Path, times: Times, number: int) -> None:
    """So many taps, over kinds and shafts in turn."""
    from tests.bench.peers import BareTable

    glass, watched, peer = Glass(), Watched(ask(on, lambda place: place)), BareTable(folder / "peer.db")
    for shaft, kind in islice(cycle(WORK), number):
        on.walk.go("shaft", shaft=shaft)
        on.wait()
        if kind == "sounding round":
            open_round(on, shaft)
        else:
            open_entry(on, shaft, kind)
        button = on.strip.next_button
        if button.disabled:
            raise AssertionError(f"nothing to record: {on.strip.next_text!r}\n{on.texts()}")
        gc.collect()  # as in the app when a hand rests, and here it has no time to
        press(on, button, (glass, watched, peer), times)
        on.wait()
    peer.close()
    glass.draw_again(times, "raw peer, one frame of a full screen")
    on.leave()
    glass.draw_again(times, "raw peer, one frame of an empty window")


def open_window() -> Driver:
    """The app's own window, before anything asks for it."""
    from fieldapp.ui.app import prepare

    if not os.environ.get("DISPLAY"):
        os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
    os.environ.setdefault("KIVY_NO_CONSOLELOG", "1")
    os.environ.setdefault("KIVY_HOME", tempfile.mkdtemp(prefix="basenote-kivy-"))
    prepare()
    from kivy.base import EventLoop

    sys.stderr = sys.__stderr__  # Kivy keeps it for its log, which is off
    EventLoop.ensure_window()
    EventLoop.start()
    from tests.support.driver import Driver

    return Driver()


def main() -> None:
    """Print what was measured."""
    parser = argparse.ArgumentParser(description="From a tap to durable and shown.")
    parser.add_argument("--taps", type=int, default=200)
    asked_for = parser.parse_args()
    hand = open_window()
    from fieldapp.ui.tidying import Tidying
    from tests.screens.journey import begin, set_out

    tidying = Tidying()
    times = Times()
    with tempfile.TemporaryDirectory() as made:
        on = set_out(hand, begin(Path(made) / "larkwater"))
        on.session.person = PERSON
        all_taps(on, Path(made), times, asked_for.taps)
    del tidying
    times.print()


if __name__ == "__main__":
    main()
