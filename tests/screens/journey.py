"""A sample project in the app's own window: screens built by the walk, answers from the real worker."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from kivy.core.window import Window
from kivy.uix.widget import Widget

from fieldapp.desk.office import begin_project
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project
from fieldapp.record.entry import Entry
from fieldapp.ui.session import Session
from fieldapp.ui.walk import Walk
from fieldapp.ui.widgets.pages import Pages
from fieldapp.ui.widgets.press import PlainButton
from tests.support.driver import Driver

SAMPLES = Path(__file__).parents[2] / "sample_logs"
DEVICE = "tablet test"
EVENING = datetime.fromisoformat("2026-05-22T18:00:00-06:00")


class SteppedClock:
    """A clock that goes on by a second each time it is read, from the evening after the sample days."""

    def __init__(self, start: datetime = EVENING) -> None:
        self.moment = start
        self.made = 0

    def now(self, zone: str) -> datetime:
        self.moment += timedelta(seconds=1)
        return self.moment.astimezone(ZoneInfo(zone))

    def new_id(self) -> str:
        self.made += 1
        stamp = int(self.moment.timestamp() * 1000)
        return str(UUID(int=(stamp << 80) | (7 << 76) | (2 << 62) | self.made))


def begin(folder: Path, project: str = "larkwater", shafts: Iterable[str] = ()) -> Path:
    """A project folder with the sample logs of these shafts, or with all of them."""
    begin_project(folder)
    names = [f"{each}.log" for each in ("project", *shafts)] if shafts else ["*.log"]
    logs = [path for name in names for path in sorted((SAMPLES / project).glob(name))]
    with open_project(folder, SteppedClock(), DEVICE) as place:
        add_logs(place, read_logs(logs))
    return folder


def entries_of(folder: Path) -> tuple[Entry, ...]:
    """The whole journal, read back from disk."""
    with open_project(folder, SteppedClock(), DEVICE) as place:
        return tuple(place.entries())


@dataclass
class Journey:
    """One opening of the app.  ``leave`` closes it as the end of the app does."""

    hand: Driver
    session: Session
    walk: Walk
    left: bool = False

    def wait(self, hops: int = 3) -> None:
        """Until the worker has nothing left to say and the layout is at rest.

        An answer may lead to one more question, a frame later (recorded, said so, then shown anew), so it is
        waited for more than once.
        """
        for _ in range(hops):
            told: list[bool] = []
            self.session.jobs.run(lambda: True, told.append, lambda _problem: None)
            self.hand.until(lambda told=told: bool(told), 20)
        self.hand.settle()

    def tap(self, widget: Widget) -> None:
        self.reach(widget)
        self.hand.tap(widget)
        self.wait()

    def reach(self, widget: Widget) -> None:
        """Turn the page on which a widget stands until it is in view, by the keys that do so."""
        page = widget.parent
        while page is not None and page is not self.walk and not isinstance(page, Pages):
            page = page.parent
        if not isinstance(page, Pages):
            return
        view = page.scroller
        for _ in range(9):
            low, high = view.to_window(0, view.y)[1], view.to_window(0, view.top)[1]
            at = widget.to_window(*widget.center)[1]
            if low < at < high:
                return
            self.hand.tap(page.keys.children[0 if at <= low else 1])
            self.hand.settle()

    @property
    def screen(self) -> Widget:
        return self.walk.current_screen

    @property
    def middle(self) -> Widget:
        return self.screen.middle

    @property
    def strip(self) -> Widget:
        return self.screen.sides.strip

    def tap_shaft(self, shaft: str) -> None:
        table = self.middle.ids.table
        for _ in range(9):
            rows = {each.shaft: each for each in table.rows.layout_manager.children}
            if shaft in rows and rows[shaft].to_window(0, rows[shaft].y)[1] >= table.keys.top * bool(
                table.keys.parent
            ):
                break
            self.tap(table.keys.children[0])
        self.tap(rows[shaft])

    def tap_stage(self, stage: str) -> None:
        self.tap(self.screen.sides.rail.row(stage))

    def tap_next(self) -> None:
        self.tap(self.strip.next_button)

    def tap_second(self) -> None:
        self.tap(self.strip.second_button)

    def tap_text(self, text: str) -> None:
        self.tap(
            next(w for w in self.screen.walk() if isinstance(w, PlainButton) and w.text.startswith(text))
        )

    def tap_point(self, label: str) -> None:
        plan = self.middle.plan
        self.hand.tap_at(*plan.to_window(*dict(plan.places())[label]))
        self.hand.until(lambda: plan.active == label)
        self.wait()

    def keys(self, *codes: str) -> None:
        for code in codes:
            self.reach(self.middle.keypad.key(code))
            self.hand.tap(self.middle.keypad.key(code))
        self.wait(hops=1)

    def press(self, code: int = 27) -> None:
        """A key of the tablet: escape is back."""
        Window.dispatch("on_keyboard", code, 0, None, [])
        self.wait()

    def texts(self) -> str:
        """Everything that stands on the screen."""
        return "\n".join(str(w.text) for w in self.screen.walk() if getattr(w, "text", ""))

    def leave(self) -> None:
        if self.left:
            return
        self.left = True
        Window.unbind(on_keyboard=self.walk.key)
        self.hand.clear()
        self.session.close()


def set_out(
    hand: Driver, folder: Path, as_of: str | None = "last", clock: SteppedClock | None = None
) -> Journey:
    """Open the app on a folder: the board, and the worker behind it."""
    session = Session(folder, as_of, clock or SteppedClock(), DEVICE)
    walk = Walk(session)
    walk.go("board")
    Window.bind(on_keyboard=walk.key)
    hand.show(walk)
    session.start()
    hand.until(lambda: session.ready or bool(session.trouble), 30)
    journey = Journey(hand, session, walk)
    journey.wait()
    return journey


def depth_keys(text: str) -> list[str]:
    """The keys for a depth in feet and inches, such as ``31' 11 5/8"``."""
    feet, _, inches = text.rstrip('"').partition("' ")
    whole, _, part = inches.partition(" ")
    return [*feet, "'", *whole, *(["eighths", part] if part else ['"'])]


@contextmanager
def one_at_a_time(hand: Driver, person: str = "Inspector A") -> Iterator[Callable[..., Journey]]:
    """Opens the app on a folder, with somebody holding it; what was open is left, also at the end."""
    begun: list[Journey] = []

    def leave() -> None:
        for each in begun:
            each.leave()
        begun.clear()

    def opened(folder: Path, **given: Any) -> Journey:
        leave()
        begun.append(set_out(hand, folder, **given))
        begun[0].session.person = person
        return begun[0]

    yield opened
    leave()
