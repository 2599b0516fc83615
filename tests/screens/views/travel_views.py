"""Views of the bundles: one goes out, one comes in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from tests.screens.views.sites import fresh, made_here, occupy

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.screens.journey import Journey

ENGINEER: Final = "Resident engineer"
INSPECTOR: Final = "Inspector A"
WEST: Final = "tablet west"


def _go(on: Journey, screen: str, **given: Any) -> None:
    made_here()
    on.session.person = on.session.person or ENGINEER
    on.walk.go(screen, **given)
    on.wait()


def bundle_out(on: Journey) -> None:
    _go(on, "bundle out")
    on.screen.folder = fresh("usb")
    on.screen._show_again()
    on.wait()


def bundle_out_shafts(on: Journey) -> None:
    from fieldapp.ui.screens.setup_rows import SetupRow
    from fieldapp.ui.words import travel as words
    from fieldapp.ui.words.tongue import tr

    bundle_out(on)
    for title in (tr(words.WHOSE), "P1-3"):
        on.tap(next(w for w in on.screen.walk() if isinstance(w, SetupRow) and w.title == title))


def bundle_out_at_work(on: Journey) -> None:
    from fieldapp.ui.words import travel as words

    bundle_out(on)
    on.screen.stoppable.begin(())
    on.screen.stoppable.show(True, words.MAKING, words.NAMING)
    on.screen._show_next()
    occupy(on, on.session.jobs)


def bundle_out_made(on: Journey) -> None:
    bundle_out(on)
    on.tap(on.middle.next)
    on.hand.until(lambda: on.screen.made is not None, 30)
    on.wait()


def bundle_from_west(on: Journey, slough: str = "") -> Path:
    """A bundle of another tablet, which holds what this one holds and one thing more."""
    from fieldapp.desk.inspector import Saying, record_entry
    from fieldapp.desk.travel.arriving import NewFolder, begin_from_bundle
    from fieldapp.desk.travel.sending import Asked, make_bundle
    from fieldapp.desk.workplace import open_project
    from fieldapp.record.hole import Event, Note
    from fieldapp.record.words import Happening
    from tests.screens.journey import SteppedClock

    made_here()
    there = fresh("west")

    def sent(place: Any) -> Path:
        return make_bundle(place, there / "to-west.bundle.zip", Asked(ENGINEER)).path

    found: list[Path] = []
    on.session.ask(sent, found.append, print)
    on.hand.until(lambda: bool(found), 30)
    clock = SteppedClock(on.session.clock.moment)
    clock.made = 5000
    begin_from_bundle(NewFolder(there / "project", clock, WEST), found[0])
    with open_project(there / "project", clock, WEST) as place:
        for shaft in (slough, "P1-1", "P1-2"):
            values = Event(Happening.SLOUGH, "the wall came in") if slough else Note("seen from the west")
            if shaft:
                record_entry(place, Saying(shaft, values, INSPECTOR))
        return make_bundle(place, there / "from-west.bundle.zip", Asked(INSPECTOR, ("P1-1",))).path


def bundle_in(on: Journey) -> None:
    _go(on, "bundle in")


def bundle_folder(on: Journey) -> None:
    path = bundle_from_west(on)
    (path.parent / "older").mkdir()
    _go(on, "bundle folder", wants="bundle", start=path.parent, chosen=print)


def bundle_in_seen(on: Journey) -> None:
    path = bundle_from_west(on)
    _go(on, "bundle in")
    on.screen.look(path)
    on.wait()


def bundle_in_taken(on: Journey) -> None:
    bundle_in_seen(on)
    on.tap(on.middle.next)
    on.wait(hops=4)


def bundle_in_refused(on: Journey) -> None:
    path = bundle_from_west(on)
    path.write_bytes(path.read_bytes()[:-9])
    _go(on, "bundle in")
    on.screen.look(path)
    on.wait()


def bundle_in_alone(on: Journey) -> None:
    path = bundle_from_west(on)
    _go(on, "bundle in", alone=True)
    on.screen.look(path)
    on.wait()


TRAVEL_VIEWS: Final[dict[str, Callable[[Journey], None]]] = {
    each.__name__: each
    for each in (
        bundle_out, bundle_out_shafts, bundle_out_at_work, bundle_out_made, bundle_in, bundle_folder,
        bundle_in_seen, bundle_in_taken, bundle_in_refused, bundle_in_alone,
    )
}  # fmt: skip
