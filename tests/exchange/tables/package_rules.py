"""The rules of a tabular Data Package that a program can check, from the published standard itself.

Data Package, Data Resource and Table Schema, version 1 (specs.frictionlessdata.io): names, paths, types and
formats of fields, keys, and what each type looks like in a cell.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any, Final

NAME: Final = re.compile(r"[-a-z0-9._/]+")
NUMBER: Final = re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)([eE][-+]?\d+)?|NaN|-?INF")
FITS: Final[dict[str, Callable[[str], object]]] = {
    "string": lambda cell: True,
    "number": NUMBER.fullmatch,
    "integer": lambda cell: re.fullmatch(r"[-+]?\d+", cell),
    "boolean": lambda cell: cell in {"true", "True", "TRUE", "1", "false", "False", "FALSE", "0"},
    "datetime": lambda cell: datetime.fromisoformat(cell).utcoffset() is not None,
}


def faults(folder: Path) -> list[str]:
    """What keeps a folder from being a valid tabular Data Package; empty when nothing does."""
    package = json.loads((folder / "datapackage.json").read_text("utf-8"))
    found = [] if NAME.fullmatch(package["name"]) else ["name of the package"]
    if package["profile"] != "tabular-data-package" or not package["resources"]:
        found.append("profile")
    names = [each["name"] for each in package["resources"]]
    if len(set(names)) != len(names):
        found.append("a resource twice")
    for each in package["resources"]:
        found += [f"{each['name']}: {fault}" for fault in _resource(folder, each)]
    return found


def _resource(folder: Path, resource: dict[str, Any]) -> Iterator[str]:
    if not NAME.fullmatch(resource["name"]) or resource["profile"] != "tabular-data-resource":
        yield "name or profile"
    path = Path(resource["path"])
    if path.is_absolute() or ".." in path.parts or not (folder / path).is_file():
        yield "path"
        return
    fields = resource["schema"]["fields"]
    names = [each["name"] for each in fields]
    if len(set(names)) != len(names):
        yield "a field twice"
    for each in fields:
        if each["type"] not in FITS or each.get("format", "default") not in {"default", "any"}:
            yield f"type or format of {each['name']}"
        if not each["description"].strip():
            yield f"{each['name']} is not explained"
    with (folder / path).open(encoding=resource["encoding"], newline="") as file:
        reader = csv.DictReader(file, strict=True)
        rows, header = list(reader), reader.fieldnames
    if header != names:
        yield "header and schema differ"
    yield from _cells(fields, rows)
    yield from _key(resource["schema"].get("primaryKey", []), names, rows)


def _cells(fields: list[dict[str, Any]], rows: list[dict[str, str]]) -> Iterator[str]:
    for each in fields:
        fits = FITS[each["type"]]
        for row in rows:
            cell = row[each["name"]]
            if cell and not fits(cell):
                yield f"{each['name']}: {cell!r} is no {each['type']}"


def _key(key: list[str], names: list[str], rows: list[dict[str, str]]) -> Iterator[str]:
    if not set(key) <= set(names):
        yield "the key names no field"
    kept = [tuple(row[name] for name in key) for row in rows]
    if key and (len(set(kept)) != len(kept) or any(not cell for each in kept for cell in each)):
        yield "the key is empty or not unique"
