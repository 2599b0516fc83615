"""Where a picture was taken: kept where the project asks for it, alone, and only when it can be right.

Files are written by the imaging library, and what is kept is read back with its own EXIF reading.  Degrees,
minutes and seconds are made degrees by hand: EXIF 2.32, 4.6.6, degrees + minutes / 60 + seconds / 3600.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from io import BytesIO
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ExifTags, Image
from PIL.TiffImagePlugin import IFDRational

from fieldapp.desk.inspector import Refused
from fieldapp.desk.pictures.kept import keep_picture, look_at_file, picture_to_show
from fieldapp.desk.pictures.position import (
    NOT_READ,
    NOT_SAID,
    PicturePosition,
    exif_of,
    position_of,
)
from fieldapp.desk.pictures.reading import ready_picture, small_picture
from fieldapp.desk.pictures.refused import PictureRefused
from fieldapp.desk.projects.beginning import change_picture_positions
from fieldapp.record.codec import decode, encode
from fieldapp.record.setup import ProjectSetup

ZONE = "America/Denver"
GPS = ExifTags.GPS
NORTH = (39.0, 44.0, 21.0)
WEST = (104.0, 59.0, 6.0)
LATITUDE_DEG, LONGITUDE_DEG = 39.739166667, -104.985  # by hand: 39 + 44/60 + 21/3600, 104 + 59/60 + 6/3600


def gps(**other: Any) -> dict[int, Any]:
    tags: dict[str, Any] = {
        "GPSLatitudeRef": "N", "GPSLatitude": NORTH, "GPSLongitudeRef": "W", "GPSLongitude": WEST,
        "GPSAltitude": 1609.0, "GPSDateStamp": "2026:05:12", "GPSImgDirection": 90.0,
    }  # fmt: skip
    return {GPS[name]: value for name, value in (tags | other).items() if value is not None}


def written(tags: dict[int, Any], kind: str = "JPEG", turned: int = 1) -> bytes:
    exif = Image.Exif()
    exif[ExifTags.Base.Make] = "a camera"
    exif[ExifTags.Base.Orientation] = turned
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = "2026:05:12 09:41:07"
    exif.get_ifd(ExifTags.IFD.GPSInfo).update(tags)
    made = BytesIO()
    Image.new("RGB", (90, 60), (200, 30, 30)).save(made, kind, exif=exif)
    return made.getvalue()


def exif_read(content: bytes) -> Image.Exif:
    return Image.open(BytesIO(content)).getexif()


def degrees_read(content: bytes) -> tuple[float, float]:
    """Latitude and longitude of a file, as a program that knows nothing of ours works them out."""
    tags = exif_read(content).get_ifd(ExifTags.IFD.GPSInfo)
    both = []
    for letters, name in (("NS", "Latitude"), ("EW", "Longitude")):
        degrees, minutes, seconds = (float(each) for each in tags[GPS[f"GPS{name}"]])
        sign = (1, -1)[letters.index(tags[GPS[f"GPS{name}Ref"]])]
        both.append(sign * (degrees + minutes / 60 + seconds / 3600))
    return both[0], both[1]


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_nothing_of_a_position_is_kept_unless_it_is_asked_for(kind):
    ready = ready_picture(written(gps(), kind), ZONE)
    assert (ready.position, ready.no_position) == (None, "")
    assert dict(exif_read(ready.content)) == {}
    assert small_picture(ready.content, 320).position is None


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("turned", [1, 6])
def test_a_position_that_is_asked_for_is_kept_and_nothing_else(kind, turned):
    ready = ready_picture(written(gps(), kind, turned), ZONE, keep_position=True)
    assert degrees_read(ready.content) == pytest.approx((LATITUDE_DEG, LONGITUDE_DEG), abs=1e-8)
    exif = exif_read(ready.content)
    assert set(exif) == {ExifTags.Base.GPSInfo}
    assert dict(exif.get_ifd(ExifTags.IFD.Exif)) == {}
    assert set(exif.get_ifd(ExifTags.IFD.GPSInfo)) == {
        GPS.GPSVersionID, GPS.GPSLatitudeRef, GPS.GPSLatitude, GPS.GPSLongitudeRef, GPS.GPSLongitude,
    }  # fmt: skip
    assert b"a camera" not in ready.content
    assert (ready.height_px > ready.width_px) == (turned == 6)
    assert ready.taken_at is not None
    assert ready.position is not None
    assert ready.position.texts == {"latitude": "39.73917", "longitude": "-104.98500"}
    assert small_picture(ready.content, 320).position == ready.position


@given(
    st.fractions(-90, 90, max_denominator=10**9),
    st.fractions(-180, 180, max_denominator=10**9),
)
def test_a_position_is_written_to_less_than_a_centimetre(latitude, longitude):
    made = BytesIO()
    Image.new("RGB", (2, 2)).save(made, "JPEG", exif=exif_of(PicturePosition(latitude, longitude)))
    read = degrees_read(made.getvalue())
    # a degree of latitude is at most 111.7 km (WGS-84): 1 cm is 9e-8 degree
    assert read == pytest.approx((float(latitude), float(longitude)), abs=9e-8)
    found, why = position_of(exif_read(made.getvalue()).get_ifd(ExifTags.IFD.GPSInfo))
    assert why == ""
    assert found is not None
    assert abs(found.latitude_deg - latitude) < Fraction(9, 10**8)


@pytest.mark.parametrize(
    ("tags", "why"),
    [
        ({}, NOT_SAID),
        (gps(GPSLatitude=None, GPSLongitude=None), NOT_SAID),
        (gps(GPSLongitude=None), NOT_READ),
        (gps(GPSLatitudeRef=None), NOT_READ),
        (gps(GPSLatitudeRef="X"), NOT_READ),
        (gps(GPSLatitudeRef="W"), NOT_READ),
        (gps(GPSLatitude=(39.0, 44.0)), NOT_READ),
        (gps(GPSLatitude=39.7), NOT_READ),
        (gps(GPSLatitude=(39.0, 61.0, 0.0)), NOT_READ),
        (gps(GPSLatitude=tuple(IFDRational(0, 0) for _ in range(3))), NOT_READ),
    ],
    ids=["none", "no place", "half", "no letter", "letter", "other letter", "two", "one", "minutes", "0/0"],
)
def test_a_position_that_is_missing_or_broken_costs_no_picture_and_is_said(tags, why):
    ready = ready_picture(written(tags), ZONE, keep_position=True)
    assert (ready.position, ready.no_position) == (None, why)
    assert dict(exif_read(ready.content)) == {}
    assert ready.width_px == 90


@pytest.mark.parametrize(
    ("tags", "says"),
    [
        (gps(GPSLatitude=(90.0, 0.0, 1.0)), "latitude 90.00028, longitude -104.98500"),
        (gps(GPSLongitude=(180.0, 0.5, 0.0)), "latitude 39.73917, longitude -180.00833"),
    ],
)
def test_a_position_that_is_no_place_on_the_earth_is_dropped_and_said(tags, says):
    ready = ready_picture(written(tags), ZONE, keep_position=True)
    assert ready.position is None
    assert ready.no_position == f"The file says {says}, and there is no such place: no position is kept."
    assert dict(exif_read(ready.content)) == {}


@pytest.mark.parametrize("letters", ["NE", "SE", "SW"])
def test_the_ends_of_the_earth_are_places(letters):
    tags = gps(
        GPSLatitude=(90.0, 0.0, 0.0), GPSLongitude=(180.0, 0.0, 0.0),
        GPSLatitudeRef=letters[0], GPSLongitudeRef=letters[1],
    )  # fmt: skip
    ready = ready_picture(written(tags), ZONE, keep_position=True)
    wanted = (90 if letters[0] == "N" else -90, 180 if letters[1] == "E" else -180)
    assert degrees_read(ready.content) == wanted


@pytest.mark.parametrize(("datum", "kept"), [("WGS-84", True), ("WGS 84 ", True), ("TOKYO", False)])
def test_a_position_of_another_datum_is_another_place_and_is_not_kept(datum, kept):
    ready = ready_picture(written(gps(GPSMapDatum=datum)), ZONE, keep_position=True)
    assert (ready.position is not None) == kept
    assert kept or "measured in TOKYO, not in WGS-84" in ready.no_position


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_damage_anywhere_gives_a_picture_or_a_sentence_and_never_an_impossible_position(kind):
    whole = written(gps(), kind)
    for at in range(0, min(len(whole), 600)):
        hurt = bytearray(whole)
        hurt[at] ^= 0xA5
        try:
            ready = ready_picture(bytes(hurt), ZONE, keep_position=True)
        except PictureRefused as problem:
            assert "Nothing was saved. " in str(problem)
            continue
        if ready.position is None:
            assert ready.no_position
            assert dict(exif_read(ready.content)) == {}
        else:
            latitude, longitude = degrees_read(ready.content)
            assert -90 <= latitude <= 90
            assert -180 <= longitude <= 180


def test_the_project_set_up_says_whether_positions_are_kept(place, tmp_path):
    file = tmp_path / "base.jpg"
    file.write_bytes(written(gps()))
    bare = keep_picture(place, look_at_file(place, file))
    assert picture_to_show(place.folder, bare).position is None
    with pytest.raises(Refused, match="may not make a project set-up"):
        change_picture_positions(place, True, "Inspector A")
    change_picture_positions(place, True, "Resident engineer")
    placed = keep_picture(place, look_at_file(place, file))
    assert placed != bare
    found = picture_to_show(place.folder, placed).position
    assert found is not None
    assert found.texts == {"latitude": "39.73917", "longitude": "-104.98500"}
    change_picture_positions(place, False, "Resident engineer")
    assert keep_picture(place, look_at_file(place, file)) == bare
    assert picture_to_show(place.folder, placed).position == found


def test_a_set_up_of_an_earlier_version_keeps_no_positions(place):
    setup = place.setup()
    body = encode(replace(setup, own_log_release=True))
    assert isinstance(body, dict)
    assert "keep_picture_positions" not in body
    for version in (1, 2):
        lifted = decode(ProjectSetup.KIND, version, body)
        assert isinstance(lifted, ProjectSetup)
        assert (lifted.own_log_release, lifted.keep_picture_positions) == (True, False)
    asked = replace(setup, keep_picture_positions=True)
    assert decode(ProjectSetup.KIND, ProjectSetup.VERSION, encode(asked)) == asked
