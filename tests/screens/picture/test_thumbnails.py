"""The pictures of a shaft in a grid."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.pictures.kept import keep_picture, look_at_file
from fieldapp.desk.workplace import open_project
from fieldapp.record.hole import Photo
from fieldapp.ui import asks_picture
from fieldapp.ui.screens.picture_view import Thumbnail, Thumbnails
from tests.screens.journey import DEVICE, SteppedClock
from tests.screens.picture_journey import GREEN


@pytest.fixture
def pictured(folder: Path, shelf: Path) -> Callable[[], object]:
    with open_project(folder, SteppedClock(), DEVICE) as place:
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
