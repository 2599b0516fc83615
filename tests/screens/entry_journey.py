"""What a hand does on the entry screen: to it, box by box, and what the journal got of it."""

from __future__ import annotations

from pathlib import Path

from fieldapp.desk.workplace import open_project
from fieldapp.record.column import HeadReading
from tests.screens.journey import DEVICE, Journey, SteppedClock, entries_of


def to(on: Journey, shaft: str, **given: str) -> None:
    on.walk.go("shaft", shaft=shaft)
    on.wait()
    on.walk.go("entry", shaft=shaft, **given)
    on.wait()


def typing(on: Journey):
    return on.screen.hand.typing


def box(on: Journey, name: str):
    return on.middle.fields[name]


def take(on: Journey, name: str) -> None:
    on.tap(box(on, name))
    assert typing(on).name == name


def type_number(on: Journey, name: str, *keys: str) -> None:
    if typing(on).name != name:
        take(on, name)
    on.keys(*keys, "next")


def choose(on: Journey, name: str, value: str) -> None:
    if typing(on).name != name:
        take(on, name)
    on.tap(on.middle.tools.choices.rows[value])


def write(on: Journey, name: str, text: str) -> None:
    """Through the text box, as the system's keyboard does."""
    if typing(on).name != name:
        take(on, name)
    on.middle.tools.text_field.typing.insert_text(text)
    on.wait(hops=1)


def new_entry(folder: Path, before: tuple) -> object:
    (new,) = set(entries_of(folder)) - set(before)
    return new


def head_of(folder: Path, shaft: str = "P1-4") -> tuple[str, str]:
    """Id and reading of the last head reading of a shaft."""
    with open_project(folder, SteppedClock(), DEVICE) as place:
        line = place.shaft(shaft).last(HeadReading)
        return line.id, str(line.values.fluid_level)


def fill(on: Journey, missing) -> None:
    if missing.ask == "text":
        write(on, missing.name, "T 7")
    elif missing.ask in {"choice", "yes or no"}:
        choose(on, missing.name, missing.options[0].value if missing.options else "yes")
    else:
        type_number(on, missing.name, "1")
