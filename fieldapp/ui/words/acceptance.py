"""Words of the acceptance sets, of each number in them, and of adopting one."""

from __future__ import annotations

from typing import Final

from fieldapp.criteria.parameters import PARAMETERS
from fieldapp.ui.words.tongue import Counted

TITLE: Final = "Acceptance set"
ADOPTED_NOW: Final = "adopted now"
TO_CHOOSE: Final = "sets to choose from"
OPEN_ADOPTED: Final = "See and edit its numbers"
FOR: Final = {
    "eu-en1536": "For bored piles under EN 1536. The project enters its own limits for sediment.",
    "in-is2911": "For bored cast-in-place piles under IS 2911, judged by the density of the fluid there.",
    "legacy-ufc1997": "For old contracts that still name the table of 1997. Only the fluid has limits.",
    "us-2018": "For contracts that name the manual of 2018. Its base limits follow the classic form.",
    "us-classic": "For shafts whose base counts, under the usual clauses of US agencies.",
    "us-friction-only": "For shafts that are designed on side resistance alone.",
    "us-miscellaneous": "For signs, signals and light poles, not for bridges.",
}
NUMBERS: Final = Counted("{count} number", "{count} numbers")
MUST_ENTER: Final = Counted("{count} must be entered", "{count} must be entered")
BEGIN_ASKS: Final = "Begin with {title}? What was edited before and not adopted is forgotten."
GO_ON: Final = "No, go on with it"
BEGIN: Final = "Begin anew"
UNFIT: Final = "These edits do not fit this set any more and are left out: {names}."

GROUPS: Final = {
    "base": "Base",
    "soundings": "Soundings",
    "time": "Time",
    "slurry": "Fluid limits",
    "sampling": "Sampling",
    "head": "Head",
    "geometry": "Shape",
    "concrete": "Concrete",
    "design": "Design",
    "evidence": "Evidence",
    "administration": "Office",
}
MEANINGS: Final = {name: kind.meaning for name, kind in PARAMETERS.items()}
CHOICES: Final = tuple(word.replace("_", " ") for kind in PARAMETERS.values() for word in kind.words)
CASES: Final = {
    "method": "method {words}",
    "fluid": "fluid {words}",
    "stage": "stage {words}",
    "salinity": "water {words}",
    "design_basis": "counted on {words}",
    "structure_class": "structure {words}",
    "instrument": "with {words}",
    "diameter_from": "diameter from {length}",
    "diameter_under": "diameter under {length}",
}
CONFIDENCES: Final = {
    "read": "read in the document",
    "read (transcription)": "read in a copy of the document",
    "second-hand": "second-hand: read where it is quoted",
    "memory: sure": "from memory, sure",
    "memory: fair": "from memory, fairly sure",
    "common practice": "common practice",
    "judgment": "judgment",
    "calculated": "calculated",
    "contract": "from the contract",
    "none": "no number yet",
}
EXPECTED: Final = (
    "a value that is not negative",
    "a share of at most 100 % or a factor of at most 1",
    "a whole number",
)
ENTER: Final = "must be entered"
STRICTLY: Final = "{value}, not the value itself"
SOURCE: Final = "{confidence}: {source}"
VERIFIED: Final = "{confidence}, verified by {name}: {source}"
EDITED: Final = "edited here, not adopted yet"
CLAUSE: Final = "{source}, {clause}"
ASKED_BY: Final = "asked by: {names}"
ASKED_BY_NONE: Final = "No requirement of a shaft asks for it: it steers the office or the design."
NOTE: Final = "note: {note}"
NOT_ASKED_HERE: Final = "not asked in this set"
ADD: Final = "add it"
OTHER_SET: Final = "Another set"
SEE_CHANGES: Final = "See what changes"
ENTER_MISSING: Final = "Enter what is missing"
NOTHING_CHANGES: Final = "Nothing is changed against the set adopted now."

TAKE: Final = "Take this number"
TAKE_BACK: Final = "As the set has it"

CHANGES_TITLE: Final = "What changes"
CHANGES: Final = Counted("{count} number would change", "{count} numbers would change")
BECOMES: Final = "{before} becomes {after}"
COMES_IN: Final = "comes in: {after}"
GOES_OUT: Final = "is not asked any more, it said {before}"
STILL_OPEN: Final = Counted(
    "{count} number is still to be entered. Until then its requirement is not shown.",
    "{count} numbers are still to be entered. Until then their requirements are not shown.",
)
COUNTS_FROM_NOW: Final = (
    "It holds for every shaft from now on. What was signed and released before stays as it was."
)
ADOPT: Final = "Adopt this set"
BACK_TO_NUMBERS: Final = "Back to the numbers"
