"""A picture from outside made safe to keep: bounded before it is read, turned upright, reduced, bare.

What is kept is a JPEG of at most 2000 pixels a side with nothing in it but the picture.  With what it was
taken is left out, always; where, unless the project asks for it.  When it was taken is handed back, to be
offered.  A file that is too large, no picture, damaged or a trap gives a sentence, and nothing is kept.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import Final
from warnings import catch_warnings, simplefilter
from zoneinfo import ZoneInfo

from PIL import ExifTags, Image, ImageCms, ImageOps, UnidentifiedImageError

from fieldapp.desk.pictures.position import (
    NOT_READ,
    NOT_SAID,
    PicturePosition,
    exif_of,
    plain_text,
    position_of,
)
from fieldapp.desk.pictures.refused import PictureRefused
from fieldapp.exchange.bounded import read_at_most
from fieldapp.record.said import said
from fieldapp.store.problems import in_plain_words

MOST_BYTES: Final = 40_000_000
MOST_PIXELS: Final = 50_000_000
MOST_SIDE_PX: Final = 2000
QUALITY: Final = 85
FORMATS: Final = ("JPEG", "PNG", "WEBP")
SUFFIXES: Final = (".jpg", ".jpeg", ".png", ".webp")
KEPT_AS: Final = ".jpg"
_MEGABYTE: Final = 1_000_000
_BARE: Final = frozenset({"RGB", "L", "CMYK"})
_BROKEN: Final = (
    OSError, SyntaxError, EOFError, TypeError, KeyError, IndexError, OverflowError,
    ZeroDivisionError, MemoryError, struct.error, zlib.error,
)  # fmt: skip
"""What the library raises for a damaged file."""


@dataclass(frozen=True, slots=True)
class ReadyPicture:
    """A picture as it will be kept: JPEG, its size, and when it was taken where the file says so.

    ``position`` is kept in it; where one was asked for and there is none, ``no_position`` says why.
    """

    content: bytes
    width_px: int
    height_px: int
    taken_at: datetime | None = None
    position: PicturePosition | None = None
    no_position: str = ""


@dataclass(frozen=True, slots=True)
class SmallPicture:
    """Pixels to show at once: rows from the top, three bytes a pixel; and the position in the file."""

    width_px: int
    height_px: int
    rgb: bytes
    position: PicturePosition | None = None


def read_file(path: Path) -> bytes:
    """The bytes of a file that may hold a picture.

    Raises PictureRefused when it is larger than 40 MB or no file, StoreProblem when it cannot be read.
    """
    with in_plain_words(path):
        size = path.stat().st_size
        if not path.is_file():
            raise _no_picture(path.name)
        if size > MOST_BYTES:
            raise _too_large(path.name, size)
        content = read_at_most(path, MOST_BYTES)
    if content is None:  # it has grown since
        raise _too_large(path.name, MOST_BYTES + 1)
    return content


def ready_picture(content: bytes, zone: str, name: str = "", *, keep_position: bool = False) -> ReadyPicture:
    """A picture as it will be kept.

    Parameters
    ----------
    content
        At most 40 MB of JPEG, PNG or WebP, told by its content, of at most 50 million pixels.
    zone
        Time zone of the project: a camera that does not say its own is taken to show this one's time.
    name
        Of the file, for the sentences.
    keep_position
        Keep where it was taken, and nothing else of what the file says.

    Raises
    ------
    PictureRefused
        It is too large, no picture of these kinds, damaged, or unpacks to far more than a picture.
    """
    if len(content) > MOST_BYTES:
        raise _too_large(name, len(content))
    with _in_plain_words(name):
        picture = _opened(content, name)
        exif = _exif(picture)
        profile = picture.info.get("icc_profile")
        bare = _upright(_in_plain_colours(_reduced(picture), profile), exif)
        position, why = _position(exif) if keep_position else (None, "")
    made = BytesIO()
    kept = {} if position is None else {"exif": exif_of(position)}
    bare.save(made, "JPEG", quality=QUALITY, optimize=True, **kept)
    return ReadyPicture(made.getvalue(), bare.width, bare.height, _taken_at(exif, zone), position, why)


def small_picture(content: bytes, most_px: int, name: str = "") -> SmallPicture:
    """A picture to show, at most ``most_px`` a side.  Raises PictureRefused."""
    with _in_plain_words(name):
        picture = _opened(content, name)
        position, _why = _position(_exif(picture))
        picture.thumbnail((most_px, most_px))
        shown = picture.convert("RGB")
    return SmallPicture(shown.width, shown.height, shown.tobytes(), position)


def check_kept_picture(content: bytes, name: str = "") -> None:
    """Refuse what is no picture to keep, or would unpack to too many pixels.  Raises PictureRefused."""
    if len(content) > MOST_BYTES:
        raise _too_large(name, len(content))
    with _in_plain_words(name):
        _opened(content, name)


@contextmanager
def _in_plain_words(name: str) -> Iterator[None]:
    try:
        with catch_warnings():
            simplefilter("ignore", UserWarning)  # what a camera wrote badly costs no picture
            simplefilter("error", Image.DecompressionBombWarning)
            yield
    except UnidentifiedImageError:
        raise _no_picture(name) from None
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _too_many_pixels(name) from None
    except ValueError:  # texts that unpack without end come as this
        raise PictureRefused(
            said(
                "{name} is damaged, or unpacks to far more than a picture holds. Nothing was saved. "
                "Choose another picture.",
                name=_named(name),
            )
        ) from None
    except _BROKEN:
        raise PictureRefused(
            said(
                "{name} is damaged or cut short. Nothing was saved. "
                "Copy it from the camera again, or choose another picture.",
                name=_named(name),
            )
        ) from None


def _opened(content: bytes, name: str) -> Image.Image:
    """A picture whose pixels are not unpacked yet, and are not too many."""
    picture = Image.open(BytesIO(content), formats=FORMATS)
    if picture.width * picture.height > MOST_PIXELS:
        raise _too_many_pixels(name)
    return picture


def _reduced(picture: Image.Image) -> Image.Image:
    """The first picture of the file at its new size, on white where it is clear."""
    whole = picture
    if picture.has_transparency_data:
        clear = picture.convert("RGBA")
        whole = Image.new("RGBA", clear.size, "white")
        whole.alpha_composite(clear)
    elif picture.mode.startswith("I"):
        whole = picture.point(lambda value: value * (1 / 256)).convert("L")  # 16 bits a pixel
    elif picture.mode not in _BARE:
        whole = picture.convert("RGB")
    whole.thumbnail((MOST_SIDE_PX, MOST_SIDE_PX), Image.Resampling.LANCZOS)
    return whole


def _in_plain_colours(picture: Image.Image, profile: object) -> Image.Image:
    """In the colours of every screen, so that the profile need not be kept."""
    if isinstance(profile, bytes) and picture.mode in _BARE:
        try:
            made = ImageCms.profileToProfile(
                picture, ImageCms.ImageCmsProfile(BytesIO(profile)), ImageCms.createProfile("sRGB"),
                outputMode="RGB",
            )  # fmt: skip
        except (ImageCms.PyCMSError, OSError, ValueError):
            made = None  # a profile that cannot be read changes no colours
        if made is not None:
            return made
    return picture.convert("RGB")


def _upright(picture: Image.Image, exif: Image.Exif | None) -> Image.Image:
    """Turned as the camera was held, with nothing beside its pixels."""
    bare = Image.frombytes("RGB", picture.size, picture.tobytes())
    turned = exif.get(ExifTags.Base.Orientation) if exif is not None else None
    if turned is None:
        return bare
    bare.getexif()[ExifTags.Base.Orientation] = turned
    upright = ImageOps.exif_transpose(bare)
    return Image.frombytes("RGB", upright.size, upright.tobytes())


def _exif(picture: Image.Image) -> Image.Exif | None:
    """What the camera wrote, read through once; None when it cannot be read."""
    try:
        exif = picture.getexif()
        exif.get_ifd(ExifTags.IFD.Exif)
    except (*_BROKEN, ValueError):
        return None
    return exif


def _position(exif: Image.Exif | None) -> tuple[PicturePosition | None, str]:
    """Where it was taken, or None and why it is not known."""
    if exif is None:
        return None, NOT_SAID
    try:
        tags = exif.get_ifd(ExifTags.IFD.GPSInfo)
    except (*_BROKEN, ValueError):
        return None, NOT_READ
    return position_of(tags)


def _taken_at(exif: Image.Exif | None, zone: str) -> datetime | None:
    if exif is None:
        return None
    details = exif.get_ifd(ExifTags.IFD.Exif)
    text = details.get(ExifTags.Base.DateTimeOriginal) or exif.get(ExifTags.Base.DateTime)
    offset = details.get(ExifTags.Base.OffsetTimeOriginal) or details.get(ExifTags.Base.OffsetTime)
    try:
        local = datetime.strptime(plain_text(text), "%Y:%m:%d %H:%M:%S").replace(tzinfo=ZoneInfo(zone))
    except ValueError:
        return None
    try:
        there = datetime.strptime(plain_text(offset), "%z").tzinfo
    except ValueError:
        return local
    return local.replace(tzinfo=there).astimezone(ZoneInfo(zone))


def _named(name: str) -> str:
    return name or said("The picture")


def _no_picture(name: str) -> PictureRefused:
    return PictureRefused(
        said(
            "{name} is not a picture that can be read. Nothing was saved. Choose a JPEG, PNG or WebP file.",
            name=_named(name),
        )
    )


def _too_large(name: str, size: int) -> PictureRefused:
    return PictureRefused(
        said(
            "{name} has {found} MB; a picture may have at most {most} MB. Nothing was saved. "
            "Choose a smaller one.",
            name=_named(name),
            found=-(-size // _MEGABYTE),
            most=MOST_BYTES // _MEGABYTE,
        )
    )


def _too_many_pixels(name: str) -> PictureRefused:
    return PictureRefused(
        said(
            "{name} has more than {most} million pixels. Nothing was saved. Choose a smaller one.",
            name=_named(name),
            most=MOST_PIXELS // 1_000_000,
        )
    )
