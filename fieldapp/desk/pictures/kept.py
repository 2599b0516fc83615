"""Pictures of a project: a file made safe and kept before its entry, and those that a shaft has, to look at.

The picture is on disk, by the SHA-256 of what was kept, before any entry names it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Final

from fieldapp.desk.entry_forms.reading_typed import place_text
from fieldapp.desk.pictures.reading import (
    KEPT_AS,
    ReadyPicture,
    SmallPicture,
    read_file,
    ready_picture,
    small_picture,
)
from fieldapp.desk.pictures.refused import PictureRefused
from fieldapp.desk.workplace import Workplace
from fieldapp.record.fold import Line
from fieldapp.record.hole import BaseSighting, Photo
from fieldapp.record.kinds import Values
from fieldapp.record.said import said
from fieldapp.store.pictures import picture_path, save_picture
from fieldapp.store.problems import in_plain_words

THUMBNAIL_PX: Final = 320
LARGE_PX: Final = 1600
MOST_SHOWN: Final = 24


@dataclass(frozen=True, slots=True)
class ShownPicture:
    """One picture of a shaft: its entry, caption and place on the base, pixels; or what is wrong with it."""

    entry: str
    kind: str
    digest: str
    caption: str
    position: str
    observed_at: datetime
    small: SmallPicture | None
    wrong: str = ""


@dataclass(frozen=True, slots=True)
class PicturesOfShaft:
    """The pictures of a shaft, the newest first, at most as many as were asked for; ``count`` is all."""

    shown: tuple[ShownPicture, ...]
    count: int


def look_at_file(place: Workplace, path: Path) -> ReadyPicture:
    """A file as it would be kept; nothing is written.  Raises PictureRefused, StoreProblem."""
    setup = place.setup()
    return ready_picture(
        read_file(path), setup.time_zone, path.name, keep_position=setup.keep_picture_positions
    )


def keep_picture(place: Workplace, picture: ReadyPicture) -> str:
    """Make a picture durable and return its SHA-256 in hex, to be named by an entry.

    Raises StoreProblem when it cannot be kept, also when the project is open for looking only.
    """
    place.writer()
    return save_picture(place.folder, picture.content, KEPT_AS)


def pictures_of(place: Workplace, shaft: str, most: int = MOST_SHOWN) -> PicturesOfShaft:
    """The pictures of a shaft that count, the newest first.  Raises UnknownShaft."""
    lines = [
        (each, values)
        for each in place.shaft(shaft).lines
        if not each.struck and isinstance(values := each.values, Photo | BaseSighting) and values.picture
    ]
    lines.sort(key=lambda each: each[0].observed_at, reverse=True)
    return PicturesOfShaft(tuple(_shown(place, line, values) for line, values in lines[:most]), len(lines))


def picture_to_show(folder: Path, digest: str, most_px: int = LARGE_PX) -> SmallPicture:
    """A kept picture to look at.  Raises PictureRefused when it is lost or changed, StoreProblem."""
    with in_plain_words(folder):
        path = picture_path(folder, digest)
        content = read_file(path) if path is not None else None
    if content is None:
        raise PictureRefused(
            said("The picture is not in the project folder. The entry is safe. Put the file back.")
        )
    if sha256(content).hexdigest() != digest:
        raise PictureRefused(
            said(
                "The picture was changed after it was recorded. The entry is safe. "
                "Put the file back from a backup."
            )
        )
    return small_picture(content, most_px)


def _shown(place: Workplace, line: Line[Values], values: Photo | BaseSighting) -> ShownPicture:
    small, wrong = None, ""
    try:
        small = picture_to_show(place.folder, values.picture, THUMBNAIL_PX)
    except PictureRefused as problem:
        wrong = problem.args[0]
    position = place_text(values.r, values.angle) if values.r and values.angle else ""
    return ShownPicture(
        entry=line.id,
        kind=values.KIND,
        digest=values.picture,
        caption=values.caption if isinstance(values, Photo) else values.text,
        position=position,
        observed_at=line.observed_at.astimezone(place.now().tzinfo),
        small=small,
        wrong=wrong,
    )
