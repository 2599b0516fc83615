"""Pictures of every screen for people to look at: ``python -m tests.screens.pictures FOLDER``.

Both schemes, both ways of holding the tablet, on the sample projects with real answers from the desk.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from tests.screens.round_views import ROUND_VIEWS
from tests.screens.walk_views import WALK_VIEWS

if TYPE_CHECKING:
    from tests.screens.journey import Journey
    from tests.support.driver import Driver

SHAFT = "P2-3"
ROUND = {
    "C": ("31' 11 1/4\"", "31' 11 1/2\""),
    "R1": ("31' 11\"", "31' 11 1/2\""),
    "R2": ("31' 10 1/2\"", "31' 11 3/8\""),
}
FLUID = {"density": "68.5", "funnel_time": "41", "sand": "4.5"}


def board(on: Journey) -> None:
    del on


def tap_all(on: Journey) -> None:
    from fieldapp.ui.words import board as words
    from fieldapp.ui.words.tongue import tr

    on.tap_text(tr(words.ALL, count="").strip())


def board_all(on: Journey) -> None:
    tap_all(on)


def person(on: Journey) -> None:
    on.tap(on.middle.ids.who)


def findings(on: Journey) -> None:
    on.tap_shaft(SHAFT)


def findings_source(on: Journey) -> None:
    on.tap_shaft("P1-4")
    on.tap_stage("Head")
    on.tap(next(each for each in on.middle.ids.pages.content.children if getattr(each, "source", "")))


def base(on: Journey) -> None:
    on.tap_shaft("P1-4")
    on.tap_stage("Base")


def base_two_rounds(on: Journey) -> None:
    tap_all(on)
    on.tap_shaft("P1-2")
    on.tap_stage("Base")


def base_unread(on: Journey) -> None:
    on.tap_shaft("P2-1")
    on.tap_stage("Base")


def evidence(on: Journey) -> None:
    on.tap_shaft("P2-1")
    on.tap_stage("Pictures and notes")


def released(on: Journey) -> None:
    tap_all(on)
    on.tap_shaft("P1-1")


def round_begun(on: Journey) -> None:
    on.session.person = "Inspector A"
    on.walk.go("shaft", shaft=SHAFT, stage="Base")
    on.wait()
    on.walk.go("round", shaft=SHAFT)
    on.wait()


def round_half(on: Journey) -> None:
    from tests.screens.journey import depth_keys

    round_begun(on)
    for label, depths in ROUND.items():
        assert on.screen.hand.typing.label == label, (
            label,
            on.screen.hand.typing,
            on.texts(),
            on.strip.next_text,
        )
        for depth in depths:
            on.keys(*depth_keys(depth))
            on.tap_next()
    on.keys(*depth_keys("31' 10\""))


def round_reasons(on: Journey) -> None:
    round_half(on)
    on.tap_second()


def round_refused(on: Journey) -> None:
    from tests.screens.journey import depth_keys

    round_half(on)
    on.tap_next()
    on.keys(*depth_keys("31' 9\""))
    on.tap_next()


def fluid_begun(on: Journey) -> None:
    on.session.person = "Inspector A"
    on.walk.go("shaft", shaft="P1-4", stage="Fluid")
    on.wait()
    on.walk.go("fluid", shaft="P1-4")
    on.wait()


def fluid_half(on: Journey) -> None:
    fluid_begun(on)
    for text in FLUID.values():
        on.keys(*("mark" if each == "." else each for each in text))
        on.keys("next")


def fluid_asked(on: Journey) -> None:
    fluid_begun(on)
    on.keys("8", "5", "next")
    on.tap_next()


def stopped(on: Journey) -> None:
    on.walk.stop_here("basenote-stopped-20260522-180200.txt")
    on.wait()


def round_metres(on: Journey) -> None:
    on.session.person = "Inspector C"
    on.walk.go("round", shaft="B3")
    on.wait()
    on.keys("1", "7", "mark", "9", "6")
    on.tap_next()
    on.keys("1", "7", "mark", "9", "8")
    on.tap_next()


def entry(on: Journey, shaft: str, **given: str) -> None:
    on.session.person = "Inspector A"
    on.walk.go("shaft", shaft=shaft)
    on.wait()
    on.walk.go("entry", shaft=shaft, **given)
    on.wait()


def tap_box(on: Journey, name: str) -> None:
    on.tap(on.middle.fields[name])


def write_box(on: Journey, name: str, text: str) -> None:
    tap_box(on, name)
    on.middle.tools.text_field.typing.insert_text(text)
    on.wait()


def entry_head(on: Journey) -> None:
    entry(on, "P1-4", kind="head reading")


def entry_head_low(on: Journey) -> None:
    entry_head(on)
    on.keys("3", "'", "6", "next")


def entry_asked(on: Journey) -> None:
    entry_head(on)
    on.keys("2", "9", "'", "6", "next")
    on.tap_next()


def entry_pass(on: Journey) -> None:
    entry(on, "P1-2", kind="cleanout pass")


def entry_pass_runs(on: Journey) -> None:
    entry_pass(on)
    on.tap(on.middle.tools.choices.rows["airlift"])
    watch = on.middle.tools.watch
    on.tap(watch.ids.key)
    watch.ticks = lambda: watch.began_s + 307.2
    on.hand.until(lambda: watch.shown == "5:07.2")


def entry_pass_time(on: Journey) -> None:
    entry_pass(on)
    tap_box(on, "started_at")
    on.tap(on.middle.tools.turn)
    on.keys("1", "4", "0", "5")


def entry_event(on: Journey) -> None:
    entry(on, "P2-1", kind="event")


def entry_note(on: Journey) -> None:
    entry(on, "P2-1", kind="note")
    write_box(on, "text", "The pump stood for ten minutes. The crew found a torn hose and changed it.")


def entry_water(on: Journey) -> None:
    entry(on, "P2-2", kind="standing water")
    on.keys("4", "next")
    tap_box(on, "window")


def entry_sighting(on: Journey) -> None:
    entry(on, "P2-5", kind="base sighting")
    on.tap(on.middle.tools.suggested.rows["camera from the surface"])
    tap_box(on, "seen")
    on.tap(on.middle.tools.choices.rows["void"])
    on.tap(on.middle.tools.choices.rows["water"])


def entry_refused(on: Journey) -> None:
    entry(on, "P2-1", kind="excavation stage")
    on.keys("9", "0", "0", "'", "next")
    tap_box(on, "from_depth")


def entry_unit(on: Journey) -> None:
    entry(on, "P1-4", kind="fluid test")
    tap_box(on, "density")
    on.keys("1", "mark", "0", "5", "next")


def last_head(on: Journey) -> str:
    from fieldapp.record.column import HeadReading

    found: list[str] = []
    on.session.ask(lambda place: place.shaft("P1-4").last(HeadReading).id, found.append, print)
    on.wait()
    return found[0]


def entry_amended(on: Journey) -> None:
    entry(on, "P1-4", amend=last_head(on))
    on.keys("back", "back", "back", "1", '"', "next")
    on.tap_next()
    on.tap(on.middle.tools.suggested.rows["read the wrong mark"])


def entry_struck(on: Journey) -> None:
    entry(on, "P1-4", amend=last_head(on))
    on.tap_second()
    on.tap(on.middle.tools.suggested.rows["wrong point"])


VIEWS: dict[str, dict[str, Callable[[Journey], None]]] = {
    "larkwater": {
        each.__name__: each
        for each in (
            board, board_all, person, findings, findings_source, base, base_two_rounds, base_unread, evidence,
            released, round_begun, round_half, round_reasons, round_refused, fluid_begun, fluid_half,
            fluid_asked, stopped, entry_head, entry_head_low, entry_asked, entry_pass, entry_pass_runs,
            entry_pass_time, entry_event, entry_note, entry_water, entry_sighting, entry_refused, entry_unit,
            entry_amended, entry_struck,
        )
    },
    "vesker": {"round_metres": round_metres},
}  # fmt: skip

VIEWS["larkwater"] |= ROUND_VIEWS | WALK_VIEWS


def open_window() -> Driver:
    """A window as the tests have it: offscreen when there is no display."""
    import_module("tests.screens.conftest")  # sets what Kivy reads when it is loaded
    from kivy.base import EventLoop

    sys.stderr = sys.__stderr__  # Kivy keeps it for its log, which is off
    EventLoop.ensure_window()
    EventLoop.start()
    from tests.support.driver import Driver

    return Driver()


def take(folder: Path, only: str, scales: list[float]) -> None:
    """Every view in both schemes and both ways, at the text scales asked for."""
    import shutil

    hand = open_window()
    from fieldapp.ui.widgets.theme import theme
    from tests.screens.journey import begin, set_out
    from tests.support.driver import LANDSCAPE, PORTRAIT

    with tempfile.TemporaryDirectory() as made:
        whole = {name: begin(Path(made) / name, name) for name in VIEWS}
        for project, views in VIEWS.items():
            for name, walk_to in views.items():
                if only not in name:
                    continue
                for size, way in ((LANDSCAPE, "landscape"), (PORTRAIT, "portrait")):
                    for scale in scales:
                        hand.resize(size)
                        theme.scheme, theme.text_scale = "noon", scale
                        copy = Path(made) / "copy"
                        shutil.rmtree(copy, ignore_errors=True)
                        journey = set_out(hand, Path(shutil.copytree(whole[project], copy)))
                        walk_to(journey)
                        hand.until(lambda: all(getattr(w, "state", "") != "down" for w in hand.widgets()))
                        for scheme in ("noon", "night"):
                            theme.scheme = scheme
                            hand.settle()
                            scaled = "" if scale == 1 else f"_{scale:g}"
                            hand.shot(folder / f"{name}_{way}{scaled}_{scheme}.png")
                        theme.scheme = "noon"
                        journey.leave()


def main() -> None:
    from fieldapp.ui.words.tongue import choose

    parser = argparse.ArgumentParser(description="Pictures of every screen.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--only", default="", help="a part of the name of the screens wanted")
    parser.add_argument("--language", default="en", help="the language of the screens")
    parser.add_argument("--scale", type=float, action="append", help="text scale, 1 by default")
    asked = parser.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    os.environ["KIVY_NO_ARGS"] = "1"
    choose(asked.language)
    take(asked.folder, asked.only, asked.scale or [1.0])


if __name__ == "__main__":
    main()
