"""A project of one sample log in the app's window, at the moment when somebody decides, with real keys."""

from __future__ import annotations

import shutil
from datetime import datetime, timedelta
from pathlib import Path
from time import monotonic
from typing import Any
from zoneinfo import ZoneInfo

from kivy.core.window import Window

from fieldapp.desk.office import begin_project
from fieldapp.desk.trust.people import make_key
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project, read_project
from fieldapp.record.entry import Entry
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from tests.screens.journey import DEVICE, SAMPLES, Journey, SteppedClock
from tests.support.driver import Driver

ZONE = ZoneInfo("America/Denver")
PASSPHRASE = "six plain words for the test"
INSPECTOR, ENGINEER, DESIGNER = "Inspector A", "Resident engineer", "Designer"
# Sample logs up to the sign-off: file, number of lines kept, the moment at which the tablet goes on.
CLEAN = ("P1-1", 308, datetime(2026, 5, 12, 13, 22, tzinfo=ZONE))
SANDY = ("P1-3", 251, datetime(2026, 5, 14, 11, 35, tzinfo=ZONE))
SOFT = ("T-1", 282, datetime(2026, 5, 6, 13, 12, tzinfo=ZONE))
Sample = tuple[str, int, datetime]


def decision_project(folder: Path, sample: Sample) -> Path:
    """A new project of one sample log, cut where the decisions begin; all three people have keys."""
    name, lines, moment = sample
    logs = folder / "logs"
    logs.mkdir(parents=True)
    shutil.copy(SAMPLES / "larkwater" / "project.log", logs)
    text = (SAMPLES / "larkwater" / f"{name}.log").read_text("utf-8").splitlines()[:lines]
    (logs / f"{name}.log").write_text("\n".join(text) + "\n", "utf-8")
    begin_project(folder / "project")
    clock = SteppedClock(moment - timedelta(minutes=5))
    with open_project(folder / "project", clock, DEVICE) as place:
        add_logs(place, read_logs(list(logs.glob("*.log"))))
        for who in (INSPECTOR, ENGINEER, DESIGNER):
            make_key(place, who, PASSPHRASE)
    return folder / "project"


def opened(hand: Driver, folder: Path, at: datetime) -> tuple[Journey, SteppedClock]:
    """The app on such a project, and the clock of the tablet."""
    clock = SteppedClock(at)
    session = Session(folder, None, clock, DEVICE)
    walk = Walk(session)
    walk.go("board")
    Window.bind(on_keyboard=walk.key)
    hand.show(walk)
    session.start()
    hand.until(lambda: session.ready or bool(session.trouble), 60)
    on = Journey(hand, session, walk)
    on.wait()
    return on, clock


def go(on: Journey, screen: str, **given: object) -> None:
    on.walk.go(screen, **given)
    on.wait()


def unlock(on: Journey, passphrase: str = PASSPHRASE) -> None:
    """Type a passphrase on the screen that asks for it, and open the key."""
    assert on.walk.current == "unlock"
    on.screen.secret.typing.insert_text(passphrase)
    on.hand.pump(4)
    on.tap(on.middle.next)
    on.wait()


def hold(on: Journey, button: object) -> None:
    """Keep a finger on a button until it has acted."""
    held: list[bool] = []
    button.bind(on_held=lambda *_: held.append(True))
    touch = on.hand.touch(*button.to_window(*button.center))
    on.hand.until(lambda: bool(held), 5)
    touch.touch_up()
    on.hand.pump(4)
    on.wait()


def draw(on: Journey, pad: object) -> None:
    """Draw a signature of two strokes."""
    sheet = pad.sheet
    for line in (((0.1, 0.3), (0.3, 0.8), (0.5, 0.2), (0.8, 0.7)), ((0.2, 0.2), (0.9, 0.3))):
        (x, y), *rest = [
            sheet.to_window(sheet.x + a * sheet.width, sheet.y + b * sheet.height) for a, b in line
        ]
        touch = on.hand.touch(x, y)
        for at in rest:
            touch.touch_move(*at)
            on.hand.pump(1)
        touch.touch_up()
    on.hand.pump(4)
    on.hand.settle()


def said(on: Journey) -> str:
    """The sentence over the pages."""
    return on.middle.said


def rested(on: Journey, seconds: float = 60) -> None:
    """Until nothing is in the making any more."""
    on.hand.until(lambda: not on.screen.busy, seconds)
    on.wait()


def of_kind(folder: Path, kind: type) -> list[Entry]:
    with read_project(folder) as place:
        return [each for each in place.entries() if isinstance(each.values, kind)]


def read_to_the_end(on: Journey) -> int:
    """Press the next thing until there is something to sign; says how often."""
    turns = 0
    while not on.screen.reading.done:
        assert on.strip.next_text == "Read on"
        assert on.screen.signature.parent is None
        on.tap_next()
        turns += 1
        end = monotonic() + 0.4
        on.hand.until(lambda end=end: on.screen.reading.done or monotonic() > end)
        assert turns < 30
    on.hand.settle()
    return turns


def write(on: Journey, written: Any, text: str) -> None:
    """Write into a box; what can be pressed then may be another button."""
    written.field.typing.text = text
    on.hand.settle()


def release_clean(on: Journey) -> None:
    """The engineer releases a base with nothing against it but a log that is not signed."""
    go(on, "release", shaft=CLEAN[0])
    hold(on, on.strip.next_button)
    unlock(on)
    if on.middle.foot.question is not None:
        on.tap(on.middle.foot.question.ids.yes)
    assert on.screen.released, said(on)
