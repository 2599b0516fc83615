"""Words of a fluid test."""

from __future__ import annotations

from typing import Final

SET: Final = "{stage}, set {set}, {depth}"
PLACE: Final = "{where}, {depth}"
SAVE: Final = "Save {depth}"
SAVE_AND_GO: Final = "Save {depth}, go to {next}"
SAVED_AT: Final = "{depth} saved {time}."
TYPE_FIRST: Final = "Type a reading"
READ_WITH: Final = "read with {labels}"
STOP_FIRST: Final = "Stop the watch first"
CLOSED_MEANWHILE: Final = "runs since {time}; the app was closed meanwhile: right to two seconds"
RAN_ON: Final = (
    "The watch was started at {time} and ran while the app was closed. No time is taken: time it again."
)
NOT_A_TIME: Final = "{time} s cannot be a time of the funnel ({least} to {most} s). Time it again."
NO_INSTRUMENT: Final = "no instrument is named"
CHECK_FUNNEL: Final = "water check, {funnel}"
TIME_WATER: Final = "Time clean water"
TYPE_WARMTH: Final = "Type its temperature"
NOT_SHOWN_YET: Final = "Nothing is shown yet"
RECORD_PASSED: Final = "Record: {funnel} passed"
RECORD_FAILED: Final = "Record: {funnel} failed"
CHECK_SAVED: Final = "Water check saved {time}."
BACK_TO_SAMPLE: Final = "Back to the sample"
WHICH_INSTRUMENTS: Final = "Which instruments is this sample read with?"
NAMED: Final = "{label}, {type}"
NOT_TESTED: Final = "Not tested"
CAUTION: Final = "Stay behind the guard, clear of the sampler line and of every suspended load."
