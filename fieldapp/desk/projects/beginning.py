"""A new project, and what its office changes of it later.

A new project appears under its name only when its set-up is recorded; before that there is nothing of it.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar
from zoneinfo import available_timezones

from fieldapp.desk.clock import Clock, zone_named
from fieldapp.desk.inspector import Saying, record_entry, refuse_or_ask
from fieldapp.desk.office import begin_project
from fieldapp.desk.projects.presets import preset
from fieldapp.desk.workplace import Workplace, file_name_of, open_project
from fieldapp.record.entry import Draft, Entry, check_name
from fieldapp.record.objections import objections
from fieldapp.record.reading import Impossible
from fieldapp.record.roles import may_make
from fieldapp.record.said import said
from fieldapp.record.said_lists import listed
from fieldapp.record.setup import Person, ProjectSetup
from fieldapp.record.words import Role, UnitSystem
from fieldapp.store.atomic_file import PART, sync_folder
from fieldapp.store.problems import AlreadyThere, in_plain_words

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class NewProject:
    """What is asked for a new project.  ``above`` is the folder in which its own folder is made."""

    above: Path
    id: str
    name: str
    units: UnitSystem
    time_zone: str
    preset: str
    person: str
    roles: tuple[Role, ...]
    own_log_release: bool = False
    keep_picture_positions: bool = False


def time_zones() -> tuple[str, ...]:
    """Every time zone that a project can have, in the order of the alphabet."""
    return ("UTC", *sorted(each for each in available_timezones() if "/" in each))


def zone_of_the_system() -> str:
    """The time zone of this device as an IANA name; UTC where the system does not tell."""
    from tzlocal import get_localzone_name  # noqa: PLC0415 - wanted once, for a new project

    with suppress(Exception):  # what a system answers here is without end, and any other zone can be typed
        name = str(get_localzone_name() or "")
        zone_named(name)
        return name
    return "UTC"


def create_project(new: NewProject, clock: Clock | None = None, device: str = "") -> Path:
    """Make a project folder with its set-up by the first person, and give the folder.

    Raises
    ------
    Impossible
        Something of it cannot be; names the field of `NewProject`.
    Refused
        The first person's role may not set up a project.
    StoreProblem
        The folder is there already, or cannot be written; then nothing of it is left behind.
    """
    setup = _setup_of(new)
    folder = new.above / file_name_of(new.id)
    growing = folder.with_name(f".{folder.name}.new{PART}")  # hidden: no folder of somebody's has this name
    if folder.exists():
        raise AlreadyThere(folder=folder)
    with in_plain_words(new.above):
        new.above.mkdir(parents=True, exist_ok=True)
    shutil.rmtree(growing, ignore_errors=True)
    try:
        begin_project(growing)
        with open_project(growing, clock, device) as place:
            _begin(place, new.id, setup)
        with in_plain_words(folder):
            growing.rename(folder)
            sync_folder(new.above)
    finally:
        shutil.rmtree(growing, ignore_errors=True)
    return folder


def change_units(place: Workplace, units: UnitSystem, author: str) -> Entry:
    """Show the project in other units from now on, for everybody; readings stay as they were read.

    Raises Refused, StoreProblem.
    """
    return record_entry(place, Saying(None, replace(place.setup(), units=units), author))


def change_picture_positions(place: Workplace, keep: bool, author: str) -> Entry:
    """Keep the positions of pictures from now on, or keep none; pictures that are kept stay as they are.

    Raises Refused, StoreProblem.
    """
    return record_entry(place, Saying(None, replace(place.setup(), keep_picture_positions=keep), author))


def _setup_of(new: NewProject) -> ProjectSetup:
    """The set-up of a new project.  Raises Impossible, naming the field of the form."""
    check_name("id", new.id)
    zone_named(new.time_zone)
    _named("person", lambda: Person(new.person, (Role.DESIGNER,)))
    if not may_make(ProjectSetup.KIND, new.roles):
        raise Impossible(
            "roles",
            listed(new.roles) or said("nothing"),
            said("resident engineer or designer: they set up a project"),
        )
    return _named(
        "name",
        lambda: ProjectSetup(
            name=new.name,
            units=new.units,
            time_zone=new.time_zone,
            acceptance=preset(new.preset),
            people=(Person(new.person, new.roles),),
            own_log_release=new.own_log_release,
            keep_picture_positions=new.keep_picture_positions,
        ),
    )


def _named(name: str, make: Callable[[], T]) -> T:
    try:
        return make()
    except Impossible as problem:
        raise Impossible(name, problem.read, problem.expected) from None


def _begin(place: Workplace, project: str, setup: ProjectSetup) -> None:
    now = place.clock.now(setup.time_zone)
    author = setup.people[0].name
    first = Draft(place.clock.new_id(), project, None, setup, now, now, author)
    refuse_or_ask(objections(place.record(), first), ())
    place.append([first])
