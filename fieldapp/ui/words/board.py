"""Words of the board."""

from __future__ import annotations

from typing import Final

from fieldapp.ui.words.tongue import Counted

SHAFTS: Final = Counted("{count} shaft", "{count} shafts")
NEEDS_A_HAND: Final = "Needs a hand {count}"
ALL: Final = "All {count}"
RELEASED: Final = "Released {count}"
CONCRETE_IN: Final = "Concrete in {count}"
NOT_SHOWN: Final = "Not shown {count}"
STAGE: Final = "stage"
FIND: Final = "Find a shaft"
WHO: Final = "Who holds the tablet?"
HOLDS: Final = "{name} holds the tablet"
MORE: Final = "More"
TO_THE_BOARD: Final = "Back to the board"
MORE_TO: Final = {
    "schedule": "Schedule a shaft",
    "instrument": "Check an instrument",
    "people": "People",
    "acceptance": "Acceptance set",
    "papers": "Papers",
    "bundle out": "Bundle out",
    "bundle in": "Bundle in",
    "projects": "Projects",
    "settings": "Settings",
}
NOTHING_TO_DO: Final = "No shaft needs a hand now. All shows every shaft."
NOTHING_HERE: Final = "No shaft stands here now. All shows every shaft."
NOT_FOUND: Final = "No shaft here has these letters in its name."
NO_SHAFT: Final = "This project has no shaft yet. The office schedules them."
