"""Words that several screens share."""

from __future__ import annotations

from typing import Final

from fieldapp.ui.words import months
from fieldapp.ui.words.tongue import tr

STANDING: Final = "base standing"
SAVED: Final = "saved {time}"
AS_OF: Final = "as of {time}"
OPENING: Final = "Opening the project ..."
WORKING: Final = "One moment ..."
TRY_AGAIN: Final = "Try again"
NEXT: Final = "Next: {step}"
GO_ON_WITH_ROUND: Final = "go on with the round"
GO_ON_WITH_FLUID: Final = "go on with the fluid test"
WATCH_RUNS: Final = "Go on: {kind}, the watch runs"
SOUND: Final = "sound the base"
RECORD_CAGE: Final = "record the cage as set"
TEST_FLUID: Final = "test the fluid"
ASK_FIRST: Final = "{said} Record all the same?"
CHECK_AGAIN: Final = "No, check it"
RECORD_ALL_THE_SAME: Final = "Record all the same"
CANNOT_BE: Final = "{field}: {read} cannot be. Expected {expected}."
NOTHING_WRITTEN: Final = "{field}: nothing is written. Expected {expected}."
RELEASED_UNTIL: Final = "released until {time}"
STATE_AND_TIME: Final = "{state}, {as_of}"
RELEASE_STATES: Final = {
    "lapsed": "release lapsed",
    "held": "concrete held",
    "withdrawn": "release withdrawn",
    "released": "released",
}
CONCRETE_IN: Final = "concrete in"
CLOCKS: Final = {
    "release_until": "released until {time}",
    "test_fluid_by": "test the fluid by {time}",
    "sound_by": "sound by {time}",
    "sound_again_by": "sound again by {time}, by the forecast",
    "read_head_by": "read the head by {time}",
    "measure_water_by": "measure the water by {time}",
    "clean_by": "cleaning counts until {time}",
    "overream_after": "overream if open past {time}",
    "open_until": "open overnight after {time}",
}
CLOCKS_OVER: Final = {
    "release_until": "release lapsed",
    "test_fluid_by": "fluid test due since",
    "sound_by": "sounding due since",
    "sound_again_by": "sounding due since",
    "read_head_by": "head reading due since",
    "measure_water_by": "water reading due since",
    "clean_by": "cleaning too old since",
    "overream_after": "open too long since",
    "open_until": "open overnight since",
}
TIME_LEFT: Final = "{left} left"
STOPPED: Final = (
    "Something went wrong in the program, not in the record. {saved} "
    "Close Basenote and open it again; what was half typed is kept."
)
STOPPED_SAVED: Final = "Last saved {time}."
STOPPED_NOTHING: Final = "Everything recorded before is safe."
STOPPED_FILE: Final = "For the office: what happened is written in {file}."
CLOSE: Final = "Close"

# Next steps with a value in them, which the board has as plain text.
_KEPT_AS_TEXT: Final = ("Start concrete before {time}", "Filed: {decision}")


def sentence(text: str) -> str:
    """``base area share`` as it begins a line."""
    return text[:1].upper() + text[1:]


def kept_small(text: str) -> str:
    """``Sound the base`` as it stands inside a line."""
    return text[:1].lower() + text[1:]


def step(text: str) -> str:
    """A next step in the chosen language: a sentence, or work as the record names it, at its beginning."""
    whole = tr(text)
    if whole != text:
        return whole
    for template in _KEPT_AS_TEXT:
        begins, _, field = template.strip("}").partition("{")
        if text.startswith(begins):
            rest = text.removeprefix(begins).split(" ")
            value = tr(" ".join(tr(each) if each in months.MONTHS else each for each in rest))
            return tr(template, **{field: value})
    return sentence(tr(kept_small(text)))
