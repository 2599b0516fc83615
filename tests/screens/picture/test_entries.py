"""A picture and the entry that names it: kept, dated, placed, looked at, left out again."""

from __future__ import annotations

from PIL import ExifTags, Image

from fieldapp.desk.inspector import kept_form
from fieldapp.desk.projects.beginning import change_picture_positions
from fieldapp.desk.workplace import open_project
from fieldapp.record.hole import BaseSighting, Photo
from fieldapp.ui.asks_entry import Wanted
from fieldapp.ui.screens.setup_rows import SetupRow
from fieldapp.ui.words import picture as words
from tests.screens.journey import DEVICE, Journey, SteppedClock, entries_of
from tests.screens.picture_journey import GREEN, choose, entry, kept_files, row


def entries_of_now(on: Journey) -> tuple:
    told: list[tuple] = []
    on.session.ask(lambda place: tuple(place.entries()), told.append, lambda _problem: None)
    on.hand.until(lambda: bool(told))
    return told[0]


def asks_key() -> str:
    return Wanted("P1-4", "photo", "").key


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


def test_a_moment_that_was_typed_is_left_as_it_is(on):
    entry(on, "photo")
    on.screen.hand.typing.typed.fields["observed_at"] = "2026-05-22T17:00:00-06:00"
    choose(on)
    on.tap(row(on, "base.jpg"))
    on.tap(on.middle.next)
    assert on.screen.hand.typing.typed.fields["observed_at"] == "2026-05-22T17:00:00-06:00"


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
