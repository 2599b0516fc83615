"""The real app while its disk is full, read-only, faulty, locked or slow, driven by touch from inside.

``python -m tests.crash.bad_disk_app ROOT`` types a round, and taps what records it under one trouble after
another.  Each line that it says is what stood on the screen then; a test judges it.
"""

from __future__ import annotations

import sys
from pathlib import Path
from time import monotonic
from typing import Final

from fieldapp.cli import run
from fieldapp.ui.app import prepare
from tests.crash.driven import SHAFT
from tests.screens.journeys.driven_app import PERSON, in_hand, say

SLOW_US: Final = 40_000
"""How long each write and each sync takes on the slow disk."""
# Depths of nine points as somebody reads them; the base stands at 30' 1".
FIRST: Final = ("30' 0 3/4\"", "30' 0 1/2\"", "30' 0 5/8\"")
FIRM: Final = "30' 1\""


def type_all(on) -> dict[str, dict[str, str]]:
    """Every point of the round but for the last tap, which would record it."""
    from tests.screens.journey import depth_keys

    typing = on.screen.hand.typing
    number = 0
    while typing.label:
        on.keys(*depth_keys(FIRST[number % 3]))
        on.tap_next()
        on.keys(*depth_keys(FIRM))
        on.tap_next()
        number += 1
    return {label: dict(each) for label, each in typing.typed.points.items()}


def work(root: Path) -> None:
    from tests.crash.faults.loop import TROUBLES
    from tests.crash.faults.shim import How, Spoil, armed
    from tests.screens.journeys.by_touch import hand_over, tap_the_kind, to_shaft, write

    on = in_hand()
    hand = on.hand
    hand_over(on, PERSON)
    to_shaft(on, SHAFT, "Base")
    (on.tap_next if "ound" in on.strip.next_text else on.tap_second)()
    points = type_all(on)
    say("typed", [points])
    for name in ("disk full", "read-only", "disk fault", "locked"):
        with armed(root, TROUBLES[name].at(1)):
            on.tap_next()
            now = {label: dict(each) for label, each in on.screen.hand.typing.typed.points.items()}
            say("refused", [name, on.walk.current, on.texts(), now == points])
    on.tap_next()
    say("recorded", [on.walk.current, on.session.saved])

    to_shaft(on, SHAFT, "Pictures and notes")
    tap_the_kind(on, "note")
    write(on, on.middle.tools.text_field, "on a slow disk")
    on.wait()
    with armed(root, Spoil(How.SLOW, step=SLOW_US)) as seen:
        began, frames, saved = monotonic(), [], on.session.saved
        hand.tap(on.strip.next_button)
        while on.walk.current != "shaft" and monotonic() - began < 60:
            at = monotonic()
            hand.pump(1)
            frames.append(monotonic() - at)
        took, early = monotonic() - began, on.session.saved != saved and on.walk.current != "shaft"
    say("slow", [on.walk.current, took, len(frames), max(frames), early, seen.steps])


if __name__ == "__main__":
    ROOT = Path(sys.argv[1])
    prepare()
    from kivy.base import EventLoop

    EventLoop.mainloop = lambda: work(ROOT)
    sys.exit(run(["app", str(ROOT / "project"), "--as-of", "last"]))
