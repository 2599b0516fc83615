"""Tables out of a project for anyone, and its journal file back in.

The folder is written under a hidden name and gets its own when it is whole.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from fieldapp.desk.looking import NotOpen
from fieldapp.desk.office import all_shafts
from fieldapp.desk.projects.growing import growing_project
from fieldapp.desk.trust.receiving import receive
from fieldapp.desk.workplace import Workplace
from fieldapp.desk.worth.worth import base_worth
from fieldapp.exchange.tables.entry_tables import entry_tables
from fieldapp.exchange.tables.files import SCHEMA, csv_bytes, is_named_in, json_bytes, schema_bytes
from fieldapp.exchange.tables.found_tables import (
    CREDITS,
    FINDINGS,
    SHAFTS,
    credit_rows,
    finding_rows,
    shaft_row,
)
from fieldapp.exchange.tables.table import Filled, Row
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.store.arriving import Arrival
from fieldapp.store.atomic_file import PART, sync_folder
from fieldapp.store.problems import AlreadyThere, in_plain_words
from fieldapp.units import OutOfRange

JOURNAL_FILE: Final = "journal.jsonl"
ALL_TABLES: Final = "tables.json"
WORKBOOK: Final = "tables.xlsx"
LARGEST_JOURNAL: Final = 2 * 2**30
LARGEST_LINE: Final = 2**20


@dataclass(frozen=True, slots=True)
class TablesWritten:
    """A folder of tables: where, how many of them have rows, and rows altogether."""

    folder: Path
    filled: int
    rows: int


def write_tables(
    place: Workplace, folder: Path, at: datetime | None = None, *, workbook: bool = False
) -> TablesWritten:
    """Write every entry kind, shafts, findings and credits as tables into a new folder.

    Parameters
    ----------
    place
        The project; open for looking is enough.
    folder
        Must not exist yet.
    at
        The moment that findings and credits are held against; None: each shaft's latest entry.
    workbook
        Write all tables as one XLSX file too.

    Raises
    ------
    AlreadyThere, Impossible for an empty journal or without the library for workbooks; StoreProblem.
    """
    if folder.exists():
        raise AlreadyThere(folder=folder)
    if not place.entries():
        raise Impossible("journal", said("nothing"), said("at least one entry"))
    tables = (*_found(place, at), *_entries(place))
    part = folder.with_name(f".{folder.name}.{os.getpid()}{PART}")
    with in_plain_words(folder.parent):
        try:
            part.mkdir(parents=True)
            for name, content in _files(place, tables, workbook=workbook):
                _save(part / name, content)
            sync_folder(part)
            part.replace(folder)
            sync_folder(folder.parent)
        finally:
            with suppress(OSError):
                shutil.rmtree(part)
    filled = [each for each in tables if each.rows]
    return TablesWritten(folder, len(filled), sum(len(each.rows) for each in filled))


def take_journal_file(place: Workplace, path: Path) -> Arrival:
    """Take over the entries of a journal file, all or none.

    Where the schema that was written with it stands beside it, it has to be the file that this names.

    Raises Impossible for a file that is none, and as `fieldapp.desk.trust.receiving.receive`.
    """
    with in_plain_words(path.parent):
        if path.stat().st_size > LARGEST_JOURNAL:
            raise Impossible(path.name, said("a larger file"), said("at most {n} bytes", n=LARGEST_JOURNAL))
        with path.open("rb") as file:
            sealed = []
            while line := file.readline(LARGEST_LINE + 2):
                if not line.endswith(b"\n") or len(line) > LARGEST_LINE:
                    raise Impossible(path.name, said("a cut or endless line"), said("one entry a line"))
                sealed.append(line[:-1])
        schema = path.with_name(SCHEMA)
        said_beside = schema.read_bytes() if schema.is_file() else b""
    if is_named_in(said_beside, path.name, b"".join(each + b"\n" for each in sealed)) is False:
        raise Impossible(
            path.name,
            said("other bytes than were written"),
            said("the file whose hash {schema} beside it names", schema=SCHEMA),
        )
    return receive(place, sealed)


def begin_with_journal_file(folder: Path, path: Path) -> Arrival:
    """Take over a journal file into a project, or make a new one of it.  Raises as `take_journal_file`."""
    with growing_project(folder) as place:
        return take_journal_file(place, path)


def _files(place: Workplace, tables: tuple[Filled, ...], *, workbook: bool) -> Iterator[tuple[str, bytes]]:
    sealed = (each for _, head in sorted(place.heads().items()) for each in place.chain(head))
    journal = (JOURNAL_FILE, b"".join(each + b"\n" for each in sealed))
    yield journal
    for each in tables:
        yield f"{each.table.name}.csv", csv_bytes(each)
    yield ALL_TABLES, json_bytes(tables)
    says = said("Project {project}.", project=place.project_id)
    yield SCHEMA, schema_bytes(place.project_id, says, (each.table for each in tables), journal)
    if workbook:
        from fieldapp.exchange.tables.workbook import workbook_bytes  # noqa: PLC0415 - an optional library

        yield WORKBOOK, workbook_bytes(tables)


def _save(path: Path, content: bytes) -> None:
    with path.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _found(place: Workplace, at: datetime | None) -> tuple[Filled, ...]:
    """Shafts, findings and credits, at a moment."""
    shafts: list[Row] = []
    findings: list[Row] = []
    credits_: list[Row] = []
    for now in all_shafts(place, at):
        name = now.shaft.id
        shafts.append(shaft_row((name, now.at, now.shaft.digest), now.standing, now.release, now.credit))
        findings += finding_rows(name, now.at, now.findings)
        credits_ += _credits(place, name, now.at)
    return (
        Filled(SHAFTS, tuple(shafts)),
        Filled(FINDINGS, tuple(findings)),
        Filled(CREDITS, tuple(credits_)),
    )


def _credits(place: Workplace, shaft: str, at: datetime) -> Iterator[Row]:
    try:
        worth = base_worth(place, shaft, at)
    except (NotOpen, OutOfRange) as problem:
        return credit_rows(shaft, at, None, (str(problem),))
    return credit_rows(shaft, at, worth.credit, worth.missing)


def _entries(place: Workplace) -> tuple[Filled, ...]:
    project = place.record()
    lines = [*project.lines, *(line for shaft in project.shafts.values() for line in shaft.lines)]
    lines.sort(key=lambda each: each.original.order)
    changes = place.of_kinds((Amend.KIND, Strike.KIND))
    return entry_tables(lines, changes)
