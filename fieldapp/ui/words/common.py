"""Words that several screens share."""

from __future__ import annotations

from typing import Final

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
SOUND: Final = "sound the base"
TEST_FLUID: Final = "test the fluid"
ASK_FIRST: Final = "{said} Record all the same?"
CHECK_AGAIN: Final = "No, check it"
RECORD_ALL_THE_SAME: Final = "Record all the same"
CANNOT_BE: Final = "{field}: {read} cannot be. Expected {expected}."
RELEASED_UNTIL: Final = "released until {time}"
STATE_AND_TIME: Final = "{state}, {as_of}"
RELEASE_STATES: Final = {
    "lapsed": "release lapsed",
    "held": "concrete held",
    "withdrawn": "release withdrawn",
    "released": "released",
}
CONCRETE_IN: Final = "concrete in"
STOPPED: Final = (
    "Something went wrong in the program, not in the record. {saved} "
    "Close Basenote and open it again; what was half typed is kept."
)
STOPPED_SAVED: Final = "Last saved {time}."
STOPPED_NOTHING: Final = "Everything recorded before is safe."
STOPPED_FILE: Final = "For the office: what happened is written in {file}."
CLOSE: Final = "Close"


def sentence(text: str) -> str:
    """``base area share`` as it begins a line."""
    return text[:1].upper() + text[1:]


def kept_small(text: str) -> str:
    """``Sound the base`` as it stands inside a line."""
    return text[:1].lower() + text[1:]


def step(text: str) -> str:
    """A next step in the chosen language: a sentence, or work as the record names it, at its beginning."""
    whole = tr(text)
    return whole if whole != text else sentence(tr(kept_small(text)))
