"""Moves of a hand that the journeys share: everything is tapped, held, or typed on the system's keyboard."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from kivy.core.window import Window
from kivy.uix.widget import Widget

from fieldapp.desk.office import begin_project
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project
from fieldapp.ui.screens.person import PersonRow
from fieldapp.ui.widgets.button_grid import ButtonGrid
from fieldapp.ui.widgets.entry_block import EntryBlock
from tests.screens.decision_journey import Sample
from tests.screens.journey import DEVICE, SAMPLES, Journey, SteppedClock, depth_keys

END = 279


def cut_project(folder: Path, sample: Sample) -> Path:
    """A new project of one sample log cut after some lines; nobody has a key, for nothing is decided."""
    name, lines, moment = sample
    cut = folder.parent / f"{name}.log"
    text = (SAMPLES / "larkwater" / f"{name}.log").read_text("utf-8").splitlines()[:lines]
    cut.write_text("\n".join(text) + "\n", "utf-8")
    begin_project(folder)
    with open_project(folder, SteppedClock(moment - timedelta(minutes=5)), DEVICE) as place:
        add_logs(place, read_logs([SAMPLES / "larkwater" / "project.log", cut]))
    return folder


def told(on: Journey) -> str:
    """The sentence over the pages, in one line."""
    return " ".join(on.middle.said.split())


def tap_a_row(on: Journey, text: str) -> None:
    """A row or button of the screen that begins with this text."""
    on.tap(next(each for each in on.screen.walk() if str(getattr(each, "text", "")).startswith(text)))


def to_board(on: Journey) -> None:
    """Back by the key of the bar until the way is at its beginning."""
    for _ in range(9):
        if on.walk.current == "board":
            return
        on.tap(on.screen.sides.bar.ids.back if hasattr(on.screen, "sides") else on.screen.bar.ids.back)
    raise AssertionError(f"back leads no further than {on.walk.current}")


def hand_over(on: Journey, person: str) -> None:
    """Somebody else takes the tablet: on the board, by his name."""
    to_board(on)
    on.tap(on.middle.ids.who)
    on.tap(
        next(
            each
            for each in on.screen.walk()
            if isinstance(each, PersonRow) and each.text.partition(",")[0] == person
        )
    )
    assert on.session.person == person
    assert on.walk.current == "board"


def to_shaft(on: Journey, shaft: str, stage: str = "") -> None:
    """From anywhere to a shaft, and to one of its stages."""
    to_board(on)
    on.tap(on.middle.rows.choices.button("all"))
    table = on.middle.ids.table
    while table.keys.parent is not None and table.rows.scroll_y < 1:
        on.tap(table.keys.children[1])  # the list stands where it was left
    on.tap_shaft(shaft)
    assert on.walk.current == "shaft"
    if stage and on.screen.stage != stage:
        on.tap_stage(stage)


def board_row(on: Journey, shaft: str) -> Widget:
    """The row of a shaft on the board."""
    to_board(on)
    on.tap(on.middle.rows.choices.button("all"))
    return next(each for each in on.middle.ids.table.rows.layout_manager.children if each.shaft == shaft)


def write(on: Journey, field: Widget, text: str) -> None:
    """Tap a text box and go on with what stands there, by the system's keyboard."""
    on.reach(field)
    on.hand.tap(field)
    on.hand.until(lambda: field.typing.focus)
    Window.dispatch("on_key_down", END, 77, None, ["ctrl"])  # a finger sets the cursor where it taps
    Window.dispatch("on_key_up", END, 77)
    Window.dispatch("on_textinput", text)
    on.hand.pump(4)
    on.hand.settle()


def type_point(on: Journey, label: str, first: str, firm: str) -> None:
    """Both depths of the point that is in hand."""
    assert on.screen.hand.typing.label == label
    on.keys(*depth_keys(first))
    on.tap_next()
    on.keys(*depth_keys(firm))
    on.tap_next()


def box(on: Journey, name: str) -> Widget:
    """A box of the entry in hand."""
    return on.middle.fields[name]


def take(on: Journey, name: str) -> None:
    """Tap a box of the entry, unless it is in hand."""
    if on.screen.hand.typing.name != name:
        on.tap(box(on, name))
    assert on.screen.hand.typing.name == name


def type_number(on: Journey, name: str, *keys: str) -> None:
    take(on, name)
    on.keys(*keys, "next")


def choose(on: Journey, name: str, value: str) -> None:
    take(on, name)
    on.tap(on.middle.tools.choices.rows[value])


def read_the_head(on: Journey, shaft: str, *keys: str) -> None:
    """A head reading from the stage of the head."""
    to_shaft(on, shaft, "Head")
    tap_the_kind(on, "head reading")
    type_number(on, "fluid_level", *keys)
    choose(on, "make_up", "off")
    on.tap_next()


def tap_the_kind(on: Journey, kind: str) -> None:
    """The button of a stage for a kind of entry, or the next thing where that is it."""
    for each in on.screen.walk():
        if isinstance(each, ButtonGrid) and kind in dict(each.items):
            on.tap(each.button(kind))
            return
    on.tap_next()
    assert on.walk.current == "entry"


def blocks(on: Journey) -> list[EntryBlock]:
    """The entries that are listed, from above."""
    found = reversed(on.middle.ids.pages.content.children)
    return [each for each in found if isinstance(each, EntryBlock)]


def open_entry(on: Journey, entry: str) -> None:
    """From the list of entries to the page of one, over older ones where need be."""
    for _ in range(5):
        found = [each for each in blocks(on) if each.entry == entry]
        if found:
            on.tap(found[0])
            return
        tap_a_row(on, f"{len(on.screen.page.entries) - len(blocks(on))} older")
    raise AssertionError(f"{entry} is not listed")


def tap_action(on: Journey, name: str) -> None:
    """A button under the page of an entry."""
    on.tap(on.middle.ids.actions.button(name))
