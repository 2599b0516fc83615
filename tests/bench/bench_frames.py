"""Frames while a report is made, beside frames while none is made, in one run, by hand.

``python -m tests.bench.bench_frames``.  Never in the suite.  Goal: no frame over 50 ms while a report is
made, outside of the drawing of the software renderer.  The app's own window and workers on the whole sample
project: the log of a shaft is made from its papers, and the log of another is signed by hand and written.
Frames are passed at sixty a second, as the app passes them; each counts from the moment it was due, so that
an interpreter that the worker does not give back is part of it.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from tests.bench.spread import spread

if TYPE_CHECKING:
    from tests.bench.frames import Frame
    from tests.screens.journey import Journey

LIMIT_MS = 50.0
STILL_S = 4.0
SHAFTS = ("P1-4", "P1-1")


def for_seconds(seconds: float) -> Callable[[], bool]:
    end = time.monotonic() + seconds
    return lambda: time.monotonic() < end


def say(name: str, found: list[Frame]) -> None:
    """What a tablet would show late: everything but the drawing; then the drawing."""
    write = sys.stdout.write
    write(f"{name}\n")
    write(spread("clock, touches, layout", [each.work_s for each in found], LIMIT_MS))
    write(spread("  on a quiet machine", [each.quiet_s for each in found], LIMIT_MS))
    write(spread("  of it held by a worker", [each.held_s for each in found], LIMIT_MS))
    write(spread("drawing (software renderer)", [each.drawing_s for each in found]))


def made(on: Journey, shaft: str) -> tuple[list[Frame], list[Frame], float]:
    """Frames of the screen of papers at rest, then while the log is made, and the seconds it took."""
    from tests.bench.frames import frames_while

    on.walk.go("papers", shaft=shaft)
    on.wait()
    on.middle.say("")
    on.screen.progress.text, on.screen.progress.running = "", True  # the same sheet moves, nothing is made
    still = frames_while(for_seconds(STILL_S))
    on.screen.progress.running = False
    on.wait()
    began = time.monotonic()
    on.screen.make()
    during = frames_while(lambda: on.screen.progress.running)
    took = time.monotonic() - began
    on.wait()
    if not on.middle.said.endswith("-unsigned.pdf."):
        raise SystemExit(f"no log was made: {on.middle.said}")
    return still, during, took


def signed(on: Journey, shaft: str) -> tuple[list[Frame], list[Frame], float]:
    """Frames while the key is unlocked, then until the log is signed and written, and the seconds of that."""
    from tests.bench.frames import frames_while
    from tests.screens.decision_journey import PASSPHRASE, draw, go, hold, read_to_the_end

    go(on, "signoff", shaft=shaft)
    read_to_the_end(on)
    draw(on, on.screen.signature.pad)
    hold(on, on.strip.next_button)
    on.screen.secret.typing.insert_text(PASSPHRASE)
    on.hand.pump(4)
    on.hand.tap(on.middle.next)
    unlocking = frames_while(lambda: on.walk.current != "signoff")
    began = time.monotonic()
    found = frames_while(lambda: not answered(on))
    took = time.monotonic() - began
    on.wait()
    return unlocking, found, took


def answered(on: Journey) -> bool:
    """Whether the log is signed; a question on the way is answered with yes."""
    question = on.middle.foot.question
    if question is not None:
        question.ids.yes.dispatch("on_release")
    return on.screen.made is not None


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--shaft", action="append", help="whose log is made; P1-4 and P1-1 without")
    shafts = asked.parse_args().shaft or SHAFTS
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_CONFIG_HOME"] = folder
        from tests.screens.pictures import open_window

        hand = open_window()
        from fieldapp.ui.tidying import Tidying
        from tests.screens.decision_journey import CLEAN, decision_project, opened
        from tests.screens.journey import begin, set_out

        on = set_out(hand, begin(Path(folder) / "larkwater", "larkwater"))
        tidying = Tidying(lambda: on.walk.busy)  # as the app does
        on.session.person = "Inspector A"
        for number, shaft in enumerate(shafts):
            still, during, took = made(on, shaft)
            if not number:
                say("papers at rest, progress moving", still)
            say(f"log of {shaft} made in {took:.1f} s" + ("" if number else ", its libraries loaded"), during)
        on.leave()
        on, _ = opened(hand, decision_project(Path(folder) / "signing", CLEAN), CLEAN[2].replace(hour=14))
        on.session.person = "Inspector A"
        unlocking, found, took = signed(on, "P1-1")
        say("the key unlocked: one call of the library that keeps the interpreter to its end", unlocking)
        say(f"log of P1-1 signed and written in {took:.1f} s", found)
        on.leave()
        del tidying


if __name__ == "__main__":
    main()
