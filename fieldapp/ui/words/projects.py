"""Words of the list of projects, of a new one, of the folder list, and of the page of one project."""

from __future__ import annotations

from typing import Final

from fieldapp.ui.words.tongue import Counted

TITLE: Final = "Projects"
ON_DEVICE: Final = "on this device, opened last first"
NONE_YET: Final = (
    "This device knows no project yet. Begin a new one, or open the folder of one that you have."
)
LOOKING: Final = "Looking for the projects ..."
OPEN_OTHER: Final = "Open a folder"
NEW: Final = "New project"
FROM_ELSEWHERE: Final = "from another device"
THIS_DEVICE: Final = "this device"
BUNDLE_TELLS: Final = "A project that comes as one file becomes a project on this device too."
OPENED: Final = "opened {time}"
CANNOT_OPEN: Final = "cannot be opened now"
FORGET_ASKS: Final = "Take {name} off this list? The project itself is not touched."
KEEP_ON_LIST: Final = "No, keep it on the list"
TAKE_OFF: Final = "Take it off the list"

FOLDER_UP: Final = "Up to {name}"
DRIVES: Final = "drives"
FOLDER: Final = "folder"
PROJECT: Final = "project"
FILE: Final = "file"
CHOOSE_PROJECT: Final = "Open a project"
CHOOSE_PLACE: Final = "Where the project is put"
CHOOSE_KEY: Final = "A key file of one's own"
OPEN_THIS: Final = "Open this project"
PUT_HERE: Final = "Put it here"
NO_PROJECT_HERE: Final = "No project in this folder. Go into another one, or up."
NO_KEY_HERE: Final = "No key file (.p12, .pfx) in this folder. Go into another one, or up."
MORE: Final = "Show {count} more"

NAME: Final = "name of the project"
NAME_TELLS: Final = "As it stands on every paper."
ID: Final = "short name"
ID_TELLS: Final = "Names the folder and every entry for good: letters and digits, such as larkwater."
UNITS: Final = "units shown"
UNITS_US: Final = "US: feet, inches, pcf"
UNITS_SI: Final = "SI: metres, millimetres, g/cm3"
ZONE: Final = "time zone"
ZONE_TELLS: Final = "Type a part of it, such as Denver or Lisbon. This device says {zone}."
SET: Final = "acceptance set"
SET_TELLS: Final = "Each number can be held against the contract and edited afterwards."
PERSON: Final = "your name"
PERSON_TELLS: Final = "The first person of the project. More are put on it afterwards."
ROLES: Final = "your roles"
ROLES_TELLS: Final = "One of them must be resident engineer or designer: they set up a project."
OWN_LOG: Final = "release on one's own log"
OWN_LOG_TELLS: Final = (
    "Yes lets somebody release concrete on a log that he signed himself, and every paper then says so."
)
POSITIONS: Final = "keep the positions of pictures"
POSITIONS_TELLS: Final = (
    "Yes keeps where a picture was taken, as its file says, and nothing else of that. No removes it too."
)
WHERE: Final = "put into {folder}"
OTHER_PLACE: Final = "Another folder"
MAKE: Final = "Make the project"
NEW_TITLE: Final = "new project"

OF_PROJECT: Final = "{units} units, {zone}"
SET_ROW: Final = "Acceptance set"
MUST_ENTER: Final = Counted("{count} number must be entered", "{count} numbers must be entered")
ALL_ENTERED: Final = "every number is entered"
IN_THE_MAKING: Final = "an edited set waits to be adopted"
PEOPLE_ROW: Final = "People and keys"
PEOPLE: Final = Counted("{count} person", "{count} people")
WITHOUT_KEY: Final = Counted("{count} without a key that holds", "{count} without a key that holds")
SCHEDULE_ROW: Final = "Schedule a shaft"
SCHEDULED: Final = Counted("{count} shaft is scheduled", "{count} shafts are scheduled")
NONE_SCHEDULED: Final = "no shaft is scheduled yet"
OFFICE_ONLY: Final = "for the resident engineer or the designer"
SETTINGS_ROW: Final = "Settings"
SETTINGS_SAYS: Final = "language, scheme, text size, units, keys"
PROJECTS_ROW: Final = "Other projects"
PROJECTS_SAYS: Final = "open or begin another one"
TO_BOARD: Final = "To the shafts"
OFFICE: Final = "Project, people, settings"
