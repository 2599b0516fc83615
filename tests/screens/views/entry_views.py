"""Views of the screen of an entry: each kind, half typed, refused, asked, amended and struck."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.screens.journey import Journey


def entry(on: Journey, shaft: str, **given: str) -> None:
    on.session.person = "Inspector A"
    on.walk.go("shaft", shaft=shaft)
    on.wait()
    on.walk.go("entry", shaft=shaft, **given)
    on.wait()


def tap_box(on: Journey, name: str) -> None:
    on.tap(on.middle.fields[name])


def write_box(on: Journey, name: str, text: str) -> None:
    tap_box(on, name)
    on.middle.tools.text_field.typing.insert_text(text)
    on.wait()


def entry_head(on: Journey) -> None:
    entry(on, "P1-4", kind="head reading")


def entry_head_low(on: Journey) -> None:
    entry_head(on)
    on.keys("3", "'", "6", "next")


def entry_asked(on: Journey) -> None:
    entry_head(on)
    on.keys("2", "9", "'", "6", "next")
    on.tap_next()


def entry_pass(on: Journey) -> None:
    entry(on, "P1-2", kind="cleanout pass")


def entry_pass_runs(on: Journey) -> None:
    entry_pass(on)
    on.tap(on.middle.tools.choices.rows["airlift"])
    watch = on.middle.tools.watch
    on.tap(watch.ids.key)
    watch.ticks = lambda: watch.began_s + 307.2
    on.hand.until(lambda: watch.shown == "5:07.2")


def entry_pass_time(on: Journey) -> None:
    entry_pass(on)
    tap_box(on, "started_at")
    on.tap(on.middle.tools.turn)
    on.keys("1", "4", "0", "5")


def entry_event(on: Journey) -> None:
    entry(on, "P2-1", kind="event")


def entry_note(on: Journey) -> None:
    entry(on, "P2-1", kind="note")
    write_box(on, "text", "The pump stood for ten minutes. The crew found a torn hose and changed it.")


def entry_water(on: Journey) -> None:
    entry(on, "P2-2", kind="standing water")
    on.keys("4", "next")
    tap_box(on, "window")


def entry_sighting(on: Journey) -> None:
    entry(on, "P2-5", kind="base sighting")
    on.tap(on.middle.tools.suggested.rows["camera from the surface"])
    tap_box(on, "seen")
    on.tap(on.middle.tools.choices.rows["void"])
    on.tap(on.middle.tools.choices.rows["water"])


def entry_refused(on: Journey) -> None:
    entry(on, "P2-1", kind="excavation stage")
    on.keys("9", "0", "0", "'", "next")
    tap_box(on, "from_depth")


def entry_unit(on: Journey) -> None:
    entry(on, "P1-4", kind="fluid test")
    tap_box(on, "density")
    on.keys("1", "mark", "0", "5", "next")


def last_head(on: Journey) -> str:
    from fieldapp.record.column import HeadReading

    found: list[str] = []
    on.session.ask(lambda place: place.shaft("P1-4").last(HeadReading).id, found.append, print)
    on.wait()
    return found[0]


def entry_amended(on: Journey) -> None:
    entry(on, "P1-4", amend=last_head(on))
    on.keys("back", "back", "1", '"', "next")
    on.tap_next()
    on.tap(on.middle.tools.suggested.rows["read the wrong mark"])


def entry_struck(on: Journey) -> None:
    entry(on, "P1-4", amend=last_head(on))
    on.tap_second()
    on.tap(on.middle.tools.suggested.rows["wrong point"])


def _opened(shaft: str, kind: str) -> Callable[[Journey], None]:
    def view(on: Journey) -> None:
        entry(on, shaft, kind=kind)

    return view


def entry_instrument(on: Journey) -> None:
    """An entry of the project, of no one shaft."""
    on.session.person = "Inspector A"
    on.walk.go("entry", shaft="", kind="instrument")
    on.wait()


ENTRY_VIEWS: Final[dict[str, Callable[[Journey], None]]] = {
    each.__name__: each
    for each in (
        entry_head, entry_head_low, entry_asked, entry_pass, entry_pass_runs, entry_pass_time, entry_event,
        entry_note, entry_water, entry_sighting, entry_refused, entry_unit, entry_amended, entry_struck,
        entry_instrument,
    )
} | {
    "entry_excavation": _opened("P2-1", "excavation stage"),
    "entry_survey": _opened("P2-1", "geometry survey"),
    "entry_delay": _opened("P2-1", "delay"),
    "entry_photo": _opened("P2-1", "photo"),
    "entry_concrete_started": _opened("P2-1", "concrete started"),
    "entry_concrete_finished": _opened("P1-2", "concrete finished"),
    "entry_as_built": _opened("P1-2", "as-built"),
}  # fmt: skip
