"""Words of a round of soundings."""

from __future__ import annotations

from typing import Final

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
REASONS: Final = ("cage in the way", "obstruction", "could not reach", "not read yet")
ALL_TYPED: Final = "Every point has its answer. Tap a point to change it, or record the round."
ONE_DEPTH: Final = "{label} has one depth only: its thickness is not shown."
PROGRESS: Final = "{done} of {all} points"
CAUTION: Final = "Stay behind the guard. Nobody enters the hole: sound from the surface."
