"""Writes entries as the text of a plain log, independent of the reader, for round trips."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from datetime import datetime

from fieldapp.record.reading import Reading

HEAD = """\
project   larkwater
device    tablet north
author    Inspector A
zone      America/Denver
day       2026-05-12
shaft     P1-1

"""
_NO_UNIT = {"ft-in", "pH", "count", "ratio", "deg"}
_ONE = {
    "people": "person",
    "points": "point",
    "diameters": "diameter",
    "piezometric_levels": "piezometric level",
}


def value_text(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Reading):
        return value.read if value.unit in _NO_UNIT else f"{value.read} {value.unit}"
    if isinstance(value, datetime):
        return value.isoformat().replace("T", " ")
    if isinstance(value, tuple):
        return ", ".join(value_text(each) for each in value)
    return str(value)


def _pieces(item: object) -> str:
    pieces = []
    for number, each in enumerate(fields(item)):
        content = getattr(item, each.name)
        if content not in (None, "", ()):
            name = "" if number == 0 and isinstance(content, str) else f"{each.name.replace('_', ' ')} "
            pieces.append(f"{name}{value_text(content)}")
    return "   ".join(pieces)


def field_lines(values: object, without: frozenset[str] = frozenset()) -> str:
    lines = []
    for each in fields(values):
        content = getattr(values, each.name)
        if each.name in without or content in (None, "", ()):
            continue
        name = each.name.replace("_", " ")
        if isinstance(content, tuple) and is_dataclass(content[0]):
            lines += [f"  {_ONE[each.name]}  {_pieces(item)}" for item in content]
        elif is_dataclass(content) and not isinstance(content, Reading):
            lines.append(f"  {name}  {_pieces(content)}")
        else:
            lines.append(f"  {name}  {value_text(content)}")
    return "\n".join(lines) + "\n"
