"""Words of the screen on which a picture is chosen, taken or looked at, and of the pictures of a shaft."""

from __future__ import annotations

from typing import Final

from fieldapp.ui.words.tongue import Counted

CHOOSE: Final = "Choose a picture"
CHOOSE_OTHER: Final = "Choose another picture"
LOOK: Final = "Look at it"
TAKE_AWAY: Final = "Without a picture"
TITLE_CHOOSE: Final = "choose a picture"
TITLE_USE: Final = "the picture as it is kept"
TITLE_LOOK: Final = "picture"
WITH_CAMERA: Final = "Take one with the camera"
USE: Final = "Use this picture"
OTHER: Final = "Choose another"
READING: Final = "The picture is being read."
POSITION_REMOVED: Final = (
    "Turned upright and made smaller. Position, camera and everything else in the file are not kept."
)
POSITION_KEPT: Final = (
    "Turned upright and made smaller. Of what else is in the file only the position is kept, "
    "as the project set-up asks."
)
POSITION: Final = "Taken at latitude {latitude}, longitude {longitude} (degrees; north and east count up)."
TAKEN: Final = "It was taken {moment}; that is offered as the time of the entry."
NOT_TAKEN: Final = "The file does not say when it was taken."
SIZE: Final = "{width} by {height} pixels, {kilobytes} kB"
KEPT: Final = "{digest} ..."
NO_CAMERA: Final = (
    "This device lets no picture be taken from here. Take it with its camera, then choose the file."
)
NO_PICTURE_CAME: Final = "No picture came from the camera. Nothing was saved."
AT_PLACE: Final = "at {place}"
OLDER: Final = Counted("{count} older picture is in the entries", "{count} older pictures are in the entries")
NONE_HERE: Final = "No pictures in this folder."
