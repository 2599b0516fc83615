"""Views of the entries of a shaft: all of them, those of a stage, and one opened."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from fieldapp.desk.shaft.timeline import TimelineEntry
    from tests.screens.journey import Journey

View = Callable[["Journey"], None]


def _entries(shaft: str, stage: str = "", opened: Callable[[TimelineEntry], bool] | None = None) -> View:
    def view(on: Journey) -> None:
        on.walk.go("shaft", shaft=shaft)
        on.wait()
        on.walk.go("timeline", shaft=shaft, stage=stage)
        on.wait()
        if opened is not None:
            found = next(each for each in on.screen.page.entries if opened(each))
            on.screen._open_entry(found.id)
            on.wait()

    return view


TIMELINE_VIEWS: Final[dict[str, View]] = {
    "entries": _entries("P1-1"),
    "entries_stage": _entries("P1-4", "Head"),
    "entries_amended": _entries("P1-1", "", lambda each: each.amended),
    "entries_struck": _entries("P1-1", "", lambda each: each.struck),
    "entries_decision": _entries("P1-1", "", lambda each: each.kind == "release"),
}
