"""What the screens of pictures ask of the desk; everything here runs on the worker."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldapp.desk.pictures.kept import PicturesOfShaft
    from fieldapp.desk.pictures.reading import ReadyPicture, SmallPicture
    from fieldapp.desk.workplace import Workplace


@dataclass(frozen=True, slots=True)
class Looked:
    """A file as it would be kept, and its pixels to show."""

    ready: ReadyPicture
    small: SmallPicture


def suffixes() -> tuple[str, ...]:
    """The suffixes of files that can be pictures."""
    from fieldapp.desk.pictures.reading import SUFFIXES

    return SUFFIXES


def look(place: Workplace, path: Path) -> Looked:
    """A file as it would be kept; nothing is written.  Raises PictureRefused, StoreProblem."""
    from fieldapp.desk.pictures.kept import LARGE_PX, look_at_file
    from fieldapp.desk.pictures.reading import small_picture

    ready = look_at_file(place, path)
    return Looked(ready, small_picture(ready.content, LARGE_PX))


def keep(place: Workplace, ready: ReadyPicture) -> str:
    """Make a picture durable and give its digest.  Raises StoreProblem."""
    from fieldapp.desk.pictures.kept import keep_picture

    return keep_picture(place, ready)


def show(place: Workplace, digest: str) -> SmallPicture:
    """A kept picture to look at.  Raises PictureRefused, StoreProblem."""
    from fieldapp.desk.pictures.kept import picture_to_show

    return picture_to_show(place.folder, digest)


def pictures(place: Workplace, shaft: str) -> PicturesOfShaft:
    """The pictures of a shaft, the newest first, for `Thumbnails`.  Raises UnknownShaft."""
    from fieldapp.desk.pictures.kept import pictures_of

    return pictures_of(place, shaft)
