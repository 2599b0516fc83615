"""Views of a shaft: every stage, with the base read, unread, sounded often, and released."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from tests.screens.journey import Journey

View = Callable[["Journey"], None]


def _stage(shaft: str, stage: str) -> View:
    def view(on: Journey) -> None:
        on.walk.go("shaft", shaft=shaft, stage=stage)
        on.wait()

    return view


def shaft(on: Journey) -> None:
    on.tap_shaft("P2-3")


def shaft_source(on: Journey) -> None:
    _stage("P1-4", "Head")(on)
    on.tap(next(each for each in on.middle.ids.pages.content.children if getattr(each, "source", "")))


def base_earlier(on: Journey) -> None:
    """An earlier round of a base that was sounded four times."""
    from fieldapp.ui.words import round as words
    from fieldapp.ui.words.tongue import tr

    _stage("P1-2", "Base")(on)
    on.tap_text(tr(words.ROUND, number=2))


def shaft_timed(on: Journey) -> None:
    """A shaft on which a cleanout pass is being timed."""
    from tests.screens.entry_journey import take, to

    to(on, "P1-4", kind="cleanout pass")
    take(on, "started_at")
    on.tap(on.middle.tools.watch.ids.key)
    on.press()


SHAFT_VIEWS: Final[dict[str, View]] = {
    "shaft": shaft,
    "shaft_source": shaft_source,
    "shaft_timed": shaft_timed,
    "base_earlier": base_earlier,
    "base_reworked": _stage("P1-4", "Base"),
    "base_rounds": _stage("P1-2", "Base"),
    "base_unread": _stage("P2-1", "Base"),
    "base_water": _stage("P2-2", "Base"),
    "base_void": _stage("P2-5", "Base"),
    "stage_hole": _stage("P2-3", "Hole"),
    "stage_fluid": _stage("P2-1", "Fluid"),
    "stage_head": _stage("P1-4", "Head"),
    "stage_cleaning": _stage("P1-2", "Cleaning"),
    "stage_base": _stage("P2-4", "Base"),
    "stage_notes": _stage("P2-1", "Pictures and notes"),
    "stage_sign": _stage("P1-1", "Sign the log"),
    "stage_release": _stage("P1-2", "Release"),
    "stage_credit": _stage("P1-1", "Credit"),
}
