"""Views of the board, the stages of a shaft and its entries, for the pictures of every screen."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from fieldapp.desk.shaft.timeline import TimelineEntry
    from tests.screens.journey import Journey

View = Callable[["Journey"], None]


def board_more(on: Journey) -> None:
    on.tap(on.middle.foot.more_button)


def board_found(on: Journey) -> None:
    on.middle.rows.find.typing.text = "p2"
    on.wait()


def _stage(shaft: str, stage: str) -> View:
    def view(on: Journey) -> None:
        on.walk.go("shaft", shaft=shaft, stage=stage)
        on.wait()

    return view


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


WALK_VIEWS: Final[dict[str, View]] = {
    "board_more": board_more,
    "board_found": board_found,
    "stage_hole": _stage("P2-3", "Hole"),
    "stage_fluid": _stage("P2-1", "Fluid"),
    "stage_head": _stage("P1-4", "Head"),
    "stage_cleaning": _stage("P1-2", "Cleaning"),
    "stage_base": _stage("P2-4", "Base"),
    "stage_notes": _stage("P2-1", "Pictures and notes"),
    "stage_release": _stage("P1-2", "Release"),
    "entries": _entries("P1-1"),
    "entries_stage": _entries("P1-4", "Head"),
    "entries_amended": _entries("P1-1", "", lambda each: each.amended),
    "entries_struck": _entries("P1-1", "", lambda each: each.struck),
    "entries_decision": _entries("P1-1", "", lambda each: each.kind == "release"),
}
