"""The real app in a process of its own at one kind of work, driven by touch, telling what its screens said.

``python -m tests.crash.driven ROOT WORK`` starts the app on the project of a ground as its command does, and
takes the place of nothing but the loop that waits for fingers.  ``opened`` tells where the app says that the
shaft stands; ``safe`` follows what a screen has called saved, ``begins`` comes before a tap that will save.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Final

from fieldapp.cli import run
from fieldapp.ui.app import prepare
from tests.screens.journeys.driven_app import PERSON, in_hand, say

SHAFT: Final = "P1-1"
TURNS: Final = 3


def note(on, root: Path, turn: int) -> None:
    from tests.screens.journeys.by_touch import tap_the_kind, to_shaft, write

    to_shaft(on, SHAFT, "Pictures and notes")
    tap_the_kind(on, "note")
    text = f"by hand {os.getpid()} {turn}"
    write(on, on.middle.tools.text_field, text)
    say("begins", "note", text)
    on.tap_next()
    assert on.walk.current == "shaft", on.middle.said
    say("safe", "note", text)


def photo(on, root: Path, turn: int) -> None:
    from fieldapp.ui.screens.setup_rows import SetupRow
    from tests.screens.journeys.by_touch import tap_the_kind, to_shaft, write

    to_shaft(on, SHAFT, "Pictures and notes")
    tap_the_kind(on, "photo")
    on.tap(on.middle.fields["picture"])
    on.tap(on.middle.tools.picture.choose)
    on.tap(next(each for each in on.screen.walk() if isinstance(each, SetupRow) and each.title == "base.jpg"))
    say("begins", "picture", "")
    on.tap(on.middle.next)
    assert on.walk.current == "entry", on.middle.said
    say("safe", "picture", on.screen.hand.typing.typed.fields["picture"])
    caption = f"by hand {os.getpid()} {turn}"
    on.tap(on.middle.fields["caption"])
    write(on, on.middle.tools.text_field, caption)
    say("begins", "photo", caption)
    on.tap_next()
    assert on.walk.current == "shaft", on.middle.said
    say("safe", "photo", caption)


def report(on, root: Path, turn: int) -> None:
    from tests.screens.decision_journey import go
    from tests.screens.office_journey import tap_row

    go(on, "papers", shaft=SHAFT)
    say("begins", "paper", "")
    tap_row(on, f"Make the release sheet of {SHAFT}")
    on.hand.until(lambda: not on.screen.progress.running, 120)
    on.wait()
    words = on.middle.said
    assert words.startswith(("Saved as ", "It is there already: ")), words
    say("safe", "paper", words.removeprefix("Saved as ").removeprefix("It is there already: ").rstrip("."))


def bundle(on, root: Path, turn: int) -> None:
    from fieldapp.ui.words import travel as words
    from tests.screens.office_journey import press_next, tap_row

    on.walk.go("board")
    on.wait()
    on.tap_text("More")
    on.tap_text(words.IN)
    press_next(on)
    on.screen.list.look(root)
    on.wait()
    tap_row(on, "arriving.bundle.zip")
    assert on.walk.current == "bundle in"
    say("begins", "bundle", "")
    press_next(on)
    on.hand.until(lambda: on.middle.said != "" and not on.middle.said.endswith("..."), 60)
    on.wait()
    say("safe", "bundle", on.middle.said)


def sign(on, root: Path, turn: int) -> None:
    from tests.screens.decision_journey import draw, go, hold, read_to_the_end, rested, unlock

    go(on, "signoff", shaft=SHAFT)
    read_to_the_end(on)
    draw(on, on.screen.signature.pad)
    hold(on, on.strip.next_button)
    if on.walk.current == "unlock":
        unlock(on)
    on.hand.until(lambda: on.middle.foot.question is not None, 60)
    say("begins", "sign", "")
    on.tap(on.middle.foot.question.ids.yes)
    rested(on)
    words = on.middle.said
    assert words.startswith("Signed, and saved as "), words
    say("safe", "paper", words.removeprefix("Signed, and saved as ").rstrip("."))


WORKS: Final[Mapping[str, Callable[..., None]]] = {
    "note": note,
    "photo": photo,
    "report": report,
    "bundle": bundle,
    "sign": sign,
}


def work(root: Path, name: str) -> None:
    from tests.screens.journeys.by_touch import board_row, hand_over

    on = in_hand()
    say("opened", on.session.trouble, board_row(on, SHAFT).word)
    hand_over(on, PERSON)
    for turn in range(TURNS):
        WORKS[name](on, root, turn)
    say("end")


if __name__ == "__main__":
    ROOT = Path(sys.argv[1])
    prepare()
    from kivy.base import EventLoop

    EventLoop.mainloop = lambda: work(ROOT, sys.argv[2])
    sys.exit(run(["app", str(ROOT / "project"), "--as-of", "last"]))
