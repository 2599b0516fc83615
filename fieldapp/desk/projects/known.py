"""The projects that this device knows, and one that is half typed; the first screen loads no more than this.

Both lie beside the device's name and hold no record: losing the list costs a search, and nothing else.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Final

from fieldapp.desk.board import board
from fieldapp.desk.clock import Clock, SystemClock
from fieldapp.desk.device import device_folder
from fieldapp.record.said import said
from fieldapp.store.atomic_file import save_bytes
from fieldapp.store.problems import OlderStore, StoreProblem, in_plain_words

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
        return ProjectNow(known, False, problem.args[0])


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
