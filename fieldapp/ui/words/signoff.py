"""Words of the sign-off, and of what every decision passes through: the key, and the second question."""

from __future__ import annotations

from typing import Final

TITLE: Final = "sign the log"
NOT_MET: Final = "{count} not met"
NOT_SHOWN: Final = "{count} not shown"
MET: Final = "{count} met"
NOT_ASKED: Final = "not asked by the acceptance set: {names}"
READ_FIRST: Final = "Read all of it. You can sign once you have seen its end."
READ: Final = "You have read all of it."
OTHERS: Final = (
    "Only an inspector signs a log. {name} can read it here, or hand the tablet over on the board."
)
READ_ON: Final = "Read on"
STATEMENT: Final = "statement"
USUAL_STATEMENT: Final = "Recorded as seen."
SIGNATURE: Final = "signature"
CLEAR: Final = "Clear"
DRAW_FIRST: Final = "Draw your signature"
HOLD_TO_SIGN: Final = "Hold down to sign"
OPENING_PAPERS: Final = "Getting ready. Nothing is signed yet."
SIGNING: Final = "Signing the journal, then laying out and signing the log."
CHECKING: Final = "Held against the record once more. Nothing is signed yet."
STOP: Final = "Stop"
STOPPING: Final = "Stopping ..."
TOO_LATE: Final = "It can no longer be stopped"
SECONDS: Final = "{seconds} s"
SIGNED: Final = "Signed, and saved as {file}. {note}"
TO_RELEASE: Final = "Next: release"
TO_PAPER: Final = "See the paper"
ALREADY: Final = "{says} You can sign again."

UNLOCK_FIRST: Final = "A decision is signed with your own key."
NO_KEY_HERE: Final = "{name} has no key on this device yet. Make it now, then the decision goes on."
ALL_THE_SAME: Final = "{said} All the same?"
NO: Final = "No, not yet"
SIGN_ALL_THE_SAME: Final = "Sign all the same"
AND_MORE: Final = "and {count} more"
IN_SHORT: Final = {
    "override": "The release passes over {counts}: {names}.",
    "sign-open": "The log is to be signed with {counts}: {names}.",
    "no-reason": "Give the reason for releasing over {counts}: {names}.",
}
