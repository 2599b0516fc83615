"""The real app in a process of its own, driven by touch from inside, saying what its screens acknowledged.

``python -m tests.screens.journeys.driven_app FOLDER SHAFT`` starts the app as its command does and takes the
place of nothing but the loop that waits for fingers.  It takes the tablet, goes on with the round of the
shaft and records it.  Each line that it says is a fact that stood on the screen, or a tap about to be made.
"""

from __future__ import annotations

import json
import os
import sys

from fieldapp.cli import run
from fieldapp.ui.app import prepare

PERSON = "Inspector A"
# Depths of five points as somebody reads them; the base was drilled to 26 ft.
DEPTHS = {
    "C": ("25' 11 3/8\"", "26' 0\""),
    "R1": ("25' 11 1/2\"", "25' 11 7/8\""),
    "R2": ("25' 11 5/8\"", "26' 0\""),
    "R3": ("25' 11 1/4\"", "25' 11 3/4\""),
    "R4": ("25' 11 1/8\"", "25' 11 1/2\""),
}


def say(what: str, *facts: object) -> None:
    """One line, out at once: the process may be gone a moment later."""
    os.write(1, (" ".join((what, *(json.dumps(each) for each in facts))) + "\n").encode())


def in_hand():
    """The app that runs in this process, once its project is open, as a hand has it."""
    from kivy.app import App

    from tests.screens.journey import Journey
    from tests.support.driver import Driver

    app, hand = App.get_running_app(), Driver()
    hand.draw()
    hand.until(lambda: app.session.ready or bool(app.session.trouble), 60)
    on = Journey(hand, app.session, app.root)
    on.wait()
    return on


def work(shaft: str) -> None:
    """The inspector goes on with the round, point by point, and records it."""
    from tests.screens.journey import depth_keys
    from tests.screens.journeys.by_touch import hand_over, to_shaft

    on = in_hand()
    hand = on.hand
    hand_over(on, PERSON)
    to_shaft(on, shaft, "Base")
    (on.tap_next if "round" in on.strip.next_text or "sound" in on.strip.next_text else on.tap_second)()
    typing = on.screen.hand.typing
    say("offered", typing.typed.number, typing.typed.points, typing.reading)
    while typing.label:
        label = typing.label
        first, firm = DEPTHS[label]
        if not typing.reading.get("first_contact"):
            on.keys(*depth_keys(first))
            hand.until(lambda: not on.screen.hand._rest.is_triggered)  # the hand rests
            on.wait()
            say("typed", label)
            on.tap_next()
        on.keys(*depth_keys(firm))
        say("saving", label)
        on.tap_next()
        assert typing.label != label
        say("saved", label)
    say("recording")
    on.tap_next()
    assert on.walk.current == "shaft"
    say("recorded", on.session.saved)


if __name__ == "__main__":
    prepare()
    from kivy.base import EventLoop

    EventLoop.mainloop = lambda: work(sys.argv[2])
    sys.exit(run(["app", sys.argv[1], "--as-of", "last"]))
