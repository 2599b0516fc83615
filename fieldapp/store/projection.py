"""Writing the read tables from a projector's rows, rebuilding them, and comparing them with a rebuild."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from operator import itemgetter
from typing import Final, Protocol, TypeAlias

from sqlite_utils import Database

from fieldapp.record.corrections import correcting
from fieldapp.record.entry import Entry
from fieldapp.store.driver import sqlite3
from fieldapp.store.entries import all_entries, entries_of_shafts
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
Rows: TypeAlias = Mapping[str, Sequence[Mapping[str, Cell]]]
_VERSION_NAME: Final = "version of the read tables"


class Projector(Protocol):
    """Gives the rows of the read tables; see `fieldapp.store.read_tables` for their columns."""

    @property
    def version(self) -> str:
        """Changes whenever the same entries would give other rows; the tables are then rebuilt."""

    def rows(self, entries: Iterable[Entry], shafts: frozenset[str] | None) -> Rows:
        """Rows by table name, for all tables or only those of ``shafts``.

        ``entries`` holds those of the project and of the shafts asked for.  The rows of a shaft must follow
        from these entries alone (no clock: ``as_of`` is the moment of the latest entry), so that a rebuild
        gives the same rows.  A table may be left out when it has no rows.
        """


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


def rebuild(database: Database, projector: Projector) -> None:
    """Drop all read tables and write them anew.  Call inside a transaction."""
    for name, kind in _derived_names(database.conn):
        database.execute(f"DROP {kind} [{name}]")
    for table in READ_TABLES:
        database.execute(table.sql)
        if table.shaft_column == "shaft":
            database.execute(f"CREATE INDEX {table.name}_by_shaft ON {table.name} (shaft)")
    database.execute(LAST_SOUNDINGS)
    database.execute(ABOUT)
    database.conn.executemany("INSERT INTO about (name, value) VALUES (?, ?)", _about(projector))
    database.execute(CORRECTIONS)
    entries = all_entries(database.conn)
    _write_corrections(database.conn, entries)
    _write(database, projector.rows(entries, None))


def corrections_in(connection: sqlite3.Connection) -> set[str]:
    """The entries that say that a clock was corrected, and their changes, by identifier."""
    return {name for (name,) in connection.execute("SELECT entry FROM clock_corrections")}


def _write_corrections(connection: sqlite3.Connection, entries: Sequence[Entry]) -> None:
    connection.execute("DELETE FROM clock_corrections")
    rows = ((each,) for each in sorted(correcting(entries)))
    connection.executemany("INSERT INTO clock_corrections (entry) VALUES (?)", rows)


def refresh(
    database: Database,
    projector: Projector,
    shafts: frozenset[str] | None,
    everything: Sequence[Entry] | None = None,
) -> None:
    """Write the rows of these shafts anew, or with None those of all.  Call inside a transaction.

    ``everything`` is the whole journal in the order of folding, where it was read just now.
    """
    conn = database.conn
    if shafts is None:
        entries = all_entries(conn) if everything is None else tuple(everything)
        _write_corrections(conn, entries)
    else:
        entries = entries_of_shafts(conn, shafts, corrections_in(conn))
    rows = projector.rows(entries, shafts)
    if shafts is None:
        for table in READ_TABLES:
            database.execute(f"DELETE FROM {table.name}")
        _write(database, rows)
        return
    _known(rows)
    for table in READ_TABLES:
        if table.shaft_column is None:
            continue
        wanted: dict[Cell, list[tuple[Cell, ...]]] = {each: [] for each in sorted(shafts)}
        place = table.column_names.index(table.shaft_column)
        for row in _checked(table, rows, shafts):
            wanted[row[place]].append(row)
        for shaft, mine in wanted.items():
            _change(conn, table, shaft, mine)


def _change(
    connection: sqlite3.Connection, table: ReadTable, shaft: Cell, wanted: list[tuple[Cell, ...]]
) -> None:
    """Make the rows of a shaft those wanted, in this order; what stands there already is not written again.

    An entry changes few rows of its shaft, and every page that is written is waited for at the commit.
    """
    names = table.column_names
    columns, places = ", ".join(names), ", ".join("?" * len(names))
    sql = f"SELECT rowid, {columns} FROM {table.name} WHERE {table.shaft_column} = ? ORDER BY rowid"
    found = connection.execute(sql, (shaft,)).fetchall()
    other = [(*row, old[0]) for old, row in zip(found, wanted, strict=False) if old[1:] != row]
    connection.executemany(f"UPDATE {table.name} SET ({columns}) = ({places}) WHERE rowid = ?", other)
    connection.executemany(
        f"DELETE FROM {table.name} WHERE rowid = ?", [(old[0],) for old in found[len(wanted) :]]
    )
    connection.executemany(f"INSERT INTO {table.name} ({columns}) VALUES ({places})", wanted[len(found) :])


def differences(connection: sqlite3.Connection, projector: Projector) -> dict[str, str]:
    """For every read table that differs from a rebuild, how; empty when all are equal."""
    entries = all_entries(connection)
    rows = projector.rows(entries, None)
    wrong = {}
    for table in READ_TABLES:
        columns = ", ".join(table.column_names)
        found = Counter(connection.execute(f"SELECT {columns} FROM {table.name}"))
        wanted = Counter(_checked(table, rows, None))
        if found != wanted:
            extra, lacking = (found - wanted).total(), (wanted - found).total()
            wrong[table.name] = f"{extra} rows that should not be there, {lacking} rows missing"
    if Counter(connection.execute("SELECT name, value FROM about")) != Counter(_about(projector)):
        wrong["about"] = "it does not explain the tables as it should"
    if corrections_in(connection) != correcting(entries):
        wrong["clock_corrections"] = "other entries than those that correct a clock"
    return wrong


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


def _known(rows: Rows) -> None:
    unknown = set(rows) - {table.name for table in READ_TABLES}
    if unknown:
        raise WrongRows(f"there is no read table named {', '.join(sorted(unknown))}")


def _write(database: Database, rows: Rows) -> None:
    _known(rows)
    for table in READ_TABLES:
        names = table.column_names
        # The driver's own insert: sqlite-utils looks at every cell, which doubled the time of an append.
        database.conn.executemany(
            f"INSERT INTO {table.name} ({', '.join(names)}) VALUES ({', '.join('?' * len(names))})",
            _checked(table, rows, None),
        )


def _checked(table: ReadTable, rows: Rows, shafts: frozenset[str] | None) -> list[tuple[Cell, ...]]:
    """The rows of a table as tuples in the order of its columns."""
    mine = rows.get(table.name, ())
    expected = set(table.column_names)
    for row in mine:
        if row.keys() != expected:
            odd = ", ".join(sorted(row.keys() ^ expected))
            raise WrongRows(f"a row of {table.name} has missing or unknown columns: {odd}")
    column = table.shaft_column
    if shafts is not None and column is not None and not {row[column] for row in mine} <= shafts:
        raise WrongRows(f"a row of {table.name} is of a shaft that was not asked for")
    in_order = itemgetter(*table.column_names)
    return [in_order(row) for row in mine]
