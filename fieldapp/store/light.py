"""The board of the first screen, read without loading sqlite-utils, the record or the rules."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from fieldapp.store.driver import sqlite3
from fieldapp.store.opening import reading
from fieldapp.store.problems import OlderStore
from fieldapp.store.read_tables import CLOCKS

_NAMES: Final = (
    "id", "location", "diameter_m", "standing", "reasons", "next_step", "stage", "release", "release_until",
    "concrete_started_at", "as_of",
)  # fmt: skip
_COLUMNS: Final = ", ".join((*_NAMES, *CLOCKS))


@dataclass(frozen=True, slots=True)
class BoardRow:
    """One shaft on the board, as of its latest entry.  Times are ISO 8601 text with offset.

    ``release`` stands as of ``as_of``: who shows it compares ``release_until`` with the time of day.
    ``clocks`` are the moments that run, each with the column that says what for.
    """

    id: str
    location: str | None
    diameter_m: float | None
    standing: str
    reasons: str
    next_step: str
    stage: str
    release: str
    release_until: str | None
    concrete_started_at: str | None
    as_of: str
    clocks: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Board:
    """The project by name, with its units and time zone, and its shafts by id.

    Before the project is set up the texts are empty.
    """

    project: str
    name: str
    units: str
    time_zone: str
    shafts: tuple[BoardRow, ...]


def read_board(folder: Path) -> Board:
    """Read the board of a project folder.

    Raises OlderStore when the read tables are of an older version, or another StoreProblem.
    """
    with reading(folder) as connection:
        try:
            project = connection.execute("SELECT id, name, units, time_zone FROM project").fetchone()
            rows = connection.execute(f"SELECT {_COLUMNS} FROM shafts ORDER BY id").fetchall()
        except sqlite3.OperationalError as problem:
            if "no such" in str(problem):
                raise OlderStore(folder=folder) from problem
            raise
    project_id, name, units, time_zone = project or ("", "", "", "")
    return Board(project_id, name, units, time_zone, tuple(map(_row, rows)))


def _row(row: tuple[Any, ...]) -> BoardRow:
    clocks = zip(CLOCKS, row[len(_NAMES) :], strict=True)
    named = dict(zip(_NAMES, row, strict=False))
    return BoardRow(**named, clocks=tuple((name, at) for name, at in clocks if at is not None))
