"""Values of an entry laid flat, driven by the types of their fields.

A reading becomes three cells: as it was read, its unit, and its SI value.  Several plain words share a cell.
Several of one thing (points of a round, people of a set-up) become rows of a table of their own.
"""

from __future__ import annotations

import json
import types
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any, Final, Union, get_args, get_origin

from fieldapp.exchange.tables.table import UNIT_ENDINGS, Cell, Column
from fieldapp.record.cleaning import SoundingPoint
from fieldapp.record.codec import envelope_of, field_types
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Possible, Reading

Getter = Callable[[Any], Any]
_JOINED: Final = "; "


@dataclass(frozen=True, slots=True)
class Part:
    """A column with the way from values to its cell."""

    column: Column
    cell: Callable[[Any], Cell]


@dataclass(frozen=True, slots=True)
class Several:
    """A field that holds several of one thing: its name, their class, and the way to them."""

    name: str
    made: type
    those: Callable[[Any], tuple[Any, ...]]


@dataclass(frozen=True, slots=True)
class Plan:
    """How values of one class are laid flat."""

    parts: tuple[Part, ...]
    several: tuple[Several, ...]


@lru_cache(maxsize=128)
def plan_of(made: type) -> Plan:
    """The columns of a class of values, and the fields that need a table of their own."""
    found = list(_fields_of(made, "", lambda values: values))
    return Plan(
        (*(each for each in found if isinstance(each, Part)), *_WORKED_OUT.get(made, ())),
        tuple(each for each in found if isinstance(each, Several)),
    )


def _fields_of(made: type, prefix: str, inside: Getter) -> Iterator[Part | Several]:
    hints = field_types(made)
    for each in fields(made):
        possible = each.metadata.get("possible")
        yield from _field(f"{prefix}{each.name}", hints[each.name], possible, _then(inside, each.name))


def _then(inside: Getter, name: str) -> Getter:
    def further(values: Any) -> Any:
        found = inside(values)
        return None if found is None else getattr(found, name)

    return further


def _field(name: str, hint: Any, possible: Possible | None, get: Getter) -> Iterator[Part | Several]:
    if hint == Values:
        yield from _envelope(name, get)
        return
    if get_origin(hint) in (Union, types.UnionType):
        (hint,) = (each for each in get_args(hint) if each is not type(None))
    if hint is Reading:
        yield from _reading(name, possible, get)
    elif get_origin(hint) is tuple:
        yield _listed(name, get_args(hint)[0], get)
    elif is_dataclass(hint):
        assert isinstance(hint, type)
        yield from _fields_of(hint, f"{name}_", get)
    else:
        yield _plain(name, hint, get)


def _envelope(name: str, get: Getter) -> Iterator[Part]:
    yield Part(Column(f"{name}_kind", "string", f"{_words(name)}: kind of entry"), lambda v: get(v).KIND)
    column = Column(f"{name}_json", "string", f"{_words(name)}: all of it, as JSON")
    yield Part(column, lambda v: _as_json(get(v)))


def _listed(name: str, inner: Any, get: Getter) -> Part | Several:
    if is_dataclass(inner):
        assert isinstance(inner, type)
        return Several(name, inner, lambda v: get(v) or ())
    column = Column(name, "string", f"{_words(name)}, several parted by semicolons")
    return Part(column, lambda v: _JOINED.join(map(str, get(v) or ())) or None)


def _plain(name: str, hint: Any, get: Getter) -> Part:
    if hint in (bool, int):
        return Part(Column(name, "boolean" if hint is bool else "integer", _words(name)), get)
    if hint is datetime:
        column = Column(name, "datetime", f"{_words(name)}, with its offset from UTC")
        return Part(column, lambda v: _time(get(v)))
    return Part(Column(name, "string", _words(name)), lambda v: _text(get(v)))


def _words(name: str) -> str:
    return name.replace("_", " ")


def _reading(name: str, possible: Possible | None, get: Getter) -> Iterator[Part]:
    says = _words(name)
    yield Part(Column(f"{name}_read", "string", f"{says} as it was read"), lambda v: _of(get(v), "read"))
    yield Part(
        Column(f"{name}_unit", "string", f"unit of {says} as it was read"), lambda v: _of(get(v), "unit")
    )
    ending = UNIT_ENDINGS[possible.dimension] if possible is not None else "si"
    told = f"{says} in SI" if possible is not None else f"{says} in the SI unit of its dimension"
    yield Part(Column(f"{name}_{ending}", "number", told), lambda v: _si(get(v)))


def _of(reading: Reading | None, name: str) -> Cell:
    return None if reading is None else str(getattr(reading, name))


def _si(reading: Reading | None) -> Cell:
    return None if reading is None else float(reading.si)


def _time(moment: datetime | None) -> Cell:
    return None if moment is None else moment.isoformat()


def _text(content: object) -> Cell:
    return None if content is None or content == "" else str(content)


def _as_json(values: Values) -> str:
    return json.dumps(envelope_of(values), ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def _sediment_m(point: SoundingPoint) -> Cell:
    return None if point.thickness_m is None else float(point.thickness_m)


# What a reader of the table would otherwise have to work out.
_WORKED_OUT: Final[dict[type, tuple[Part, ...]]] = {
    SoundingPoint: (
        Part(
            Column("sediment_m", "number", "sediment: the thickness read, or firm depth less first contact"),
            _sediment_m,
        ),
    )
}
