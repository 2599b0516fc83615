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
from functools import lru_cache
from typing import Any, Final, TypeAlias, Union, get_args, get_origin, get_type_hints

from fieldapp.record import kinds
from fieldapp.record.kinds import KINDS, Values
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said

Json: TypeAlias = bool | int | str | list["Json"] | dict[str, "Json"] | None

# (kind, from version) -> the values one version on.  Old entries are lifted while reading, never rewritten.
Lift: TypeAlias = Callable[[dict[str, Json]], dict[str, Json]]
LIFTS: Final[dict[tuple[str, int], Lift]] = {
    ("project set-up", 1): lambda body: body,  # version 2 added own_log_release and authority
}


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
    hints = field_types(made)
    known = {each.name: each for each in fields(made)}
    unknown = sorted(set(body) - set(known))
    if unknown:
        raise Impossible(where, ", ".join(unknown), f"only {', '.join(known)}")
    missing = [n for n, each in known.items() if n not in body and _default(each) is MISSING]
    if missing:
        raise Impossible(
            missing[0], said("nothing"), f"a value for {missing[0].replace('_', ' ')} in {where}"
        )
    return made(**{name: _decode(hints[name], content, name) for name, content in body.items()})


def _decode(hint: Any, content: Json, name: str) -> object:
    if hint == Values:
        return _decode_envelope(content, name)
    if get_origin(hint) in (Union, types.UnionType):
        if content is None:
            return None
        (hint,) = (each for each in get_args(hint) if each is not type(None))
    if get_origin(hint) is tuple:
        if not isinstance(content, list):
            raise Impossible(name, type(content).__name__, "a list")
        return tuple(_decode(get_args(hint)[0], each, name) for each in content)
    if is_dataclass(hint):
        assert isinstance(hint, type)
        return _build(hint, content, name)
    return _decode_plain(hint, content, name)


def _decode_envelope(content: Json, name: str) -> Values:
    if not isinstance(content, dict) or set(content) != {"kind", "version", "values"}:
        raise Impossible(name, type(content).__name__, "kind, version and values")
    kind, version = content["kind"], content["version"]
    if not isinstance(kind, str) or type(version) is not int:
        raise Impossible(name, f"{kind} {version}", "a kind and its version")
    return decode(kind, version, content["values"])


def _decode_plain(hint: Any, content: Json, name: str) -> object:
    if hint in (bool, int):
        if type(content) is not hint:
            raise Impossible(name, str(content), "yes or no" if hint is bool else "a whole number")
        return content
    if not isinstance(content, str):
        raise Impossible(name, str(content), "text")
    if hint is str:
        return content
    if hint is datetime:
        return read_time(content, name)
    try:
        return hint(content)
    except ValueError:
        raise Impossible(name, content, f"one of {', '.join(hint)}") from None


def read_time(text: str, name: str) -> datetime:
    """Moment from ISO 8601 text with its offset.  Raises Impossible."""
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise Impossible(name, text, said("a time like 2026-05-12T07:40:00-05:00")) from None
    if moment.utcoffset() is None:
        raise Impossible(name, text, said("a time with its offset from UTC"))
    return moment
