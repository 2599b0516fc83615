"""Ways to a fluid test in every state that it can be in, for pictures and for the test of fit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.screens.journey import Journey

SHAFT: Final = "P1-4"
HALF: Final = {"density": "68.5", "funnel_time": "41", "sand": "4.5"}


def number_keys(text: str) -> list[str]:
    """The keys of a decimal number."""
    return ["mark" if each == "." else each for each in text]


def run_watch(on: Journey, seconds: float) -> None:
    """Start the stopwatch, and let it come to this time."""
    watch = on.middle.watch
    on.tap(watch.ids.key)
    began_s = watch.began_s
    watch.ticks = lambda: began_s + seconds
    on.hand.until(lambda: abs(watch.elapsed_s - seconds) < 1e-3)


def fluid_begun(on: Journey) -> None:
    on.session.person = "Inspector A"
    on.walk.go("shaft", shaft=SHAFT, stage="Fluid")
    on.wait()
    on.walk.go("fluid", shaft=SHAFT)
    on.wait()


def fluid_half(on: Journey) -> None:
    fluid_begun(on)
    for text in HALF.values():
        on.keys(*number_keys(text))
        on.keys("next")


def fluid_asked(on: Journey) -> None:
    fluid_begun(on)
    on.keys("8", "5", "next")
    on.tap_next()


def fluid_watch(on: Journey) -> None:
    fluid_begun(on)
    on.keys(*number_keys("68.5"), "next")


def fluid_watch_runs(on: Journey) -> None:
    fluid_watch(on)
    run_watch(on, 37.4)


def fluid_watch_stopped(on: Journey) -> None:
    fluid_watch_runs(on)
    on.tap(on.middle.watch.ids.key)


def fluid_instruments(on: Journey) -> None:
    fluid_begun(on)
    on.tap(on.middle.kit)


def fluid_water(on: Journey) -> None:
    fluid_begun(on)
    on.tap(on.middle.check)


def _watered(on: Journey, seconds: float, warmth: str) -> None:
    fluid_water(on)
    run_watch(on, seconds)
    on.tap(on.middle.watch.ids.key)
    on.keys("next", *warmth)


def fluid_water_passed(on: Journey) -> None:
    _watered(on, 26.3, "70")


def fluid_water_failed(on: Journey) -> None:
    _watered(on, 28.1, "70")


def fluid_water_cold(on: Journey) -> None:
    _watered(on, 26.3, "55")


FLUID_VIEWS: Final[dict[str, Callable[[Journey], None]]] = {
    each.__name__: each
    for each in (
        fluid_begun, fluid_half, fluid_asked, fluid_watch, fluid_watch_runs, fluid_watch_stopped,
        fluid_instruments, fluid_water, fluid_water_passed, fluid_water_failed, fluid_water_cold,
    )
}  # fmt: skip
