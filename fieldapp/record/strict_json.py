"""JSON from outside, read strictly: what two readers could understand differently is refused.

No field twice, no floats, no NaN, no whole number beyond 2^53 - 1, no half of a surrogate pair, no endless
nesting; and for what is hashed, one way to write it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, Final, NoReturn

from fieldapp.record.said import said

_LARGEST_INTEGER: Final = 2**53 - 1
_MOST_DIGITS: Final = 16


class NotStrict(ValueError):
    """Bytes that are not strict JSON; the text says why, as part of a sentence."""


class NewerFormat(ValueError):
    """Strict JSON of a format that a newer program wrote; the text says so, as part of a sentence."""


def read_strict(data: bytes) -> Any:
    """Plain values from UTF-8 bytes.  Raises NotStrict."""
    try:
        return _DECODER.decode(data.decode("utf-8"))
    except NotStrict:
        raise
    except RecursionError:
        raise NotStrict(said("it is nested too deeply")) from None
    except ValueError as problem:
        raise NotStrict(said("it is not JSON ({problem})", problem=problem)) from None


def read_as_written(data: bytes) -> tuple[Any, bool]:
    """Plain values from UTF-8 bytes as `read_strict` gives them, and whether they are written the one way.

    Bytes that are written again without a difference hold no field twice, so that nothing is called back for
    each object of them, which is most of what strict reading costs.  Raises NotStrict.
    """
    try:
        body = _PLAIN_DECODER.decode(data.decode("utf-8"))
    except (ValueError, RecursionError):
        return read_strict(data), False  # which says what is wrong
    if written_one_way(body) == data:
        return body, True
    return read_strict(data), False


def read_format(data: bytes, name: str, fields_of: Mapping[int, frozenset[str]]) -> dict[str, Any]:
    """An object that says its format and version and has the fields of it.

    ``fields_of`` names the fields of every version that is known, ``format`` and ``version`` among them.
    Raises NotStrict, or NewerFormat for a version after the last of them.
    """
    body = read_strict(data)
    if not isinstance(body, dict) or body.get("format") != name:
        raise NotStrict(said("it is not a {format}", format=name))
    version, known = body.get("version"), max(fields_of)
    if type(version) is int and version > known:
        raise NewerFormat(
            said(
                "its format has version {found}, and version {version} is known here",
                found=version,
                version=known,
            )
        )
    if type(version) is not int or frozenset(body) != fields_of.get(version):
        raise NotStrict(said("it does not have the fields of its format"))
    return body


def written_one_way(body: Any) -> bytes:
    """Canonical JSON (RFC 8785) of what `read_strict` gave, whose field names are plain ASCII.

    With such names and no floats the standard library writes the same as the library for RFC 8785, several
    times as fast.  Raises NotStrict for half of a surrogate pair, and for endless nesting.
    """
    try:
        return _ENCODER.encode(body).encode("utf-8")
    except RecursionError:
        raise NotStrict(said("it is nested too deeply")) from None
    except UnicodeEncodeError:
        raise NotStrict(said("it holds half of a letter")) from None


def _no_twins(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    names = dict(pairs)
    if len(names) != len(pairs):
        raise NotStrict(said("a field stands twice in it"))
    return names


def _whole(digits: str) -> int:
    found = int(digits) if len(digits) <= _MOST_DIGITS + 1 else _LARGEST_INTEGER + 1
    if abs(found) > _LARGEST_INTEGER:
        _refuse(digits[:20])
    return found


def _refuse(text: str) -> NoReturn:
    raise NotStrict(said("'{text}' is not allowed in it", text=text))


_PLAIN_DECODER: Final = json.JSONDecoder(parse_int=_whole, parse_float=_refuse, parse_constant=_refuse)
_DECODER: Final = json.JSONDecoder(
    object_pairs_hook=_no_twins, parse_int=_whole, parse_float=_refuse, parse_constant=_refuse
)
# What was read from JSON holds no ring; endless nesting ends as a RecursionError.
_ENCODER: Final = json.JSONEncoder(
    ensure_ascii=False, sort_keys=True, separators=(",", ":"), check_circular=False
)
