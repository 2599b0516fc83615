"""What a hand does on the screen of a fluid test."""

from __future__ import annotations

from pathlib import Path

from fieldapp.desk.inspector import kept_form
from fieldapp.desk.workplace import open_project
from tests.screens.journey import DEVICE, Journey, SteppedClock, entries_of
from tests.screens.views.fluid_views import number_keys

SHAFT = "P1-4"
SET = {"density": "68.5", "funnel_time": "41", "sand": "1.5", "ph": "9.1", "temperature": "62"}


class Ticks:
    """The steady clock and the tablet's clock, both as far as a test says."""

    def __init__(self) -> None:
        self.at_s = 5000.0

    def __call__(self) -> float:
        return self.at_s


def to_fluid(on: Journey, shaft: str = SHAFT) -> None:
    on.walk.go("shaft", shaft=shaft, stage="Fluid")
    on.wait()
    on.walk.go("fluid", shaft=shaft)
    on.wait(hops=3)


def type_into(on: Journey, name: str, text: str, *, last: bool = False) -> None:
    assert on.screen.typing.field == name
    on.keys(*number_keys(text), *([] if last else ["next"]))


def to_funnel(on: Journey) -> Ticks:
    """The funnel field in hand, and the clock by which its watch counts."""
    type_into(on, "density", "68.5")
    return ticking(on)


def ticking(on: Journey) -> Ticks:
    on.middle.watch.ticks = ticks = Ticks()
    return ticks


def press(on: Journey) -> None:
    on.tap(on.middle.watch.ids.key)


def time_it(on: Journey, ticks: Ticks, seconds: float) -> None:
    press(on)
    ticks.at_s += seconds
    press(on)


def new_entries(folder: Path, before: tuple) -> list:
    return sorted(set(entries_of(folder)) - set(before), key=lambda each: each.stamp)


def funnel_text(on: Journey) -> str:
    return on.middle.fields["funnel_time"].value


def kept(on: Journey, folder: Path) -> dict:
    on.leave()
    with open_project(folder, SteppedClock(), DEVICE) as place:
        return kept_form(place, f"fluid {SHAFT}") or {}
