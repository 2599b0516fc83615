"""A table as data: columns that say their type and unit, and rows of plain cells."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

Cell: TypeAlias = str | int | float | bool | None
Row: TypeAlias = Mapping[str, Cell]
Type: TypeAlias = Literal["string", "number", "integer", "boolean", "datetime"]

# SI unit by dimension, as it ends the name of a column; MPa and MN as everywhere in this house.
UNIT_ENDINGS: Final = {
    "length": "m",
    "density": "kg_m3",
    "pressure": "mpa",
    "force": "mn",
    "time": "s",
    "temperature": "degc",
    "ratio": "ratio",
    "angle": "deg",
    "acidity": "ph",
    "volume": "m3",
    "hardness": "mg_l",
    "rise": "m_s",
    "count": "count",
}


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its name ends in its unit where it has one; ``says`` is for people."""

    name: str
    type: Type
    says: str


@dataclass(frozen=True, slots=True)
class Table:
    """A table without its rows; ``name`` is also that of its file.

    ``key`` names the columns that tell one row from all others and are never empty, where there are such.
    """

    name: str
    says: str
    columns: tuple[Column, ...]
    key: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Filled:
    """A table with its rows; a cell that a row does not have is empty."""

    table: Table
    rows: tuple[Row, ...]


def snake(words: str) -> str:
    """A name for a table or column: ``cleanout pass`` becomes ``cleanout_pass``."""
    return words.replace("-", "_").replace(" ", "_")
