"""Pictures from outside: what is kept of them, what is left out, and what is refused with which sentence.

The files are made here byte by byte or by the library's own writers; what is kept is read back from disk.
"""

from __future__ import annotations

import errno
import os
import shutil
import struct
import zlib
from datetime import datetime
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import pytest
from PIL import ExifTags, Image, PngImagePlugin

from fieldapp.desk.entry_forms.opening import form_for
from fieldapp.desk.entry_forms.recording import record_typed
from fieldapp.desk.pictures.kept import keep_picture, look_at_file, picture_to_show, pictures_of
from fieldapp.desk.pictures.reading import (
    MOST_BYTES,
    QUALITY,
    read_file,
    ready_picture,
    small_picture,
)
from fieldapp.desk.pictures.refused import PictureRefused
from fieldapp.desk.workplace import Workplace, read_project
from fieldapp.record.hole import Photo
from fieldapp.store.problems import DiskFull, NoAccess, OnlyReading

DENVER = "America/Denver"
RED, BLUE = (200, 30, 30), (30, 30, 200)


def halves(size: tuple[int, int] = (400, 200), mode: str = "RGB") -> Image.Image:
    """Red above, blue below."""
    made = Image.new("RGB", size, RED)
    made.paste(BLUE, (0, size[1] // 2, size[0], size[1]))
    return made.convert(mode)


def written(image: Image.Image, kind: str = "JPEG", **how: object) -> bytes:
    made = BytesIO()
    image.save(made, kind, **how)
    return made.getvalue()


def camera_exif(turned: int = 1, offset: str = "") -> Image.Exif:
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = turned
    exif[ExifTags.Base.Make] = "a camera"
    details = exif.get_ifd(ExifTags.IFD.Exif)
    details[ExifTags.Base.DateTimeOriginal] = "2026:05:12 09:41:07"
    if offset:
        details[ExifTags.Base.OffsetTimeOriginal] = offset
    place = exif.get_ifd(ExifTags.IFD.GPSInfo)
    place[ExifTags.GPS.GPSLatitudeRef] = "N"
    place[ExifTags.GPS.GPSLatitude] = (39.0, 44.0, 21.0)
    return exif


def opened(content: bytes) -> Image.Image:
    made = Image.open(BytesIO(content))
    made.load()
    return made


def near(pixel: tuple[int, ...], colour: tuple[int, int, int]) -> bool:
    return all(abs(one - other) < 40 for one, other in zip(pixel, colour, strict=True))


def png(width: int, height: int, *chunks: tuple[bytes, bytes]) -> bytes:
    """A PNG that says this size, with these chunks (ISO/IEC 15948, 5.2 to 5.6)."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    parts = [(b"IHDR", head), *chunks, (b"IDAT", zlib.compress(b"\0")), (b"IEND", b"")]
    packed = (
        struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        for name, body in parts
    )
    return b"\x89PNG\r\n\x1a\n" + b"".join(packed)


# EXIF 2.32, table 4 (tag 274): what each number says of the stored rows, and where red must come out.
TURNED = {1: "top", 2: "top", 3: "bottom", 4: "bottom", 5: "left", 6: "right", 7: "right", 8: "left"}


@pytest.mark.parametrize(("turned", "side"), TURNED.items())
def test_a_picture_is_turned_upright_however_the_camera_was_held(turned, side):
    kept = ready_picture(written(halves(), exif=camera_exif(turned)), DENVER)
    made = opened(kept.content)
    assert made.size == ((400, 200) if turned < 5 else (200, 400)) == (kept.width_px, kept.height_px)
    x, y = made.width // 2, made.height // 2
    edge = {"top": (x, 5), "bottom": (x, made.height - 6), "left": (5, y), "right": (made.width - 6, y)}
    assert near(made.getpixel(edge[side]), RED)


def test_position_maker_and_all_that_is_no_picture_are_left_out():
    source = written(halves(), exif=camera_exif(6), comment=b"pier 1 at home", dpi=(300, 300))
    assert b"a camera" in source
    assert b"pier 1" in source
    kept = ready_picture(source, DENVER).content
    made = opened(kept)
    assert made.format == "JPEG"
    assert dict(made.getexif()) == {}
    assert set(made.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert b"a camera" not in kept
    assert b"pier 1" not in kept
    text = PngImagePlugin.PngInfo()
    text.add_text("Comment", "pier 1 at home")
    assert b"pier 1" not in ready_picture(written(halves(), "PNG", pnginfo=text), DENVER).content


@pytest.mark.parametrize(
    ("offset", "moment"),
    [
        ("", "2026-05-12T09:41:07-06:00"),
        ("+02:00", "2026-05-12T01:41:07-06:00"),
        ("?", "2026-05-12T09:41:07-06:00"),
    ],
)
def test_the_moment_of_taking_is_offered_in_the_time_of_the_project(offset, moment):
    kept = ready_picture(written(halves(), exif=camera_exif(offset=offset)), DENVER)
    assert kept.taken_at == datetime.fromisoformat(moment)
    assert kept.taken_at.isoformat() == moment


def test_a_picture_that_does_not_say_when_it_was_taken_offers_nothing():
    assert ready_picture(written(halves()), DENVER).taken_at is None
    unset = camera_exif()
    unset.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = "0000:00:00 00:00:00"
    assert ready_picture(written(halves(), exif=unset), DENVER).taken_at is None


def test_what_cannot_be_read_of_the_camera_costs_no_picture():
    source = written(halves(), exif=b"Exif\0\0II*\0\xff\xff\xff\xff")
    kept = ready_picture(source, DENVER)
    assert (kept.width_px, kept.height_px, kept.taken_at) == (400, 200, None)


@pytest.mark.parametrize(
    ("size", "kept"), [((5000, 1000), (2000, 400)), ((900, 3000), (600, 2000)), ((300, 200), (300, 200))]
)
def test_a_picture_is_reduced_to_two_thousand_pixels_and_never_enlarged(size, kept):
    ready = ready_picture(written(halves(size)), DENVER)
    assert opened(ready.content).size == kept


def test_it_is_kept_in_the_quality_that_was_decided():
    made = opened(ready_picture(written(halves()), DENVER).content)
    assert made.quantization == opened(written(halves(), quality=QUALITY)).quantization
    assert QUALITY == 85


@pytest.mark.parametrize("mode", ["RGB", "L", "1", "P", "RGBA", "LA", "CMYK", "I;16"])
def test_every_way_to_write_colours_becomes_a_plain_picture(mode):
    source = halves((60, 40), "L").convert("I;16") if mode == "I;16" else halves((60, 40), mode)
    kind = "JPEG" if mode == "CMYK" else "PNG"
    made = opened(ready_picture(written(source, kind), DENVER).content)
    assert (made.size, made.mode) == ((60, 40), "RGB")


def test_sixteen_bits_a_pixel_keep_their_shades():
    source = Image.new("I;16", (40, 40), 128 * 256)
    made = opened(ready_picture(written(source, "PNG"), DENVER).content)
    assert all(abs(each - 128) <= 2 for each in made.getpixel((20, 20)))


def test_what_is_clear_becomes_white_and_webp_is_read():
    clear = Image.new("RGBA", (40, 40), (0, 0, 0, 0))
    made = opened(ready_picture(written(clear, "WEBP", lossless=True), DENVER).content)
    assert all(each > 250 for each in made.getpixel((20, 20)))


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"no picture at all",
        b"%PDF-1.7 " + bytes(4000),
        written(halves(), "GIF"),
        written(halves(), "BMP"),
        written(halves(), "TIFF"),
        b'<svg xmlns="http://www.w3.org/2000/svg"/>',
    ],
    ids=["nothing", "text", "paper", "gif", "bmp", "tiff", "svg"],
)
def test_what_is_no_picture_of_the_three_kinds_is_refused_by_its_content(content):
    with pytest.raises(PictureRefused) as problem:
        ready_picture(content, DENVER, "base.jpg")
    assert str(problem.value) == (
        "base.jpg is not a picture that can be read. Nothing was saved. Choose a JPEG, PNG or WebP file."
    )


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize("share", [0.3, 0.6, 0.98])
def test_a_picture_that_is_cut_short_is_refused(kind, share):
    whole = written(Image.effect_noise((300, 300), 80).convert("RGB"), kind)
    with pytest.raises(PictureRefused, match=r"Nothing was saved\. "):
        ready_picture(whole[: int(len(whole) * share)], DENVER)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_damage_anywhere_gives_a_picture_or_a_sentence_and_nothing_else(kind):
    whole = written(Image.effect_noise((64, 48), 60).convert("RGB"), kind, exif=camera_exif(6))
    for at in range(0, len(whole), max(1, len(whole) // 120)):
        hurt = bytearray(whole)
        hurt[at] ^= 0xA5
        try:
            assert opened(ready_picture(bytes(hurt), DENVER).content).mode == "RGB"
        except PictureRefused as problem:
            assert "Nothing was saved. " in str(problem)


@pytest.mark.parametrize("side", [7072, 12_000, 30_000])
def test_a_small_file_that_unpacks_to_too_many_pixels_is_refused_unread(side):
    with pytest.raises(PictureRefused) as problem:
        ready_picture(png(side, side), DENVER, "wall.png")
    assert str(problem.value) == (
        "wall.png has more than 50 million pixels. Nothing was saved. Choose a smaller one."
    )


@pytest.mark.parametrize(
    "chunks",
    [
        [(b"zTXt", b"Comment\0\0" + zlib.compress(bytes(3_000_000), 9))],
        [(b"zTXt", b"Comment %d\0\0" % at + zlib.compress(bytes(1_000_000), 9)) for at in range(70)],
    ],
    ids=["one large text", "many texts"],
)
def test_texts_that_unpack_without_end_are_refused(chunks):
    with pytest.raises(
        PictureRefused, match=r"unpacks to far more than a picture holds\. Nothing was saved\."
    ):
        ready_picture(png(8, 8, *chunks), DENVER)


def test_a_file_of_more_than_forty_megabytes_is_refused_before_it_is_read(tmp_path):
    large = tmp_path / "large.jpg"
    with large.open("wb") as file:
        file.truncate(MOST_BYTES + 1)
    with pytest.raises(PictureRefused) as problem:
        read_file(large)
    assert str(problem.value) == (
        "large.jpg has 41 MB; a picture may have at most 40 MB. Nothing was saved. Choose a smaller one."
    )
    with pytest.raises(PictureRefused, match="at most 40 MB"):
        ready_picture(bytes(MOST_BYTES + 1), DENVER)


def test_a_folder_is_no_picture_and_a_lost_file_is_told(tmp_path):
    with pytest.raises(PictureRefused, match=r"^.* is not a picture that can be read\."):
        read_file(tmp_path)
    with pytest.raises(NoAccess, match=r"could not be opened"):
        read_file(tmp_path / "gone.jpg")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs a pipe")
def test_what_would_be_waited_for_without_end_is_not_opened(tmp_path):
    os.mkfifo(tmp_path / "pipe.jpg")
    with pytest.raises(PictureRefused, match="is not a picture"):
        read_file(tmp_path / "pipe.jpg")


def record(site: Workplace, kind: str, **typed: str) -> None:
    record_typed(site, "P1-1", form_for(site, "P1-1", kind), typed, "Inspector A")


def kept_at(place: Workplace, tmp_path: Path, colour: tuple[int, int, int] = RED) -> str:
    file = tmp_path / "base.png"
    file.write_bytes(written(Image.new("RGB", (90, 60), colour), "PNG"))
    return keep_picture(place, look_at_file(place, file))


def test_a_picture_is_on_disk_by_its_digest_before_an_entry_names_it(place, tmp_path):
    digest = kept_at(place, tmp_path)
    path = place.folder / "pictures" / f"{digest}.jpg"
    assert sha256(path.read_bytes()).hexdigest() == digest
    before = len(place.entries())
    record(place, "photo", picture=digest, caption="north side", place="12 in; 90 deg")
    assert len(place.entries()) == before + 1
    values = tuple(place.entries())[-1].values
    assert isinstance(values, Photo)
    assert (values.picture, str(values.r), str(values.angle)) == (digest, "12 in", "90 deg")


def test_looking_at_a_file_keeps_nothing(place, tmp_path):
    file = tmp_path / "base.png"
    file.write_bytes(written(halves(), "PNG"))
    assert look_at_file(place, file).width_px == 400
    assert list((place.folder / "pictures").iterdir()) == []


def test_the_pictures_of_a_shaft_come_newest_first_with_caption_and_place(place, tmp_path):
    first, second = kept_at(place, tmp_path), kept_at(place, tmp_path, BLUE)
    record(place, "photo", picture=first, caption="north side", observed_at="2026-05-12T08:00:00-06:00")
    record(
        place, "base sighting", picture=second, means="camera from the surface", seen="nothing loose",
        text="clean all over", place="12 in; 90 deg", observed_at="2026-05-12T08:30:00-06:00",
    )  # fmt: skip
    found = pictures_of(place, "P1-1")
    assert found.count == 2
    assert [(each.kind, each.caption, each.position) for each in found.shown] == [
        ("base sighting", "clean all over", "12 in; 90 deg"),
        ("photo", "north side", ""),
    ]
    newest = found.shown[0].small
    assert newest is not None
    assert (newest.width_px, newest.height_px, len(newest.rgb)) == (90, 60, 90 * 60 * 3)
    assert near(tuple(newest.rgb[:3]), BLUE)
    assert pictures_of(place, "P1-1", most=1).shown == found.shown[:1]


def test_a_picture_that_is_lost_or_changed_says_so_in_its_place(place, tmp_path):
    lost, changed = kept_at(place, tmp_path), kept_at(place, tmp_path, BLUE)
    record(place, "photo", picture=lost, caption="lost")
    record(place, "photo", picture=changed, caption="changed")
    (place.folder / "pictures" / f"{lost}.jpg").unlink()
    (place.folder / "pictures" / f"{changed}.jpg").write_bytes(written(halves()))
    wrong = {each.caption: (each.wrong, each.small) for each in pictures_of(place, "P1-1").shown}
    assert wrong["lost"][0].startswith("The picture is not in the project folder. The entry is safe.")
    assert wrong["changed"][0].startswith("The picture was changed after it was recorded.")
    assert wrong["lost"][1] is wrong["changed"][1] is None
    with pytest.raises(PictureRefused, match="was changed"):
        picture_to_show(place.folder, changed)


def test_a_lost_folder_and_a_full_disk_give_sentences(place, tmp_path, monkeypatch):
    ready = ready_picture(written(halves()), DENVER)
    shutil.rmtree(place.folder / "pictures")
    with pytest.raises(NoAccess, match=r"could not be opened .*Nothing was changed\."):
        keep_picture(place, ready)
    (place.folder / "pictures").mkdir()

    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("fieldapp.store.atomic_file.os.fsync", full)
    with pytest.raises(DiskFull, match=r"The disk is full\. This was not saved"):
        keep_picture(place, ready)
    assert list((place.folder / "pictures").iterdir()) == []


def test_a_project_that_is_open_for_looking_keeps_no_picture(place):
    with read_project(place.folder) as looking, pytest.raises(OnlyReading):
        keep_picture(looking, ready_picture(written(halves()), DENVER))


def test_a_small_picture_is_never_larger_than_asked_for():
    small = small_picture(written(halves((1000, 500))), 320)
    assert (small.width_px, small.height_px) == (320, 160)
