"""A picture by touch: chosen from a folder, seen as it is kept, named by an entry; what cannot be is told."""

from __future__ import annotations

import errno
import shutil
import sys
from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path

import pytest
from PIL import ExifTags, Image

from fieldapp.desk.inspector import kept_form
from fieldapp.desk.pictures.kept import keep_picture, look_at_file
from fieldapp.desk.projects.beginning import change_picture_positions
from fieldapp.desk.workplace import open_project
from fieldapp.record.hole import BaseSighting, Photo
from fieldapp.ui import asks_picture
from fieldapp.ui.screens.picture_view import Thumbnail, Thumbnails
from fieldapp.ui.screens.setup_rows import SetupRow
from fieldapp.ui.widgets.theme import theme
from fieldapp.ui.words import picture as words
from tests.screens.journey import DEVICE, Journey, SteppedClock, begin, entries_of, set_out
from tests.support.driver import LANDSCAPE, PORTRAIT, Driver

GREEN = (20, 150, 40)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begin(tmp_path_factory.mktemp("whole") / "larkwater", "larkwater", ("P2-1", "P1-4"))


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "larkwater"))


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """A folder of this device: one good picture, one that is none, and something else."""
    shelf = tmp_path / "home" / "Pictures"
    shelf.mkdir(parents=True)
    (shelf / "base.jpg").write_bytes(photo())
    (shelf / "broken.jpg").write_bytes(photo()[:900])
    (shelf / "letter.png").write_text("Dear all,", "utf-8")
    (shelf / "list.txt").write_text("bread", "utf-8")
    return shelf


def photo() -> bytes:
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 6
    exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = "2026:05:22 16:31:05"
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitudeRef] = "N"
    made = BytesIO()
    Image.effect_noise((640, 400), 40).convert("RGB").save(made, "JPEG", exif=exif)
    return made.getvalue()


@pytest.fixture
def on(hand: Driver, folder: Path, shelf: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Journey]:
    monkeypatch.setenv("HOME", str(shelf.parent))
    monkeypatch.setenv("USERPROFILE", str(shelf.parent))
    made = set_out(hand, folder)
    made.session.person = "Inspector A"
    yield made
    made.leave()


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


def test_a_picture_from_a_file_is_kept_and_then_named_by_its_entry(on, folder):
    before = entries_of_now(on)
    entry(on, "photo")
    choose(on)
    titles = [w.title for w in on.screen.walk() if isinstance(w, SetupRow)]
    assert {"base.jpg", "broken.jpg", "letter.png"} <= set(titles)
    assert "list.txt" not in titles
    on.tap(row(on, "base.jpg"))
    assert "400 by 640 pixels" in on.texts()  # upright: the camera was held on its side
    assert "Position, camera and everything else in the file are not kept." in on.texts()
    assert on.screen.view.texture.size == (400, 640)
    assert kept_files(folder) == []  # looking keeps nothing
    on.tap(on.middle.next)
    assert on.walk.current == "entry"
    (name,) = kept_files(folder)
    typing = on.screen.hand.typing
    assert typing.typed.fields["picture"] == name.removesuffix(".jpg")
    assert typing.typed.fields["observed_at"] == "2026-05-22T16:31:05-06:00"  # offered, to be changed
    assert typing.name == "caption"
    on.middle.tools.text_field.typing.insert_text("north side, after the second pass")
    on.wait(hops=1)
    on.tap_next()
    assert on.walk.current == "shaft"
    assert on.screen.sides.rail.chosen == "Pictures and notes"
    on.leave()
    (new,) = set(entries_of(folder)) - set(before)
    assert new.values == Photo(name.removesuffix(".jpg"), "north side, after the second pass")
    assert new.draft.observed_at.isoformat() == "2026-05-22T16:31:05-06:00"


def test_a_position_is_shown_where_the_project_asks_for_it(on, folder, shelf):
    exif = Image.Exif()
    exif.get_ifd(ExifTags.IFD.GPSInfo).update(
        {
            ExifTags.GPS.GPSLatitudeRef: "S", ExifTags.GPS.GPSLatitude: (33.0, 51.0, 24.5),
            ExifTags.GPS.GPSLongitudeRef: "E", ExifTags.GPS.GPSLongitude: (151.0, 12.0, 54.5),
        }
    )  # fmt: skip
    Image.new("RGB", (300, 200), GREEN).save(shelf / "there.jpg", exif=exif)
    # by hand: 33 + 51/60 + 24.5/3600 south, 151 + 12/60 + 54.5/3600 east
    at = "latitude -33.85681, longitude 151.21514 (degrees; north and east count up)"
    entry(on, "photo")
    choose(on)
    on.tap(row(on, "there.jpg"))
    assert at not in on.texts()
    assert words.POSITION_REMOVED in on.texts()
    on.walk.back()

    on.session.ask(
        lambda place: change_picture_positions(place, True, "Resident engineer"), lambda _: None, print
    )
    on.wait()
    on.tap(row(on, "base.jpg"))
    assert words.POSITION_REMOVED in on.texts()
    assert "The file does not say where it was taken." in on.texts()
    on.walk.back()
    on.wait()
    on.tap(row(on, "there.jpg"))
    assert at in on.texts()
    assert words.POSITION_KEPT in on.texts()
    on.tap(on.middle.next)
    on.tap(on.middle.fields["picture"])
    on.tap(on.middle.tools.picture.look)
    assert on.walk.current == "picture"
    assert at in on.texts()


def entries_of_now(on: Journey) -> tuple:
    told: list[tuple] = []
    on.session.ask(lambda place: place.entries(), told.append, lambda _problem: None)
    on.hand.until(lambda: bool(told))
    return told[0]


def test_a_moment_that_was_typed_is_left_as_it_is(on):
    entry(on, "photo")
    on.screen.hand.typing.typed.fields["observed_at"] = "2026-05-22T17:00:00-06:00"
    choose(on)
    on.tap(row(on, "base.jpg"))
    on.tap(on.middle.next)
    assert on.screen.hand.typing.typed.fields["observed_at"] == "2026-05-22T17:00:00-06:00"


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("broken.jpg", "broken.jpg is damaged or cut short. Nothing was saved."),
        ("letter.png", "letter.png is not a picture that can be read. Nothing was saved."),
    ],
)
def test_what_is_no_picture_gets_a_sentence_and_the_list_stays(on, folder, name, sentence):
    entry(on, "photo")
    choose(on)
    on.tap(row(on, name))
    assert sentence in on.middle.said
    assert row(on, "base.jpg")
    assert on.middle.next_text == ""
    assert kept_files(folder) == []


def test_back_leads_from_a_picture_to_the_list_and_from_there_to_the_entry(on, folder):
    entry(on, "photo")
    choose(on)
    on.tap(row(on, "base.jpg"))
    on.press()
    assert on.walk.current == "picture"
    assert row(on, "base.jpg")
    on.press()
    assert on.walk.current == "entry"
    assert "picture" not in on.screen.hand.typing.typed.fields
    assert kept_files(folder) == []


def test_a_lost_folder_is_told_and_what_was_typed_stays(on, folder):
    entry(on, "photo")
    on.tap(on.middle.fields["caption"])
    on.middle.tools.text_field.typing.insert_text("north side")
    on.wait(hops=1)
    choose(on)
    on.tap(row(on, "base.jpg"))
    shutil.rmtree(folder / "pictures")
    on.tap(on.middle.next)
    assert on.walk.current == "picture"
    assert "could not be opened" in on.middle.said
    assert "Check the disk and the rights of the folder." in on.middle.said
    (folder / "pictures").mkdir()
    on.tap(on.middle.next)  # once more, without choosing again
    assert on.walk.current == "entry"
    assert on.screen.hand.typing.typed.fields["caption"] == "north side"
    assert len(kept_files(folder)) == 1


def test_a_full_disk_is_told_and_what_was_typed_stays(on, folder, monkeypatch):
    entry(on, "photo")
    on.tap(on.middle.fields["caption"])
    on.middle.tools.text_field.typing.insert_text("north side")
    on.wait(hops=1)
    choose(on)
    on.tap(row(on, "base.jpg"))

    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as disk:
        disk.setattr("fieldapp.store.atomic_file.os.fsync", full)
        on.tap(on.middle.next)
    assert on.middle.said.startswith("The disk is full. This was not saved; all earlier entries are safe")
    assert kept_files(folder) == []
    on.press()
    on.press()
    assert on.screen.hand.typing.typed.fields["caption"] == "north side"


def test_a_sighting_may_have_a_picture_that_can_be_looked_at_and_left_out_again(on, folder):
    entry(on, "base sighting")
    choose(on)
    on.tap(row(on, "base.jpg"))
    on.tap(on.middle.next)
    on.tap(on.middle.fields["picture"])
    on.tap(on.middle.tools.picture.look)
    assert on.walk.current == "picture"
    assert on.screen.view.texture.size == (400, 640)
    on.press()
    assert on.walk.current == "entry"
    on.tap(on.middle.tools.picture.away)
    assert on.screen.hand.typing.texts().get("picture") is None
    assert not on.middle.tools.picture.kept


def test_the_picture_of_a_half_typed_entry_survives_the_end_of_the_app(on, folder, hand):
    entry(on, "photo")
    choose(on)
    on.tap(row(on, "base.jpg"))
    on.tap(on.middle.next)
    on.leave()
    with open_project(folder, SteppedClock(), DEVICE) as place:
        kept = kept_form(place, asks_key())
    assert kept is not None
    assert kept["fields"]["picture"] == kept_files(folder)[0].removesuffix(".jpg")


def asks_key() -> str:
    from fieldapp.ui.asks_entry import Wanted

    return Wanted("P1-4", "photo", "").key


CAMERA = """
import shutil

class Camera:
    def take_picture(self, filename, on_complete):
        shutil.copy({source!r}, filename)
        on_complete(filename)

camera = Camera()
"""


def test_the_camera_is_offered_only_where_the_device_gives_one(on, folder, shelf, tmp_path, monkeypatch):
    """A module of its name stands in for the one that only some platforms have."""
    entry(on, "photo")
    choose(on)
    assert on.middle.second_text == ""
    on.press()
    given = tmp_path / "given"
    given.mkdir()
    (given / "plyer.py").write_text(CAMERA.format(source=str(shelf / "base.jpg")), "utf-8")
    monkeypatch.syspath_prepend(str(given))
    try:
        choose(on)
        on.tap(on.middle.second)
        on.wait()
        assert "400 by 640 pixels" in on.texts()
        on.tap(on.middle.next)
        assert len(kept_files(folder)) == 1
    finally:
        sys.modules.pop("plyer", None)


def test_a_camera_that_cannot_be_used_is_told(on, tmp_path, monkeypatch):
    entry(on, "photo")
    given = tmp_path / "given"
    given.mkdir()
    body = "class C:\n    def take_picture(self, **given):\n        raise NotImplementedError\ncamera = C()\n"
    (given / "plyer.py").write_text(body, "utf-8")
    monkeypatch.syspath_prepend(str(given))
    try:
        choose(on)
        on.tap(on.middle.second)
        assert on.middle.said.startswith("This device lets no picture be taken from here.")
    finally:
        sys.modules.pop("plyer", None)


@pytest.fixture
def pictured(folder: Path, shelf: Path) -> Callable[[], object]:
    with open_project(folder, SteppedClock(), DEVICE) as place:
        from fieldapp.desk.inspector import Saying, record_entry

        for number in range(3):
            file = shelf / f"made {number}.png"
            Image.new("RGB", (300, 200), tuple(50 * number + each // 2 for each in GREEN)).save(file)
            digest = keep_picture(place, look_at_file(place, file))
            record_entry(place, Saying("P1-4", Photo(digest, f"picture {number}"), "Inspector A"))
        (folder / "pictures" / f"{digest}.jpg").unlink()
        return asks_picture.pictures(place, "P1-4")


def test_the_pictures_of_a_shaft_stand_in_a_grid_and_a_tap_opens_one(hand, pictured):
    made = Thumbnails()
    opened: list[str] = []
    made.bind(on_open=lambda _made, picture: opened.append(picture.caption))
    made.show(pictured)
    hand.show(made)
    tiles = [w for w in made.walk() if isinstance(w, Thumbnail)]
    assert [each.caption for each in tiles] == ["picture 2", "picture 1", "picture 0"]
    assert tiles[0].wrong.startswith("The picture is not in the project folder.")
    assert tiles[1].ids.view.texture.size == (300, 200)
    assert tiles[1].ids.view.width / tiles[1].ids.view.shown_width >= 1
    hand.tap(tiles[1])
    assert opened == ["picture 1"]
    assert hand.small_targets() == []


@pytest.mark.every_size
@pytest.mark.parametrize(("size", "scale"), [(LANDSCAPE, 1.0), (LANDSCAPE, 2.0), (PORTRAIT, 2.0)])
def test_nothing_is_cut_on_the_screen_of_pictures(on, hand, size, scale):
    hand.resize(size)
    theme.text_scale = scale
    entry(on, "photo")
    on.tap(on.middle.fields["picture"])
    fits(hand)
    on.tap(on.middle.tools.picture.choose)
    fits(hand)
    on.tap(row(on, "letter.png"))
    fits(hand)
    on.tap(row(on, "base.jpg"))
    fits(hand)
    on.tap(on.middle.next)
    on.tap(on.middle.fields["picture"])
    fits(hand)


def fits(hand: Driver) -> None:
    assert hand.cut_labels() == []
    assert hand.small_targets() == []


def test_a_sighting_with_a_picture_is_in_the_journal_at_its_place(on, folder):
    entry(on, "base sighting", "P2-1")
    choose(on)
    on.tap(row(on, "base.jpg"))
    on.tap(on.middle.next)
    fields = on.screen.hand.typing.typed.fields
    fields |= {
        "means": "camera",
        "text": "clean",
        "seen": "nothing loose",
        "place r": "12",
        "place angle": "90",
    }
    on.screen.hand.show_box()
    on.wait()
    on.tap_next()
    assert on.walk.current == "shaft", on.texts()
    on.leave()
    (new,) = [
        each for each in entries_of(folder) if isinstance(each.values, BaseSighting) and each.values.picture
    ]
    assert (str(new.values.r), str(new.values.angle)) == ("12 in", "90 deg")
    assert f"{new.values.picture}.jpg" in kept_files(folder)
