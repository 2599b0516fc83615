"""Pictures of every screen for people to look at: ``python -m tests.screens.pictures FOLDER``.

Every view of ``tests/screens/views`` in both schemes at three sizes, on the sample projects with real
answers from the desk.  Each is walked to once and then turned from size to size, as a tablet is turned.
"""

from __future__ import annotations

import argparse
import gc
import os
import shutil
import sys
import tempfile
import time
import traceback
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Final

from tests.screens.views.every import FIRST, View, every_view

if TYPE_CHECKING:
    from tests.screens.journey import Journey
    from tests.support.driver import Driver

SIZES: Final = {"landscape": (1280, 800), "portrait": (800, 1280), "large": (1920, 1200)}
SCHEMES: Final = ("noon", "night")
SURFACE: Final = (1920, 1280)
"""Offscreen keeps its first surface, so it has to hold every size."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which pictures: names of views, or parts of names unless ``exactly`` (none: all), and how."""

    folder: Path
    only: tuple[str, ...]
    sizes: tuple[str, ...]
    schemes: tuple[str, ...]
    language: str
    scales: tuple[float, ...]
    exactly: bool = False

    def has(self, view: str) -> bool:
        if self.exactly:
            return view in self.only
        return not self.only or any(part in view for part in self.only)

    def path(self, view: str, size: str, scheme: str, scale: float) -> Path:
        scaled = "" if scale == 1 else f"_{scale:g}"
        spoken = "" if self.language == "en" else f"_{self.language}"
        return self.folder / f"{view}_{size}{scaled}{spoken}_{scheme}.png"


def open_window() -> Driver:
    """A window as the tests have it, on a surface for every size."""
    os.environ.setdefault("KCFG_GRAPHICS_WIDTH", str(SURFACE[0]))
    os.environ.setdefault("KCFG_GRAPHICS_HEIGHT", str(SURFACE[1]))
    import_module("tests.screens.conftest")  # sets what Kivy reads when it is loaded
    from kivy.base import EventLoop

    sys.stderr = sys.__stderr__  # Kivy keeps it for its log, which is off
    EventLoop.ensure_window()
    EventLoop.start()
    from tests.support.driver import Driver

    return Driver()


def take(wanted: Wanted) -> list[str]:
    """Take the pictures; what went wrong with a view is returned, and the others are taken all the same."""
    hand = open_window()
    from tests.screens.journey import begin
    from tests.screens.views.sites import made_here

    made_here()  # before anything asks what this device knows
    wrong: list[str] = []
    with tempfile.TemporaryDirectory() as made:
        for project, views in every_view().items():
            chosen = {name: each for name, each in views.items() if wanted.has(name)}
            whole = begin(Path(made) / project, project) if chosen else Path(made)
            for name, walk_to in chosen.items():
                for scale in wanted.scales:
                    copy = Path(made) / "copy"
                    shutil.rmtree(copy, ignore_errors=True)
                    shutil.copytree(whole, copy)
                    try:
                        _view(hand, copy, (name, walk_to), scale, wanted)
                    except Exception:  # noqa: BLE001 - one view must not cost the others
                        traceback.print_exc()
                        wrong.append(f"{name} at {scale:g}")
    return wrong


def _view(hand: Driver, folder: Path, view: tuple[str, View], scale: float, wanted: Wanted) -> None:
    from fieldapp.ui.widgets.theme import theme
    from tests.screens.journey import set_out

    name, walk_to = view
    began_s = time.monotonic()
    hand.resize(SIZES[wanted.sizes[0]])
    theme.scheme, theme.text_scale = "noon", scale
    journey = set_out(hand, folder)
    try:
        walk_to(journey)
        _is_there(journey, name)
        for size in wanted.sizes:
            hand.resize(SIZES[size])
            hand.settle()
            hand.until(lambda: all(getattr(w, "state", "") != "down" for w in hand.widgets()))
            for scheme in wanted.schemes:
                theme.scheme = scheme
                hand.settle()
                hand.shot(wanted.path(name, size, scheme, scale))
            theme.scheme = "noon"
    finally:
        journey.leave()
        gc.collect()  # widgets of this view would still follow every change of the theme
    sys.stdout.write(f"{name} {time.monotonic() - began_s:.1f} s\n")
    sys.stdout.flush()


def _is_there(journey: Journey, name: str) -> None:
    """Each screen is held to the view that is said to show it."""
    for screen, view in FIRST.items():
        if view == name and journey.walk.current != screen:
            raise AssertionError(f"{name} shows {journey.walk.current}, not {screen}")


def main() -> int:
    from fieldapp.ui.words.tongue import choose

    parser = argparse.ArgumentParser(description="Pictures of every screen.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--only", action="append", default=[], help="a part of the names of the views wanted")
    parser.add_argument("--exactly", action="store_true", help="the names are whole names")
    parser.add_argument("--size", action="append", choices=list(SIZES), help="all by default")
    parser.add_argument("--scheme", action="append", choices=SCHEMES, help="both by default")
    parser.add_argument("--language", default="en", help="the language of the screens")
    parser.add_argument("--scale", type=float, action="append", help="text scale, 1 by default")
    parser.add_argument("--sheets", type=int, metavar="N", help="contact sheets of N pictures as well")
    asked = parser.parse_args()
    wanted = Wanted(
        asked.folder,
        tuple(asked.only),
        tuple(asked.size or SIZES),
        tuple(asked.scheme or SCHEMES),
        asked.language,
        tuple(asked.scale or [1.0]),
        asked.exactly,
    )
    wanted.folder.mkdir(parents=True, exist_ok=True)
    os.environ["KIVY_NO_ARGS"] = "1"
    choose(wanted.language)
    wrong = take(wanted)
    if asked.sheets:
        from tests.screens.sheets import lay_out

        sys.stdout.writelines(f"{each}\n" for each in lay_out(wanted.folder, asked.sheets))
    sys.stderr.writelines(f"not taken: {each}\n" for each in wrong)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
