"""One table for every kind of entry: a row an entry, as it says now, with what became of it.

The entry as it was made, byte for byte, is in the journal file beside the tables.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, Final

from fieldapp.exchange.tables.flattening import Plan, plan_of
from fieldapp.exchange.tables.table import Cell, Column, Filled, Row, Table, snake
from fieldapp.record.entry import Entry
from fieldapp.record.fold import Line
from fieldapp.record.kinds import KINDS, Values

_COMMON: Final = (
    Column("entry", "string", "identifier of the entry (UUID version 7)"),
    Column("shaft", "string", "the shaft it is about; empty for the project as a whole"),
    Column("device", "string", "the device whose chain it stands in"),
    Column("seq", "integer", "its number in that chain"),
    Column("stamp", "integer", "its place in the order of folding (Lamport counter)"),
    Column("observed_at", "datetime", "when it was observed, as it says now"),
    Column("recorded_at", "datetime", "when it was recorded"),
    Column("author", "string", "who recorded it"),
    Column("confirmed", "string", "what was unlikely and confirmed, parted by semicolons"),
    Column("amended", "boolean", "it was amended: what stands here is what it says now"),
    Column("struck", "boolean", "it was struck and counts for nothing"),
    Column("contested", "boolean", "changes of it disagree; it counts for nothing until that is settled"),
    Column("hash", "string", "SHA-256 of the entry as it was made"),
)
_COMMON_NAMES: Final = frozenset(each.name for each in _COMMON)
_PARENT: Final = (
    Column("entry", "string", "identifier of the entry that the row belongs to"),
    Column("shaft", "string", "the shaft it is about"),
    Column("number", "integer", "place of the row within the entry, from 1"),
)


def tables_of_kind(kind: str) -> tuple[Table, ...]:
    """The table of a kind, and those of what its entries hold several of."""
    made: type = KINDS[kind]
    plan, name = plan_of(made), snake(kind)
    main = Table(name, f"Entries of kind '{kind}'", (*_COMMON, *_own_columns(kind, plan)), ("entry",))
    return (main, *_tables_under(name, kind, plan))


def entry_tables(lines: Iterable[Line[Values]], changes: Iterable[Entry]) -> tuple[Filled, ...]:
    """Every table of every kind with its rows, in the order given; kinds without an entry have no rows.

    ``lines`` are entries with what became of them, ``changes`` the amendments and strikes themselves.
    """
    rows: dict[str, list[Row]] = {}
    for line in lines:
        _add(rows, line.values, _told(line))
    for each in changes:
        _add(rows, each.values, _told(Line(each, each.values, each.draft.observed_at)))
    return tuple(
        Filled(table, tuple(rows.get(table.name, ()))) for kind in KINDS for table in tables_of_kind(kind)
    )


def _add(rows: dict[str, list[Row]], values: Values, common: dict[str, Cell]) -> None:
    made: type = type(values)
    plan, name = plan_of(made), snake(values.KIND)
    own = {_own_name(name, column): cell for column, cell in _cells(plan, values).items()}
    rows.setdefault(name, []).append({**common, **own})
    _add_under(rows, name, plan, values, common)


def _add_under(
    rows: dict[str, list[Row]], name: str, plan: Plan, values: Any, common: dict[str, Cell]
) -> None:
    for several in plan.several:
        below, table = plan_of(several.made), f"{name}_{several.name}"
        for number, each in enumerate(several.those(values), 1):
            parent = {"entry": common["entry"], "shaft": common["shaft"], "number": number}
            rows.setdefault(table, []).append({**parent, **_cells(below, each)})


def _tables_under(name: str, kind: str, plan: Plan) -> tuple[Table, ...]:
    return tuple(
        Table(
            f"{name}_{several.name}",
            f"{several.name.replace('_', ' ').capitalize()} of entries of kind '{kind}', a row each",
            (*_PARENT, *_columns(plan_of(several.made))),
            ("entry", "number"),
        )
        for several in plan.several
    )


def _own_columns(kind: str, plan: Plan) -> tuple[Column, ...]:
    return tuple(replace(each, name=_own_name(snake(kind), each.name)) for each in _columns(plan))


def _own_name(table: str, column: str) -> str:
    """A field that has the name of a common column is told from it by the name of its table."""
    return f"{table}_{column}" if column in _COMMON_NAMES else column


def _columns(plan: Plan) -> tuple[Column, ...]:
    return tuple(each.column for each in plan.parts)


def _cells(plan: Plan, values: Any) -> dict[str, Cell]:
    return {each.column.name: each.cell(values) for each in plan.parts}


def _told(line: Line[Values]) -> dict[str, Cell]:
    made = line.original
    return {
        "entry": made.id,
        "shaft": made.shaft,
        "device": made.device,
        "seq": made.seq,
        "stamp": made.stamp,
        "observed_at": line.observed_at.isoformat(),
        "recorded_at": made.draft.recorded_at.isoformat(),
        "author": made.draft.author,
        "confirmed": "; ".join(made.draft.confirmed) or None,
        "amended": bool(line.changes) and not line.struck,
        "struck": line.struck,
        "contested": line.contested,
        "hash": made.hash,
    }
