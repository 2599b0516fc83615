"""The projects that this device knows, those on its disks, and a new one.

The list lies beside the device's name and holds no record: losing it costs a search.  A new project appears
under its name only when its set-up is recorded; before that there is nothing of it.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Final, TypeVar
from zoneinfo import available_timezones

from fieldapp.desk.board import board
from fieldapp.desk.clock import Clock, SystemClock, zone_named
from fieldapp.desk.device import device_folder
from fieldapp.desk.inspector import Saying, record_entry, refuse_or_ask
from fieldapp.desk.office import begin_project
from fieldapp.desk.presets import preset
from fieldapp.desk.workplace import Workplace, file_name_of, open_project
from fieldapp.record.entry import Draft, Entry, check_name
from fieldapp.record.objections import objections
from fieldapp.record.reading import Impossible
from fieldapp.record.roles import may_make
from fieldapp.record.said import said
from fieldapp.record.setup import Person, ProjectSetup
from fieldapp.record.words import Role, UnitSystem
from fieldapp.store.atomic_file import save_bytes
from fieldapp.store.problems import AlreadyThere, OlderStore, StoreProblem, in_plain_words

T = TypeVar("T")
_MOST: Final = 40
_LARGEST_BYTES: Final = 65_536


@dataclass(frozen=True, slots=True)
class KnownProject:
    """A project that was opened on this device: its name as seen last, where it lies, when it was opened."""

    name: str
    folder: str
    opened_at: str


@dataclass(frozen=True, slots=True)
class ProjectNow:
    """A known project as it stands: whether it can be opened, and what to do when it cannot."""

    known: KnownProject
    able: bool
    says: str


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


def known_projects() -> tuple[ProjectNow, ...]:
    """The projects that this device knows, as they stand now, the one opened last first."""
    return tuple(_now(each) for each in _kept())


def remember_project(folder: Path, clock: Clock | None = None) -> KnownProject:
    """Put a project at the head of the list.  Raises StoreProblem when it cannot be looked at."""
    made = KnownProject(
        name_in(folder), str(folder.resolve()), (clock or SystemClock()).now("UTC").isoformat()
    )
    _keep((made, *(each for each in _kept() if each.folder != made.folder)))
    return made


def forget_project(folder: str) -> None:
    """Take a project off the list; the project itself stays as it is."""
    _keep(tuple(each for each in _kept() if each.folder != folder))


def name_in(folder: Path) -> str:
    """The name of the project in a folder.  Raises StoreProblem; an older store gives the folder's name."""
    try:
        return board(folder).project or folder.name
    except OlderStore:
        return folder.name


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
    growing = folder.with_name(f"{folder.name}.new")
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
    finally:
        shutil.rmtree(growing, ignore_errors=True)
    return folder


def change_units(place: Workplace, units: UnitSystem, author: str) -> Entry:
    """Show the project in other units from now on, for everybody; readings stay as they were read.

    Raises Refused, StoreProblem.
    """
    return record_entry(place, Saying(None, replace(place.setup(), units=units), author))


def half_typed() -> dict[str, str]:
    """What was typed of a new project and not made yet; a file that cannot be read is none."""
    try:
        with _half_typed().open("rb") as file:
            found = json.loads(file.read(_LARGEST_BYTES))
    except (OSError, ValueError, RecursionError):
        return {}
    return {name: str(text) for name, text in found.items()} if isinstance(found, dict) else {}


def keep_half_typed(texts: Mapping[str, str]) -> None:
    """Keep what is typed of a new project beside the device's name.  Raises StoreProblem."""
    _save(_half_typed(), dict(texts))


def drop_half_typed() -> None:
    """Forget it once the project is made."""
    with suppress(OSError):
        _half_typed().unlink(missing_ok=True)


def _setup_of(new: NewProject) -> ProjectSetup:
    """The set-up of a new project.  Raises Impossible, naming the field of the form."""
    check_name("id", new.id)
    zone_named(new.time_zone)
    _named("person", lambda: Person(new.person, (Role.DESIGNER,)))
    if not may_make(ProjectSetup.KIND, new.roles):
        raise Impossible(
            "roles",
            ", ".join(new.roles) or "nothing",
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


def _now(known: KnownProject) -> ProjectNow:
    folder = Path(known.folder)
    if not folder.exists():
        says = said(
            "The folder is not here now. What was recorded in it is not changed by that: put back the disk "
            "or card on which it lies, or open a backup."
        )
        return ProjectNow(known, False, says)
    try:
        return ProjectNow(replace(known, name=name_in(folder)), True, "")
    except StoreProblem as problem:
        return ProjectNow(known, False, str(problem))


def _list() -> Path:
    return device_folder() / "projects.json"


def _kept() -> tuple[KnownProject, ...]:
    """The list on disk; one that cannot be read counts as empty, a line that is none of ours is left out."""
    try:
        with _list().open("rb") as file:
            found = json.loads(file.read(_LARGEST_BYTES))
    except (OSError, ValueError, RecursionError):
        return ()
    return tuple(each for line in found if (each := _known(line))) if isinstance(found, list) else ()


def _known(line: object) -> KnownProject | None:
    if not isinstance(line, dict) or set(line) != {"name", "folder", "opened_at"}:
        return None
    return KnownProject(**line) if all(isinstance(each, str) for each in line.values()) else None


def _keep(projects: tuple[KnownProject, ...]) -> None:
    _save(_list(), [asdict(each) for each in projects[:_MOST]])


def _half_typed() -> Path:
    return device_folder() / "new-project.json"


def _save(path: Path, body: object) -> None:
    with in_plain_words(path.parent):
        path.parent.mkdir(parents=True, exist_ok=True)
        save_bytes(path, json.dumps(body).encode())
