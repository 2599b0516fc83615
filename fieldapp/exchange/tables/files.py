"""Tables as files: CSV and JSON, and a schema (Data Package, an open standard) that explains every column.

CSV is UTF-8 with a header line and lines that end as RFC 4180 has it.  A text that a spreadsheet would take
for a formula gets an apostrophe before it, as does one that begins with an apostrophe, so that the first
apostrophe of a cell is never part of what was recorded; numbers and readings stay as they are.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
from collections.abc import Iterable
from typing import Any, Final

from fieldapp.exchange.tables.table import Cell, Filled, Table
from fieldapp.record.strict_json import NotStrict, read_strict

SCHEMA: Final = "datapackage.json"
_FORMULA: Final = re.compile(r"[=+\-@\t\r\n'＝＋－＠]")
_NOT_IN_A_NAME: Final = re.compile(r"[^a-z0-9._-]+")
# What a person reads on site may begin with a sign: -0.5, -1' 3 1/2", +12
_READING: Final = re.compile(r"[-+]?[0-9][0-9.,'\"/ -]*")
_GUARD: Final = (
    "Texts that begin with =, +, -, @, an apostrophe, a tab or the end of a line, and are no number, stand "
    "behind an apostrophe in CSV, so that no spreadsheet runs them."
)


def csv_bytes(filled: Filled) -> bytes:
    """A table as CSV."""
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    names = [each.name for each in filled.table.columns]
    writer.writerow(names)
    writer.writerows([_csv_cell(row.get(name)) for name in names] for row in filled.rows)
    return out.getvalue().encode("utf-8")


def json_bytes(tables: Iterable[Filled]) -> bytes:
    """Tables as one JSON object: a list of rows by the name of each table; empty cells are null."""
    body = {
        each.table.name: [
            {column.name: row.get(column.name) for column in each.table.columns} for row in each.rows
        ]
        for each in tables
    }
    return json.dumps(body, ensure_ascii=False, indent=1).encode("utf-8")


def schema_bytes(name: str, says: str, tables: Iterable[Table], journal: tuple[str, bytes]) -> bytes:
    """The Data Package that explains the CSV files of these tables; ``name`` is made one of the standard.

    ``journal`` is the journal file beside them, by name and content: its hash stands in it, since nothing in
    that file vouches for the last entry of a chain.
    """
    path, content = journal
    body = {
        "profile": "tabular-data-package",
        "name": _NOT_IN_A_NAME.sub("-", name.lower()).strip("-"),
        "description": f"{says} {_GUARD}",
        "journal": {"path": path, "bytes": len(content), "hash": _hash(content)},
        "resources": [_resource(each) for each in tables],
    }
    return json.dumps(body, ensure_ascii=False, indent=1).encode("utf-8")


def is_named_in(schema: bytes, path: str, content: bytes) -> bool | None:
    """Whether a schema names this content for the journal file of this name; None where it names no such."""
    try:
        journal = read_strict(schema)["journal"]
        return bool(journal["hash"] == _hash(content)) if journal["path"] == path else None
    except (NotStrict, KeyError, TypeError):
        return None


def _hash(content: bytes) -> str:
    return f"sha256:{hashlib.sha256(content).hexdigest()}"


def _resource(table: Table) -> dict[str, Any]:
    fields = [
        {"name": each.name, "type": each.type, "description": each.says}
        | ({"format": "any"} if each.type == "datetime" else {})
        for each in table.columns
    ]
    schema: dict[str, Any] = {"fields": fields, "missingValues": [""]}
    if table.key:
        schema["primaryKey"] = list(table.key)
    return {
        "profile": "tabular-data-resource",
        "name": table.name,
        "path": f"{table.name}.csv",
        "description": table.says,
        "encoding": "utf-8",
        "schema": schema,
    }


def _csv_cell(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    if isinstance(cell, float):
        return repr(cell)
    if isinstance(cell, int):
        return str(cell)
    return f"'{cell}" if _FORMULA.match(cell) and not _READING.fullmatch(cell) else cell
