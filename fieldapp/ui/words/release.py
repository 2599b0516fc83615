"""Words of the resident engineer's screen: release, hold, withdraw."""

from __future__ import annotations

from typing import Final

SHOWN: Final = "shown"
ASKED: Final = "asked"
WHEN: Final = "when"
SETTLE: Final = "Settle it: {work}"
UNTIL: Final = "holds until"
WOULD_HOLD: Final = "a release would hold until"
LIMITS: Final = "what ends a release"
NO_LIMIT: Final = "Nothing in the acceptance set sets an end. Say until when it is to hold."
CONDITIONS: Final = "conditions"
REASON: Final = "reason"
REASON_FIRST: Final = "Write the reason"
TO_HOLD: Final = "Write the reason why concrete is on hold, then hold it."
TO_WITHDRAW: Final = "Write the reason why the release is withdrawn, then withdraw it."
AGAINST: Final = "{counts}. To release all the same, write the reason."
ALL_MET: Final = "Everything asked is met."
NOT_SIGNED: Final = "Everything asked is met. The log is not signed."
OTHERS: Final = (
    "Only a resident engineer releases, holds or withdraws. {name} can read it here, or hand the tablet over "
    "on the board."
)
REASON_TELLS: Final = "reason, where something is not met or not shown, and to hold or withdraw"
WRITE: Final = "write here"
DONE_WITH_TIME: Final = "Take this time"
IS_OVER: Final = "This time is over already."
HOLD_TO_RELEASE: Final = "Hold down to release until {time}"
SAY_UNTIL: Final = "Say until when"
HOLD: Final = "Hold concrete, with reason"
WITHDRAW: Final = "Withdraw the release"
TO_PAPERS: Final = "Countersign the log"
RELEASE_ALL_THE_SAME: Final = "Release all the same"
LEFT: Final = "released, {left} h left, until"
RELEASED: Final = "Released until {time} by {name}."
HELD: Final = "Concrete is on hold by {name}. {reason}"
LAPSED: Final = "The release by {name} has lapsed. {reason}"
WITHDRAWN: Final = "The release was withdrawn by {name}. {reason}"
UNDER: Final = "Conditions: {conditions}"
CAUTION: Final = (
    "Concrete starts on the engineer's word, not this screen's. Keep people clear of the open hole and of "
    "the tremie lift."
)
