"""Words of a round of soundings."""

from __future__ import annotations

from typing import Final

from fieldapp.ui.words.tongue import Counted

FIRST_CONTACT: Final = "{label}, first contact"
FIRM: Final = "{label}, firm"
FIRST_CONTACT_ONLY: Final = "first contact"
FIRM_ONLY: Final = "firm"
THICKNESS_IS: Final = "thickness {thickness}"
TO_FIRM: Final = "{label}: firm depth"
TYPE_A_DEPTH: Final = "{label}: type a depth"
SAVE: Final = "Save {label}"
SAVE_AND_GO: Final = "Save {label}, go to {next}"
SAVE_ONE_DEPTH: Final = "Save {label} without firm depth"
RECORD: Final = "Record round {number}"
NO_READING: Final = "No reading"
BACK_TO_KEYS: Final = "Back to the keys"
WHY_NO_READING: Final = "Why is there no reading at {label}?"
REASONS: Final = (
    "cage in the way",
    "obstruction",
    "could not reach",
    "left out on purpose",
    "not read yet",
)
ALL_TYPED: Final = "Every point has its answer. Tap a point to change it, or record the round."
ONE_DEPTH: Final = "{label} has one depth only: its thickness is not shown."
PROGRESS: Final = "{done} of {all} points"
TITLE: Final = "{title}, {progress}"
CAUTION: Final = "Stay behind the guard. Nobody enters the hole: sound from the surface."

NOTHING_CHANGED: Final = "Nothing is changed yet"
TO_WHY: Final = "Next: why it is changed"
RECORD_CHANGE: Final = "Record the change"
WHY: Final = "Why is this round changed?"
WHY_HINT: Final = "in a few words"
WHY_REASONS: Final = ("read the wrong mark", "typed wrong", "wrong point")
TAP_TO_CHANGE: Final = "Tap a point to change it."

MOVE: Final = "Move {label}"
ADD: Final = "Add a point"
TAPE: Final = "Tape: {unit}"
COMPARE: Final = "Compare"
FROM_CENTRE: Final = "{label}, from the centre"
FROM_UPSTATION: Final = "{label}, clockwise from upstation"
NEW_PLACE: Final = "Tap the new place of {label}, or type it."
PLACE_TO_ADD: Final = "Tap the place of {label}, or type it."
MOVE_HERE: Final = "Move {label} here"
ADD_HERE: Final = "Add {label} here"
LEAVE_PLACE: Final = "Leave it there"
LEAVE_OUT: Final = "Do not add it"
TAKE_OUT: Final = "Take {label} out"

HOW_IS_IT_MARKED: Final = "How is the tape marked?"
TAPES: Final = {
    "ft-in": "feet and inches: 31' 10 1/4\"",
    "ft": "feet: 31.85",
    "m": "metres: 9.71",
}

NOT_SHOWN: Final = Counted(
    "Share, largest and mean not shown: {count} of {all} points has no thickness.",
    "Share, largest and mean not shown: {count} of {all} points have no thickness.",
)
ASSURED: Final = "assured at {confidence}"
ASSURED_PLAIN: Final = "assured share"
POINTS_NOT_READ: Final = Counted(
    "{count} of {all} points has no thickness.", "{count} of {all} points have no thickness."
)
OVER: Final = "{labels} over {limit}, {side}."
OVER_MANY: Final = "{count} points over {limit}, {side}."
SIDES: Final = {
    "upstation": "on the upstation side",
    "upstation right": "upstation and right",
    "right": "on the right",
    "downstation right": "downstation and right",
    "downstation": "on the downstation side",
    "downstation left": "downstation and left",
    "left": "on the left",
    "upstation left": "upstation and left",
    "middle": "in the middle",
    "all around": "all around",
}
TELLS_MOST_POINT: Final = "Sound {point} next: it tells most."
TELLS_MOST_NEAR: Final = "Sound near {point} next, {r} {unit} from the centre, {angle} deg: it tells most."
TELLS_MOST: Final = "Sound {r} {unit} from the centre, {angle} deg, next: it tells most."
SETTLED_HOLDS: Final = (
    "More soundings cannot change the outcome: by the map the limits are met, chance {chance}."
)
SETTLED_NOT: Final = (
    "More soundings cannot change the outcome: by the map the limits are met with a chance of {chance} only."
)

TO_CLASS: Final = "to {end}"
TO_FIRST_CLASS: Final = "to {end} {unit}"
OVER_CLASS: Final = "over {end}"
UNDERLINED: Final = "a number over {limit} is underlined"

ROUND: Final = "Round {number}"
WITH_WHICH: Final = "Compare with"
CHANGE: Final = "{label}: {change}, was {was}"
CHANGE_FROM: Final = "{label}: {change}, was {was} at {nearest}, {apart} away"
NO_CHANGE_SHOWN: Final = "{label}: not shown, was {was}"
