"""Values to plain JSON and back, driven by the types of the fields.

Strict both ways: unknown fields, wrong types and floats are refused.  Fields at their default are left
out, so that a field added later does not change how older entries are written.
"""

from __future__ import annotations

import types
from collections.abc import Callable
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import datetime
from enum import StrEnum
from functools import lru_cache, partial
from typing import Any, Final, TypeAlias, Union, get_args, get_origin, get_type_hints

from fieldapp.record import kinds
from fieldapp.record.kinds import KINDS, Values
from fieldapp.record.reading import Impossible, Reading, reading_of
from fieldapp.record.said import said

Json: TypeAlias = bool | int | str | list["Json"] | dict[str, "Json"] | None

# (kind, from version) -> the values one version on.  Old entries are lifted while reading, never rewritten.
Lift: TypeAlias = Callable[[dict[str, Json]], dict[str, Json]]
LIFTS: Final[dict[tuple[str, int], Lift]] = {
    ("project set-up", 1): lambda body: body,  # version 2 added own_log_release and authority
    ("project set-up", 2): lambda body: body,  # version 3 added keep_picture_positions
}

_OF_A_READING: Final = {"read", "unit"}

Reader: TypeAlias = Callable[[Json, str], object]
"""From plain JSON and the name of its field to the value; raises Impossible."""


class UnknownKind(ValueError):
    """An entry of a kind or version that this program does not know, most likely from a newer one."""


def encode(value: object) -> Json:
    """Plain JSON of a values object, reading, word, time or tuple of these.  Raises TypeError."""
    if value is None or isinstance(value, bool | int):
        return value
    if isinstance(value, StrEnum):
        return str(value)
    if isinstance(value, str):
        return value
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, tuple):
        return [encode(each) for each in value]
    if is_dataclass(value):
        return _encode_fields(value)
    raise TypeError(f"{type(value).__name__} cannot be written in an entry")


def _encode_fields(value: object) -> dict[str, Json]:
    body: dict[str, Json] = {}
    for each in fields(value):  # type: ignore[arg-type]  # checked by the caller
        content = getattr(value, each.name)
        if content == _default(each):
            continue
        body[each.name] = envelope_of(content) if each.name == "says" else encode(content)
    return body


def envelope_of(values: Values) -> dict[str, Json]:
    """Kind, version and values: how one values object stands inside another."""
    return {"kind": values.KIND, "version": values.VERSION, "values": encode(values)}


def _default(each: Field[Any]) -> object:
    if each.default is not MISSING:
        return each.default
    if each.default_factory is not MISSING:
        return each.default_factory()
    return MISSING


def decode(kind: str, version: int, body: Json) -> Values:
    """Values object of a kind, lifted to the present version.

    Raises UnknownKind for a kind or version from a newer program, Impossible for a value that cannot be.
    """
    made = KINDS.get(kind)
    if made is None:
        raise UnknownKind(
            said(
                "entries of kind '{kind}' are not known here; a newer Basenote may have made them", kind=kind
            )
        )
    if version > made.VERSION:
        raise UnknownKind(
            said(
                "'{kind}' version {version} is newer than this Basenote knows ({known})",
                kind=kind,
                version=version,
                known=made.VERSION,
            )
        )
    if version < 1:
        raise Impossible("version", str(version), "1 or more")
    if not isinstance(body, dict):
        raise Impossible(kind, type(body).__name__, "named fields")
    while version < made.VERSION:
        body = LIFTS[kind, version](body)
        version += 1
    values = _build(made, body, kind)
    assert isinstance(values, kinds.ALL)
    return values


@lru_cache(maxsize=128)
def field_types(made: type) -> dict[str, Any]:
    """Types of the fields of a values class, resolved."""
    return get_type_hints(made, localns={"Values": Values})


def _build(made: type, body: Json, where: str) -> object:
    if not isinstance(body, dict):
        raise Impossible(where, type(body).__name__, "named fields")
    readers, needed = _readers_of(made)
    if not body.keys() <= readers.keys():
        unknown = sorted(body.keys() - readers.keys())
        raise Impossible(where, ", ".join(unknown), f"only {', '.join(readers)}")
    for name in needed:
        if name not in body:
            raise Impossible(name, said("nothing"), f"a value for {name.replace('_', ' ')} in {where}")
    return made(**{name: readers[name](content, name) for name, content in body.items()})


@lru_cache(maxsize=128)
def _readers_of(made: type) -> tuple[dict[str, Reader], tuple[str, ...]]:
    """A reader for each field of a values class, and the fields that must be given."""
    hints, known = field_types(made), fields(made)
    needed = tuple(each.name for each in known if _default(each) is MISSING)
    return {each.name: _reader(hints[each.name]) for each in known}, needed


@lru_cache(maxsize=256)
def _reader(hint: Any) -> Reader:
    """How a field of this type is read from plain JSON; found once, since a journal has many entries."""
    if hint == Values:
        return _decode_envelope
    if get_origin(hint) in (Union, types.UnionType):
        (inner,) = (_reader(each) for each in get_args(hint) if each is not type(None))
        return lambda content, name: None if content is None else inner(content, name)
    if get_origin(hint) is tuple:
        return partial(_decode_list, _reader(get_args(hint)[0]))
    if hint is Reading:
        return _decode_reading
    if is_dataclass(hint):
        assert isinstance(hint, type)
        return partial(_build, hint)
    if hint in (bool, int):
        return partial(_decode_exactly, hint)
    return partial(_decode_text, {str: None, datetime: read_time}.get(hint, partial(_word, hint)))


def _decode_reading(content: Json, name: str) -> object:
    if isinstance(content, dict) and content.keys() == _OF_A_READING:
        read, unit = content["read"], content["unit"]
        if isinstance(read, str) and isinstance(unit, str):
            return reading_of(read, unit)
    return _build(Reading, content, name)  # which says what is wrong


def _decode_list(each_by: Reader, content: Json, name: str) -> object:
    if not isinstance(content, list):
        raise Impossible(name, type(content).__name__, "a list")
    return tuple(each_by(each, name) for each in content)


def _decode_envelope(content: Json, name: str) -> Values:
    if not isinstance(content, dict) or set(content) != {"kind", "version", "values"}:
        raise Impossible(name, type(content).__name__, "kind, version and values")
    kind, version = content["kind"], content["version"]
    if not isinstance(kind, str) or type(version) is not int:
        raise Impossible(name, f"{kind} {version}", "a kind and its version")
    return decode(kind, version, content["values"])


def _decode_exactly(wanted: type, content: Json, name: str) -> object:
    if type(content) is not wanted:
        raise Impossible(name, str(content), "yes or no" if wanted is bool else "a whole number")
    return content


def _decode_text(further: Callable[[str, str], object] | None, content: Json, name: str) -> object:
    if not isinstance(content, str):
        raise Impossible(name, str(content), "text")
    return content if further is None else further(content, name)


def _word(words: type[StrEnum], content: str, name: str) -> object:
    try:
        return words(content)
    except ValueError:
        raise Impossible(name, content, f"one of {', '.join(words)}") from None


# At the ends of the calendar a time has none in another zone; no shaft was drilled there.
FIRST_YEAR: Final = 1970
LAST_YEAR: Final = 2200


def read_time(text: str, name: str) -> datetime:
    """Moment from ISO 8601 text with its offset.  Raises Impossible."""
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise Impossible(name, text, said("a time like 2026-05-12T07:40:00-05:00")) from None
    if moment.utcoffset() is None:
        raise Impossible(name, text, said("a time with its offset from UTC"))
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise Impossible(name, text, said("a year from {first} to {last}", first=FIRST_YEAR, last=LAST_YEAR))
    return moment
