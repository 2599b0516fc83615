"""Views of a picture: chosen from a folder, seen before it is kept, refused, and kept with an entry."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Final

from tests.screens.views.sites import fresh

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.screens.journey import Journey


def _shelf() -> Path:
    """A folder of this device with a drawn picture of a base under water, and one that is none."""
    from PIL import Image, ImageDraw

    shelf = fresh("shelf") / "Pictures"
    shelf.mkdir()
    drawn = Image.radial_gradient("L").resize((1600, 1200)).convert("RGB")
    ImageDraw.Draw(drawn).ellipse((500, 350, 1100, 900), outline="white", width=9)
    drawn.save(shelf / "base 22 May.jpg")
    (shelf / "letter.png").write_text("Dear all,", "utf-8")
    (shelf / "pier 2").mkdir()
    return shelf


def _asked(on: Journey) -> Path:
    """From the box of a photo entry to the folder."""
    shelf = _shelf()
    on.session.person = "Inspector A"
    on.walk.go("shaft", shaft="P2-1", stage="Pictures and notes")
    on.wait()
    on.walk.go("entry", shaft="P2-1", kind="photo")
    on.wait()
    on.tap(on.middle.fields["picture"])
    on.tap(on.middle.tools.picture.choose)
    on.screen.list.look(shelf)
    on.wait()
    return shelf


def _row(on: Journey, title: str) -> None:
    from fieldapp.ui.screens.setup_rows import SetupRow

    on.tap(next(w for w in on.screen.walk() if isinstance(w, SetupRow) and w.title == title))


def picture_folder(on: Journey) -> None:
    _asked(on)


def picture_seen(on: Journey) -> None:
    _asked(on)
    _row(on, "base 22 May.jpg")


def picture_position(on: Journey) -> None:
    """The project asks for positions, and the file says one."""
    from PIL import Image

    from fieldapp.desk.pictures.position import PicturePosition, exif_of
    from fieldapp.desk.projects.beginning import change_picture_positions

    shelf = _asked(on)
    at = exif_of(PicturePosition(Fraction("39.73917"), Fraction("-104.985")))
    Image.open(shelf / "base 22 May.jpg").save(shelf / "north side.jpg", exif=at)
    on.session.ask(
        lambda place: change_picture_positions(place, True, "Resident engineer"), lambda _entry: None, print
    )
    on.screen.again()
    on.wait()
    _row(on, "north side.jpg")


def picture_none(on: Journey) -> None:
    _asked(on)
    _row(on, "letter.png")


def picture_empty(on: Journey) -> None:
    _asked(on)
    _row(on, "pier 2")


def picture_entry(on: Journey) -> None:
    """Back on the entry, with the picture kept."""
    picture_seen(on)
    on.tap(on.middle.next)


def picture_look(on: Journey) -> None:
    picture_entry(on)
    digest = on.screen.hand.typing.typed.fields["picture"]
    on.walk.go("picture", digest=digest)
    on.wait()


PICTURE_VIEWS: Final[dict[str, Callable[[Journey], None]]] = {
    each.__name__: each
    for each in (
        picture_folder,
        picture_seen,
        picture_position,
        picture_none,
        picture_empty,
        picture_entry,
        picture_look,
    )
}
