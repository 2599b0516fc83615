"""Words about the settings of this device, and of the project."""

from __future__ import annotations

from typing import Final

NOT_KEPT: Final = (
    "The settings are in force but could not be kept on this device ({why}). "
    "The record is safe. Make room and choose them once more."
)
TITLE: Final = "Settings"
LANGUAGE: Final = "language"
SCHEME: Final = "scheme"
SCHEMES: Final = {"noon": "noon, light ground", "night": "night, dark ground"}
TEXT_SIZE: Final = "text size"
PERCENT: Final = "{percent} %"
MARK: Final = "decimal mark"
MARKS: Final = {".": "point, as in 1.5", ",": "comma, as in 1,5"}
MARK_TELLS: Final = "What the keys type. Both are read alike."
KEY_TIME: Final = "a key stays unlocked for"
MINUTES: Final = "{minutes} minutes"
KEY_TELLS: Final = "And no longer than 3 minutes without a touch. It holds from the next unlocking on."
UNITS: Final = "units of the project"
UNITS_TELLS: Final = (
    "A new set-up of the project, for everybody: for the resident engineer or the designer. "
    "Readings stay as they were read."
)
SERVER: Final = "timestamp server"
NO_SERVER: Final = "none: nothing is sent anywhere"
SERVER_TELLS: Final = "Set by the office in {file}."
UNITS_CHANGED: Final = "The project shows {units} units from now on."
