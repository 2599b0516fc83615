"""Words of the bundles: one goes out, one comes in."""

from __future__ import annotations

from typing import Final

from fieldapp.ui.words.tongue import Counted

OUT: Final = "Bundle out"
IN: Final = "Bundle in"
OUT_SAYS: Final = (
    "One file carries this project to another device, by any means. It holds every entry, signed; choose "
    "whose pictures and papers go along."
)
WHOSE: Final = "pictures and papers of"
ALL_SHAFTS: Final = "All shafts"
SOME_SHAFTS: Final = Counted("{count} of {all} shafts", "{count} of {all} shafts")
NO_SHAFTS: Final = "no shaft: entries only"
GOES_ALONG: Final = "goes along"
STAYS: Final = "stays here"
MORE_SHAFTS: Final = "Show {count} more"
WHERE_TO: Final = "folder"
FILE_NAME: Final = "as {file}"
SENT_BY: Final = "signed by"
BY_DEVICE: Final = "this device alone"
BY_DEVICE_TELLS: Final = "Tap to sign it with your own key too; then it says who sent it."
BY_PERSON: Final = "this device and {name}"
BY_PERSON_TELLS: Final = "Tap to leave your key out of it."
MAKE: Final = "Make the bundle"
SIGNING: Final = "Signing the journal up to now."
MAKING: Final = "Making the bundle. Go on with your work; nothing waits for it."
NAMING: Final = "Almost there."
MADE: Final = (
    "Saved as {file} ({size}). Entries in it: {entries}; pictures and papers: {files}. "
    "Carry it over, then take it in there."
)
LEFT_OUT: Final = "Not in it"
MEGABYTES: Final = "{size} MB"
KILOBYTES: Final = "{size} kB"

CHOOSE_FILE: Final = "A bundle to take in"
CHOOSE_FOLDER: Final = "Where the bundle is put"
NO_BUNDLE_HERE: Final = "No bundle (.zip) in this folder. Go into another one, or up."
ANOTHER: Final = "Another file"
CHOOSE: Final = "Choose a bundle"
IN_SAYS: Final = "Choose the file. What is in it is shown before anything is taken over."
LOOKING: Final = "Looking into {file} ..."
SEEN: Final = "Its signature holds. Nothing is taken over yet."
PROJECT: Final = "project"
SENDER: Final = "sent from"
SENDER_DEVICE: Final = "{device}; no person signed it"
SENDER_BOTH: Final = "{device}, signed by {person}"
KNOWN_DEVICE: Final = "This project has entries of that device."
UNKNOWN_DEVICE: Final = "This project has no entry of that device yet; its key must stand in its own chain."
MADE_AT: Final = "made"
ENTRIES: Final = "entries"
ENTRIES_NEW: Final = "{new} of {all} are not here yet"
ENTRIES_ALL: Final = "{all}"
FILES: Final = "pictures and papers"
FILES_OF: Final = "{count}, of {shafts}"
FILES_OF_ALL: Final = "{count}, of all shafts"
SIZE: Final = "size"
NEW_PLACE: Final = "becomes a new project in"
OTHER_PROJECT: Final = "This is not the project in hand. It becomes a project of its own on this device."
NEW_PROJECT: Final = "It becomes a project of its own on this device."
TAKE: Final = "Take it over"
TAKE_NEW: Final = "Make a project of it"
CHECKING: Final = "Held against the journal. Nothing is written yet."
WRITING: Final = "Writing. All of it comes, or nothing."
STOPPED_IN: Final = "Stopped. Nothing was taken over."
TO_BOARD: Final = "To the board"
OPEN_PROJECT: Final = "Open the project"
CHANGED: Final = "what changed"
NEW_ENTRIES: Final = Counted("{count} new entry", "{count} new entries")
CAME_BACK_ASKS: Final = (
    "It holds entries that this very device recorded and that are not here any more; the project was most "
    "likely put back from an older copy. Take them over? From then on this device records under a new name."
)
NOT_NOW: Final = "No, leave them out"
TAKE_THEM: Final = "Take them over"
