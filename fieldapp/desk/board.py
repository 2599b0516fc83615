"""The shaft board: what each shaft needs, from the read tables, without any heavy library.

This is all that the first screen loads.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from fieldapp.store.light import read_board


@dataclass(frozen=True, slots=True)
class BoardRow:
    """One shaft on the board, as of its latest entry.

    ``clocks`` are moments with what they are for (`fieldapp.store.read_tables.CLOCKS`).
    """

    shaft: str
    standing: str
    next_step: str
    release: str
    release_until: str
    concrete_in: bool
    as_of: str
    stage: str = ""
    concrete_at: str = ""
    clocks: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Board:
    """The board of a project."""

    project: str
    time_zone: str
    rows: tuple[BoardRow, ...]


def board(folder: Path) -> Board:
    """The board of the project in a folder.  Raises StoreProblem."""
    found = read_board(folder)
    rows = (
        BoardRow(
            each.id,
            each.standing,
            each.next_step,
            each.release,
            each.release_until or "",
            each.concrete_started_at is not None,
            each.as_of,
            each.stage,
            each.concrete_started_at or "",
            each.clocks,
        )
        for each in found.shafts
    )
    return Board(found.name or found.project, found.time_zone, tuple(rows))
