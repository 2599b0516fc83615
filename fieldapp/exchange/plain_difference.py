"""Where a typed entry differs from the one that is recorded: each field by the name it is typed under."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any, Final

from fieldapp.record.entry import Draft
from fieldapp.record.reading import Reading

_NOTHING: Final = "nothing"
_ONE_OF: Final = {"people": "person"}
_WITHIN: Final = frozenset({"says", "values"})  # no name of a line
_MADE: Final = frozenset({"parents"})  # worked out, never typed


@dataclass(frozen=True, slots=True)
class Difference:
    """One field with its text in the journal and in the file, and the line of the entry that it is in."""

    field: str
    place: str
    in_journal: str
    in_file: str


def differences(in_journal: Draft, in_file: Draft) -> tuple[Difference, ...]:
    """Every field in which two drafts of one entry differ."""
    return tuple(_between("", "", in_journal, in_file))


def _between(name: str, place: str, was: Any, now: Any) -> Iterator[Difference]:
    if was == now:
        return
    if type(was) is type(now) and is_dataclass(was) and not isinstance(was, Reading):
        for each in fields(was):
            if each.name in _MADE:
                continue
            own, field = name, each.name.replace("_", " ")
            if each.name not in _WITHIN:
                own = f"{field} of {name}" if name else field
            yield from _between(own, place or own, getattr(was, each.name), getattr(now, each.name))
        return
    rows = _by_label(was), _by_label(now)
    if all(rows) or (any(rows) and () in (was, now)):
        one = _ONE_OF.get(name, name.removesuffix("s"))
        for label in dict.fromkeys((*rows[0], *rows[1])):
            of_row = f"{one} {label}"
            yield from _between(of_row, of_row, rows[0].get(label), rows[1].get(label))
        return
    yield Difference(name, place, _text(was), _text(now))


def _by_label(value: Any) -> dict[str, Any]:
    """Lines of a list by what tells them apart, their first field; empty for anything else."""
    if not isinstance(value, tuple) or not all(is_dataclass(each) for each in value):
        return {}
    return {_text(getattr(each, fields(each)[0].name)): each for each in value}


def _text(value: Any) -> str:
    if value is None or value in ("", ()):
        return _NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return f"{value:%Y-%m-%d %H:%M}"
    if isinstance(value, tuple):
        return ", ".join(_text(each) for each in value)
    if is_dataclass(value) and not isinstance(value, Reading):
        said = ((each.name, getattr(value, each.name)) for each in fields(value))
        return ", ".join(f"{name.replace('_', ' ')} {_text(each)}" for name, each in said if each)
    return str(value.value) if isinstance(value, StrEnum) else str(value)
