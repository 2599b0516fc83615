"""Where a picture was taken, as the EXIF data of its file says, and how that alone is written again.

EXIF 2.32 (CIPA DC-008-2019), 4.6.6: latitude and longitude are each three rationals, degrees, minutes and
seconds, beside a letter for the half of the earth.  What is not read whole is no position.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from PIL import ExifTags, Image
from PIL.TiffImagePlugin import IFDRational

from fieldapp.record.said import said, sayable

MOST_LATITUDE_DEG: Final = 90
MOST_LONGITUDE_DEG: Final = 180
NOT_SAID: Final = sayable("The file does not say where it was taken.")
NOT_READ: Final = sayable("What the file says of where it was taken cannot be read: no position is kept.")
_GPS: Final = ExifTags.GPS
_VERSION: Final = b"\2\3\0\0"  # asked for beside every position
_PARTS: Final = 10_000  # of a second of arc: 3 mm on the ground
_SHOWN_DIGITS: Final = 5  # about 1 m
_MOST_TEXT: Final = 40


@dataclass(frozen=True, slots=True)
class PicturePosition:
    """Degrees in WGS-84, north and east positive: -90 to 90 and -180 to 180."""

    latitude_deg: Fraction
    longitude_deg: Fraction

    @property
    def texts(self) -> dict[str, str]:
        """Latitude and longitude to be shown, to about a metre."""
        return _texts(self.latitude_deg, self.longitude_deg)


def position_of(tags: Mapping[int, object]) -> tuple[PicturePosition | None, str]:
    """The position that the GPS tags of a picture say, or None and the sentence why there is none."""
    if _GPS.GPSLatitude not in tags and _GPS.GPSLongitude not in tags:
        return None, NOT_SAID
    latitude = _degrees(tags.get(_GPS.GPSLatitude), tags.get(_GPS.GPSLatitudeRef), "NS")
    longitude = _degrees(tags.get(_GPS.GPSLongitude), tags.get(_GPS.GPSLongitudeRef), "EW")
    if latitude is None or longitude is None:
        return None, NOT_READ
    if abs(latitude) > MOST_LATITUDE_DEG or abs(longitude) > MOST_LONGITUDE_DEG:
        return None, said(
            "The file says latitude {latitude}, longitude {longitude}, and there is no such place: "
            "no position is kept.",
            **_texts(latitude, longitude),
        )
    datum = plain_text(tags.get(_GPS.GPSMapDatum))
    if "".join(filter(str.isalnum, datum)).upper() not in {"", "WGS84"}:
        return None, said(
            "The position in the file is measured in {datum}, not in WGS-84: no position is kept.",
            datum=datum[:_MOST_TEXT],
        )
    return PicturePosition(latitude, longitude), ""


def exif_of(position: PicturePosition) -> Image.Exif:
    """EXIF data that say this position and nothing else."""
    made = Image.Exif()
    tags = made.get_ifd(ExifTags.IFD.GPSInfo)
    tags[_GPS.GPSVersionID] = _VERSION
    tags[_GPS.GPSLatitudeRef] = "S" if position.latitude_deg < 0 else "N"
    tags[_GPS.GPSLatitude] = _three(position.latitude_deg)
    tags[_GPS.GPSLongitudeRef] = "W" if position.longitude_deg < 0 else "E"
    tags[_GPS.GPSLongitude] = _three(position.longitude_deg)
    return made


def plain_text(tag: object) -> str:
    """The text of a tag without what fills it up; empty when it is no text."""
    return tag.strip("\0 ") if isinstance(tag, str) else ""


def _texts(latitude_deg: Fraction, longitude_deg: Fraction) -> dict[str, str]:
    both = {"latitude": latitude_deg, "longitude": longitude_deg}
    return {name: f"{float(each):.{_SHOWN_DIGITS}f}" for name, each in both.items()}


def _degrees(parts: object, half: object, halves: str) -> Fraction | None:
    """Degrees, those of the second half negative; None when it is not whole."""
    letter = plain_text(half).upper()
    if not isinstance(parts, tuple) or len(parts) != 3 or len(letter) != 1 or letter not in halves:
        return None
    read = [_exact(each) for each in parts]
    if any(each is None or each < 0 for each in read):
        return None
    degrees, minutes, seconds = (each for each in read if each is not None)
    if minutes > 60 or seconds > 60:
        return None
    whole = degrees + minutes / 60 + seconds / 3600
    return -whole if letter == halves[1] else whole


def _exact(part: object) -> Fraction | None:
    if not isinstance(part, IFDRational | int):
        return None
    try:
        return Fraction(int(part.numerator), int(part.denominator))
    except (ArithmeticError, TypeError, ValueError):  # nothing over nothing: the camera did not know
        return None


def _three(degrees: Fraction) -> tuple[IFDRational, IFDRational, IFDRational]:
    minutes, seconds = divmod(round(abs(degrees) * 3600 * _PARTS), 60 * _PARTS)
    whole, minutes = divmod(minutes, 60)
    return IFDRational(whole, 1), IFDRational(minutes, 1), IFDRational(seconds, _PARTS)
