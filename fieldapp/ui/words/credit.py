"""Words of the designer's screen: curves, credit, disposition."""

from __future__ import annotations

from typing import Final

CREDIT_IS: Final = "credit: base load as built over that of a clean base, at the same displacement"
AT: Final = "at base displacement"
LOW: Final = "low"
BEST: Final = "best"
HIGH: Final = "high"
AS_BUILT: Final = "as built, {unit}"
STAKE: Final = "at stake"
HOW_FAR: Final = "how far this estimate goes"
OTHERS: Final = (
    "Only a designer decides the credit. {name} can read it here, or hand the tablet over on the board."
)
REDUCES: Final = "what reduces or leaves it open"
NO_CREDIT: Final = "The credit is not shown, for want of:"
WANTS: Final = "also wanted:"
WHERE_WANTED: Final = "Design numbers stand in the entry that scheduled the shaft: amend it to add them."
ADD_NUMBERS: Final = "Add design numbers"
SEE_WANTS: Final = "See what is wanted"
DECIDED: Final = "Decided: {says}"
SET_CREDIT: Final = "Set the credit"
SET_ANEW: Final = "Set the credit anew"
TO_PAPERS: Final = "Write the report"
SEE_CURVES: Final = "See the curves"
DECISIONS: Final = {
    "full credit": "full credit",
    "reduced credit": "reduced credit",
    "no credit": "no credit",
    "remedy asked for": "ask for a remedy",
}
CREDIT: Final = "credit, 0 to 1"
DISPLACEMENT: Final = "at base displacement, {unit}"
WHY: Final = "why"
CHOOSE: Final = "Choose a disposition"
NEEDED: Final = "Next: {caption}"
WHY_FIRST: Final = "Write why"
HOLD_TO_DECIDE: Final = "Hold down: {decision}"
HOLD_TO_REDUCE: Final = "Hold down: {credit} at {displacement} {unit}"
DECIDE_ALL_THE_SAME: Final = "Decide all the same"
ESTIMATE: Final = (
    "An estimate for the engineer to accept, not calibrated by load tests. "
    "Contract documents and the licensed engineer decide."
)
