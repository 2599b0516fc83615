"""Writing the read tables from a projector's rows, rebuilding them, and comparing them with a rebuild."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from operator import itemgetter
from typing import Final, Protocol, TypeAlias

from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.store.driver import sqlite3
from fieldapp.store.read_tables import (
    ABOUT,
    ABOUT_FILE,
    CORRECTIONS,
    CORRECTIONS_SAYS,
    FORMAT,
    LAST_SOUNDINGS,
    LAST_SOUNDINGS_SAYS,
    READ_TABLES,
    ReadTable,
)
from fieldapp.store.schema import EXPECTED

Cell: TypeAlias = str | int | float | None
Cells: TypeAlias = tuple[Cell, ...]
Rows: TypeAlias = Mapping[str, Sequence[Mapping[str, Cell]]]
_VERSION_NAME: Final = "version of the read tables"


class Projector(Protocol):
    """Gives the rows of the read tables, by table name; see `fieldapp.store.read_tables` for their columns.

    They must follow from the record alone (no clock: ``as_of`` is the moment of a shaft's latest entry), so
    that a rebuild gives the same rows.  A table may be left out when it has no rows.
    """

    @property
    def version(self) -> str:
        """Changes whenever the same entries would give other rows; the tables are then rebuilt."""

    def project_rows(self, project: ProjectRecord) -> Rows:
        """Rows of the project as a whole, in tables of shafts those that belong to none."""

    def shaft_rows(self, project: ProjectRecord, shaft: ShaftRecord) -> Rows:
        """Rows of one shaft."""


class WrongRows(TypeError):
    """The projector gave rows that do not fit their table: a fault of the program, not of the data."""


def is_current(connection: sqlite3.Connection, projector: Projector) -> bool:
    """Whether the read tables are of this projector's version and have the expected columns."""
    found = dict(connection.execute("SELECT name, sql FROM sqlite_master"))
    expected = {table.name: table.sql for table in READ_TABLES}
    expected |= {"about": ABOUT, "last_soundings": LAST_SOUNDINGS, "clock_corrections": CORRECTIONS}
    if any(found.get(name) != sql for name, sql in expected.items()):
        return False
    row = connection.execute("SELECT value FROM about WHERE name = ?", (_VERSION_NAME,)).fetchone()
    return row is not None and row[0] == _version(projector)


def rebuild(connection: sqlite3.Connection, projector: Projector, project: ProjectRecord) -> None:
    """Drop all read tables and write them anew.  Call inside a transaction.

    ``project`` is the record of the journal with nothing taken from the old tables.
    """
    for name, kind in _derived_names(connection):
        connection.execute(f"DROP {kind} [{name}]")
    for table in READ_TABLES:
        connection.execute(table.sql)
        if table.shaft_column == "shaft":
            connection.execute(f"CREATE INDEX {table.name}_by_shaft ON {table.name} (shaft)")
    for each in (LAST_SOUNDINGS, ABOUT, CORRECTIONS):
        connection.execute(each)
    connection.executemany("INSERT INTO about (name, value) VALUES (?, ?)", _about(projector))
    refresh_project(connection, projector, project)
    refresh_shafts(connection, projector, project, None)


def corrections_in(connection: sqlite3.Connection) -> set[str]:
    """The entries that say that a clock was corrected, and their changes, by identifier."""
    return {name for (name,) in connection.execute("SELECT entry FROM clock_corrections")}


def refresh_project(connection: sqlite3.Connection, projector: Projector, project: ProjectRecord) -> None:
    """Make the rows that belong to no shaft what the record says.  Call inside a transaction."""
    connection.execute("DELETE FROM clock_corrections")
    rows = ((each.id,) for each in project.reach.corrections)
    connection.executemany("INSERT INTO clock_corrections (entry) VALUES (?)", rows)
    for table, mine in _of_project(projector, project):
        _change(connection, table, None, mine)


def refresh_shafts(
    connection: sqlite3.Connection,
    projector: Projector,
    project: ProjectRecord,
    shafts: frozenset[str] | None,
) -> None:
    """Make the rows of these shafts what the record says, with None all.  Call inside a transaction."""
    for name in sorted(project.shafts if shafts is None else shafts):
        for table, mine in _of_shaft(projector, project, name):
            _change(connection, table, name, mine)


def _of_project(projector: Projector, project: ProjectRecord) -> Iterator[tuple[ReadTable, list[Cells]]]:
    """The rows that belong to no shaft."""
    rows = projector.project_rows(project)
    for table in _known(rows):
        yield table, _checked(table, rows, None)


def _of_shaft(
    projector: Projector, project: ProjectRecord, name: str
) -> Iterator[tuple[ReadTable, list[Cells]]]:
    rows = projector.shaft_rows(project, project.shafts[name])
    for table in _known(rows):
        if table.shaft_column is not None:
            yield table, _checked(table, rows, name)


def _change(connection: sqlite3.Connection, table: ReadTable, shaft: str | None, wanted: list[Cells]) -> None:
    """Make the rows of a shaft those wanted, in this order; what stands there already is not written again.

    An entry changes few rows of its shaft, and every page that is written is waited for at the commit.
    """
    names = table.column_names
    columns, places = ", ".join(names), ", ".join("?" * len(names))
    found = connection.execute(
        f"SELECT rowid, {columns} FROM {table.name} WHERE {_of(table)} ORDER BY rowid", (shaft,)
    ).fetchall()
    other = [(*row, old[0]) for old, row in zip(found, wanted, strict=False) if old[1:] != row]
    connection.executemany(f"UPDATE {table.name} SET ({columns}) = ({places}) WHERE rowid = ?", other)
    connection.executemany(
        f"DELETE FROM {table.name} WHERE rowid = ?", [(old[0],) for old in found[len(wanted) :]]
    )
    connection.executemany(f"INSERT INTO {table.name} ({columns}) VALUES ({places})", wanted[len(found) :])


def _of(table: ReadTable) -> str:
    """Which rows belong to a shaft; those of a table without one all belong to the project."""
    return "? IS NULL" if table.shaft_column is None else f"{table.shaft_column} IS ?"


def differences(
    connection: sqlite3.Connection, projector: Projector, project: ProjectRecord
) -> dict[str, str]:
    """For every read table that differs from a rebuild, how; empty when all are equal.

    ``project`` is the record of the journal with nothing taken from the read tables.
    """
    extra: Counter[str] = Counter()
    lacking: Counter[str] = Counter()

    def compare(table: ReadTable, shaft: str | None, mine: list[Cells]) -> None:
        columns = ", ".join(table.column_names)
        sql = f"SELECT {columns} FROM {table.name} WHERE {_of(table)}"
        found, wanted = Counter(connection.execute(sql, (shaft,))), Counter(mine)
        extra[table.name] += (found - wanted).total()
        lacking[table.name] += (wanted - found).total()

    for table, mine in _of_project(projector, project):
        compare(table, None, mine)
    for name in project.shafts:
        for table, mine in _of_shaft(projector, project, name):
            compare(table, name, mine)
    extra.update(_of_no_shaft(connection, project))
    wrong = {
        table.name: f"{extra[table.name]} rows that should not be there, {lacking[table.name]} rows missing"
        for table in READ_TABLES
        if extra[table.name] or lacking[table.name]
    }
    if Counter(connection.execute("SELECT name, value FROM about")) != Counter(_about(projector)):
        wrong["about"] = "it does not explain the tables as it should"
    if corrections_in(connection) != {each.id for each in project.reach.corrections}:
        wrong["clock_corrections"] = "other entries than those that correct a clock"
    return wrong


def _of_no_shaft(connection: sqlite3.Connection, project: ProjectRecord) -> Iterator[str]:
    """The table of every row whose shaft the record does not have."""
    names = set(project.shafts)
    for table in READ_TABLES:
        if table.shaft_column is not None:
            column = table.shaft_column
            found = connection.execute(f"SELECT {column} FROM {table.name} WHERE {column} NOT NULL")
            yield from (table.name for (shaft,) in found if shaft not in names)


def _about(projector: Projector) -> list[tuple[str, str]]:
    """The rows that explain the file, and name the version of its read tables."""
    said = [*ABOUT_FILE, *((table.name, table.says) for table in READ_TABLES)]
    said += [("last_soundings", LAST_SOUNDINGS_SAYS), ("clock_corrections", CORRECTIONS_SAYS)]
    return [*said, (_VERSION_NAME, _version(projector))]


def _version(projector: Projector) -> str:
    return f"{FORMAT}/{projector.version}"


def _derived_names(connection: sqlite3.Connection) -> list[tuple[str, str]]:
    """Read tables and views in the file, also those of an older version; never evidence."""
    ours = {table.name for table in READ_TABLES} | {"last_soundings", "about", "clock_corrections"}
    kinds = dict(connection.execute("SELECT name, type FROM sqlite_master WHERE type IN ('table', 'view')"))
    if "about" in kinds:
        ours |= {name for (name,) in connection.execute("SELECT name FROM about")}
    found = [(name, kind) for name, kind in kinds.items() if name in ours and name not in EXPECTED]
    return sorted(found, key=lambda each: each[1], reverse=True)


def _known(rows: Rows) -> tuple[ReadTable, ...]:
    """All read tables, once it is sure that the rows are of no others."""
    unknown = set(rows) - {table.name for table in READ_TABLES}
    if unknown:
        raise WrongRows(f"there is no read table named {', '.join(sorted(unknown))}")
    return READ_TABLES


def _checked(table: ReadTable, rows: Rows, shaft: str | None) -> list[Cells]:
    """The rows of a table as tuples in the order of its columns; those of one shaft, or of none."""
    mine = rows.get(table.name, ())
    expected = set(table.column_names)
    for row in mine:
        if row.keys() != expected:
            odd = ", ".join(sorted(row.keys() ^ expected))
            raise WrongRows(f"a row of {table.name} has missing or unknown columns: {odd}")
        if table.shaft_column is not None and row[table.shaft_column] != shaft:
            raise WrongRows(f"a row of {table.name} is of a shaft that was not asked for")
    in_order = itemgetter(*table.column_names)
    return [in_order(row) for row in mine]
