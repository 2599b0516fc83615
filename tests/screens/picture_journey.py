"""Pictures in the app's window: one made for the test, chosen from the box of an entry, kept on disk."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

from PIL import ExifTags, Image

from fieldapp.ui.screens.setup_rows import SetupRow
from tests.screens.journey import Journey

GREEN = (20, 150, 40)


def photo() -> bytes:
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 6
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = "2026:05:22 16:31:05"
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitudeRef] = "N"
    made = BytesIO()
    Image.effect_noise((640, 400), 40).convert("RGB").save(made, "JPEG", exif=exif)
    return made.getvalue()


def entry(on: Journey, kind: str, shaft: str = "P1-4") -> None:
    on.walk.go("shaft", shaft=shaft)
    on.wait()
    on.walk.go("entry", shaft=shaft, kind=kind)
    on.wait()


def choose(on: Journey, name: str = "picture") -> None:
    """From the box of an entry to the list of this device."""
    on.tap(on.middle.fields[name])
    on.tap(on.middle.tools.picture.choose)
    assert on.walk.current == "picture"


def row(on: Journey, title: str) -> SetupRow:
    return next(w for w in on.screen.walk() if isinstance(w, SetupRow) and w.title == title)


def kept_files(folder: Path) -> list[str]:
    return sorted(each.name for each in (folder / "pictures").iterdir())
