"""Which screen does a piece of work, makes a kind of entry, or holds a stage.  Pure; knows no window."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

ENTRY: Final = "entry"
ROUND: Final = "round"
FLUID: Final = "fluid"
TIMELINE: Final = "timeline"
SOUNDING_ROUND: Final = "sounding round"
FLUID_TEST: Final = "fluid test"
SOUND: Final = "sound the base"


@dataclass(frozen=True, slots=True)
class Way:
    """A screen, and the kind of entry that it is opened with; ``of_project`` when it is of no one shaft."""

    screen: str
    kind: str = ""
    of_project: bool = False


OF_WORK: Final = {
    "clean the base again": Way(ENTRY, "cleanout pass"),
    "exchange the fluid": Way(ENTRY, "cleanout pass"),
    "restore the head": Way(ENTRY, "head reading"),
    "overream the bottom": Way(ENTRY, "event"),
    "pump the base dry or flood the hole": Way(ENTRY, "standing water"),
    SOUND: Way(ROUND, SOUNDING_ROUND),
    "test the fluid": Way(FLUID, FLUID_TEST),
    "read the head": Way(ENTRY, "head reading"),
    "measure the water on the base": Way(ENTRY, "standing water"),
    "look at the base from the surface": Way(ENTRY, "base sighting"),
    "measure the hole from the surface": Way(ENTRY, "geometry survey"),
    "check the instrument": Way(ENTRY, "instrument", of_project=True),
    "settle the amendments that disagree": Way(TIMELINE),
    "enter the limit in the acceptance set": Way("acceptance", of_project=True),
    "ask the engineer": Way("release"),
    "record that concrete finished": Way(ENTRY, "concrete finished"),
}
"""What does a piece of work, by its word."""

OF_KIND: Final = {
    SOUNDING_ROUND: Way(ROUND, SOUNDING_ROUND),
    FLUID_TEST: Way(FLUID, FLUID_TEST),
    "shaft scheduled": Way("schedule", "shaft scheduled"),
}
"""Kinds with a screen of their own; every other one is made on the screen of an entry."""

EARLIER_TEST: Final = "earlier fluid test"
OF_EARLIER_TEST: Final = Way(ENTRY, FLUID_TEST)
"""A test before the base is reached, or of a stage that is over, says its stage itself."""

OF_STAGE: Final = {"Sign the log": Way("signoff"), "Release": Way("release"), "Credit": Way("credit")}
"""Stages that are screens of their own."""

BASE_REACHED: Final = "base reached"
ROUNDS_MADE: Final = "sounding rounds"
CAGE_SET: Final = Way(ENTRY, "event")
"""What has to be recorded before the rounds after it count as such."""


def way_of_kind(kind: str) -> Way:
    """The screen that makes an entry of this kind."""
    if kind == EARLIER_TEST:
        return OF_EARLIER_TEST
    return OF_KIND.get(kind, Way(ENTRY, kind))


def way_of_next(work: str, serves: str, stage: str, release: str) -> Way | None:
    """The screen of the next useful thing; None when nothing but its stage can be shown."""
    if work in OF_WORK:
        return OF_WORK[work]
    if serves == BASE_REACHED:
        return Way(ENTRY, "excavation stage")
    if stage == "Release" and release.startswith("released"):
        return Way(ENTRY, "concrete started")
    return OF_STAGE.get(stage)
