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
KEY_TELLS: Final = (
    "And no longer than {minutes} minutes without a touch. It holds from the next unlocking on."
)
UNITS: Final = "units of the project"
UNITS_TELLS: Final = (
    "A new set-up of the project, for everybody: for the resident engineer or the designer. "
    "Readings stay as they were read."
)
POSITIONS: Final = "positions of pictures are kept"
POSITIONS_TELLS: Final = (
    "A new set-up of the project, for everybody: for the resident engineer or the designer. "
    "Pictures that are kept already stay as they are."
)
POSITIONS_CHANGED: Final = {
    True: "Pictures keep the position that their file says from now on.",
    False: "No position of a picture is kept from now on.",
}
SERVER: Final = "timestamp server"
SERVER_TELLS: Final = "Its address, such as https://time.example/stamp; empty for none."
SERVER_SENDS: Final = (
    "Nothing is sent from this device unless a paper is signed and a timestamp server is named. "
    "Then that server gets the digest of the signature, nothing of the paper, and answers with the time."
)
KEEP_SERVER: Final = "Ask this server"
KEEP_NO_SERVER: Final = "Ask no server"
SERVER_KEPT: Final = "Papers that are signed from now on ask {server} for the time."
NO_SERVER_KEPT: Final = "No timestamp server is named: nothing is sent anywhere."
UNITS_CHANGED: Final = "The project shows {units} units from now on."
