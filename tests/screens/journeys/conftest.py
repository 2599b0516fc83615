"""For journeys in one piece: a device of their own, the app as it starts, and how often it was touched."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from kivy.core.window import Window

from fieldapp.ui.screens.people_lock import BarLock
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import tongue
from tests.screens.journey import DEVICE, Journey, SteppedClock
from tests.support.driver import Driver


@pytest.fixture(autouse=True)
def own_device(tmp_path: Path) -> Iterator[None]:
    """A device without projects and without keys, in a time zone of its own."""
    (tmp_path / "home").mkdir()
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CONFIG_HOME", str(tmp_path / "device"))
        patch.setenv("HOME", str(tmp_path / "home"))
        patch.setenv("TZ", "America/Denver")
        yield
    time.tzset()  # Kivy and others have read the zone of this device; the next test is on another one
    tongue.choose(tongue.ENGLISH)
    theme.decimal_mark = "."


class Taps:
    """Touches that reached the window."""

    def __init__(self) -> None:
        self.made = 0

    def count(self, *_: object) -> None:
        self.made += 1


@pytest.fixture
def taps() -> Iterator[Taps]:
    counting = Taps()
    Window.bind(on_touch_down=counting.count)
    yield counting
    Window.unbind(on_touch_down=counting.count)


@pytest.fixture
def opens(hand: Driver) -> Iterator[Callable[..., Journey]]:
    """Opens the app on a folder, or on an empty device, at the time of a clock; the one before is left."""
    begun: list[tuple[Journey, BarLock]] = []

    def leave() -> None:
        while begun:
            on, lock = begun.pop()
            lock.end()
            on.leave()

    def opened(folder: Path | None, clock: SteppedClock) -> Journey:
        leave()
        session = Session(folder or Path.home() / "Basenote", None, clock, DEVICE)
        walk = Walk(session)
        walk.go("board" if folder else "projects")
        Window.bind(on_keyboard=walk.key)
        hand.show(walk)
        if folder:
            session.start()
            hand.until(lambda: session.ready or bool(session.trouble), 60)
        on = Journey(hand, session, walk)
        begun.append((on, BarLock(session, walk)))
        on.wait()
        return on

    yield opened
    leave()
