"""Words of the screen of one shaft."""

from __future__ import annotations

from typing import Final

NOT_ASKED: Final = "not asked: {names}"
SHARE: Final = "of the base {limit}"
SHARE_PLAIN: Final = "share of the base"
LARGEST: Final = "largest"
LARGEST_AT: Final = "largest, at {label}"
MEAN: Final = "mean over the base"
NO_ROUND: Final = "The base was not sounded yet."
SOURCE: Final = "source: {source}"

EARLIER_TEST: Final = "fluid test: introduced, drilling, before cleaning"
GO_ON_WITH: Final = "Go on: {kind}"
LAST_ENTRIES: Final = "last entries"
ALL_OF_STAGE: Final = "Entries of {stage}, {count}"
ALL_OF_SHAFT: Final = "Entries of the shaft, {count}"
DECIDED_ELSEWHERE: Final = {
    "Sign the log": "The inspector signs the log once the base is clean.",
    "Release": "The resident engineer releases concrete, or holds it.",
    "Credit": "The designer decides what the base counts for.",
}
OPEN_STAGE: Final = {
    "Sign the log": "Sign the log",
    "Release": "Release or hold",
    "Credit": "Credit of the base",
}
RELEASE_MADE: Final = "Release and evidence"
PASS: Final = "pass {number}, {method}"
PASS_DEPTHS: Final = "{before} to {after} by tape"
PASS_DEEPER: Final = "{before} to {after} by tape: {gained} deeper"
PASS_UNREAD: Final = "The depths before and after were not both read."
NO_PASS: Final = "No cleanout pass was made yet."
NEXT_PASS: Final = "next pass"
