"""Words of the screen on which an entry is typed, amended or struck."""

from __future__ import annotations

from typing import Final

from fieldapp.ui.words.tongue import Counted

RECORD: Final = "Record {title}"
RECORD_CHANGE: Final = "Record the change"
NEXT_FIELD: Final = "Next: {caption}"
GO_ON: Final = "Next field"
NOTHING_CHANGED: Final = "Nothing is changed yet"
AMENDING: Final = "{title}, amended"
STRIKING: Final = "strike {title}"
STRIKE: Final = "Strike this entry"
HOLD_TO_STRIKE: Final = "Hold down to strike"
KEEP_IT: Final = "Do not strike"
STRIKE_SAYS: Final = "A struck entry counts no more. It stays in the journal, with the reason."
BEGIN_ANEW: Final = "Begin anew"
BEGIN_ANEW_ASKS: Final = "Forget what is typed here? It was not recorded."
FORGET: Final = "Forget it"
KEEP_TYPED: Final = "No, keep it"

NEEDED: Final = "{caption}, needed"
NEEDS: Final = "what this entry needs"
WITH_UNIT: Final = "{caption}, {unit}"
LIKELY: Final = "likely {low} to {high}"
SAID_BEFORE: Final = "it said {before}"
SAID_NOTHING: Final = "it said nothing"
NOW: Final = "now"
YES: Final = "yes"
NO: Final = "no"
TAKE_UNIT: Final = "Take {unit}"

WHY: Final = "why it is changed"
WHY_STRUCK: Final = "why it is struck"
WHY_REASONS: Final = ("read the wrong mark", "typed wrong", "wrong point")
WHY_AMENDED: Final = (*WHY_REASONS, "left out")

WRITE_HERE: Final = "write here"
TAKE_NOW: Final = "Now"
DAY_BACK: Final = "Day before"
DAY_ON: Final = "Day after"
TODAY: Final = "today"
YESTERDAY: Final = "yesterday"
START: Final = "Start"
STOP: Final = "Stop"
START_AGAIN: Final = "Start again"
TYPE_THE_TIME: Final = "Type the time"
TO_THE_WATCH: Final = "Stopwatch"
RUNS_SINCE: Final = "runs since {time}"
FROM_CENTRE: Final = "{caption}, from the centre"
FROM_UPSTATION: Final = "{caption}, clockwise from upstation"

HEAD_OVER_TIME: Final = "head over the highest piezometric level"
NO_HEAD_YET: Final = "No head reading with a known piezometric level yet."
HEADS_UNKNOWN: Final = Counted(
    "{count} reading has no known piezometric level and is not drawn.",
    "{count} readings have no known piezometric level and are not drawn.",
)
