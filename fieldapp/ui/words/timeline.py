"""Words of the entries of a shaft."""

from __future__ import annotations

from typing import Final

from fieldapp.ui.words.tongue import Counted

TITLE: Final = "entries"
EVERY: Final = "Every stage {count}"
ONE_STAGE: Final = "{stage} {count}"
CHOOSE_STAGE: Final = "Tap a stage to see its entries alone."
NO_ENTRY: Final = "No entry was made here yet."
OLDER: Final = Counted("{count} older entry", "{count} older entries")
SAID: Final = "{caption} {text}"
BY: Final = "{author}, {place}"
OBSERVED: Final = "observed {time}"
RECORDED: Final = "recorded {time}"
LATE: Final = "late: recorded {span} after it was observed"
CONFIRMED: Final = "unlikely, asked about and confirmed: {what}"
QUESTIONS: Final = {
    "density-jump": "density far off the last one",
    "funnel-jump": "funnel time far off the last one",
    "level-jump": "fluid level far off the last one",
    "depth-off": "depth far off the base",
    "thick-layer": "a thick layer",
    "much-sand": "much sand",
    "odd-ph": "an unusual pH",
    "round-twice": "a round of this number is there already",
    "sign-open": "signed with something not met or not shown",
}
AMENDED: Final = "amended: {why}"
STRUCK: Final = "struck: {why}"
CONTESTED: Final = "contested: amended twice, each without the other; counts for nothing until settled"
WAITS: Final = "waits for an entry that is not here"

AS_MADE: Final = "as it was made"
CHANGED_BY: Final = "amended by {author}, {place}, {time}"
STRUCK_BY: Final = "struck by {author}, {place}, {time}"
WHY: Final = "why: {why}"
SAYS_NOW: Final = "it says now"
SAID_LAST: Final = "it said"
NOTHING: Final = "nothing"
OBSERVED_CAPTION: Final = "observed at"
AMEND: Final = "Amend"
AMEND_OR_STRIKE: Final = "Amend or strike"
STRIKE: Final = "Strike"
SETTLE: Final = "Settle what holds"
TO_ENTRIES: Final = "Back to the entries"
