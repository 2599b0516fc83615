"""Text of a plain log into values, by the type of the field it stands for.

A reading keeps the text that was typed.  A number without its unit is refused where more than one unit
is in use; feet and inches, pH, counts, degrees and factors need none.
"""

from __future__ import annotations

import re
import types
from dataclasses import MISSING, Field
from datetime import datetime
from enum import StrEnum
from typing import Any, Final, Union, get_args, get_origin

from fieldapp.exchange.plain_times import Ground, read_moment
from fieldapp.exchange.plain_words import EMPTY, one_of
from fieldapp.record.reading import Impossible, Possible, Reading
from fieldapp.units import UNITS

_MARKS: Final = str.maketrans({"\N{PRIME}": "'", "\N{RIGHT SINGLE QUOTATION MARK}": "'",
                               "\N{DOUBLE PRIME}": '"', "\N{RIGHT DOUBLE QUOTATION MARK}": '"'})  # fmt: skip
_NUMBER_AND_UNIT: Final = re.compile(r"(?P<number>[-+]?\d(?:[\d ,./-]*\d)?)\s*(?P<unit>\S*)")
_NEED_NO_UNIT: Final = frozenset({"pH", "count", "deg", "ratio"})
_EXAMPLES: Final = {
    "length": "61' 4 1/2\" or 3/4 in",
    "density": "68.5 pcf",
    "ratio": "1.5 %",
    "time": "34 s",
    "temperature": "62 degF",
    "pressure": "2400 psi",
    "force": "900 kip",
    "volume": "946 mL",
    "hardness": "90 mg/L",
}


def read_value(each: Field[Any], hint: Any, text: str, ground: Ground) -> object:
    """Value of one field that is not a list of named things.  Raises Impossible naming the field."""
    hint = _without_none(hint)
    if text in EMPTY:
        return _nothing(each, text)
    if hint is Reading:
        return read_reading(each.name, text, each.metadata.get("possible"))
    if get_origin(hint) is tuple:
        (inner,) = (arg for arg in get_args(hint) if arg is not Ellipsis)
        pieces = [piece.strip() for piece in text.split(",")]
        return tuple(_read_plain(each.name, inner, piece, ground) for piece in pieces)
    return _read_plain(each.name, hint, text, ground)


def read_reading(name: str, text: str, possible: Possible | None) -> Reading:
    """Reading as typed, within its possible range.  Raises Impossible."""
    reading = _reading(name, text.translate(_MARKS), possible)
    if possible is not None:
        possible.check(name, reading)
    return reading


def read_number(name: str, text: str) -> tuple[str, str]:
    """Number text and unit symbol (empty when none is written).  Raises Impossible."""
    found = _NUMBER_AND_UNIT.fullmatch(text.strip())
    if found is None:
        raise Impossible(name, text, "a number with its unit, like 68.5 pcf or 61' 4 1/2\"")
    return found["number"], found["unit"]


def _reading(name: str, text: str, possible: Possible | None) -> Reading:
    if "'" in text:
        return _made(name, text, text, "ft-in")
    if text.endswith('"'):
        return _made(name, text, text.removesuffix('"').rstrip(), "in")
    number, unit = read_number(name, text)
    if not unit and possible is not None and possible.most.unit in _NEED_NO_UNIT:
        unit = possible.most.unit
    if unit not in UNITS:
        dimension = possible.dimension if possible else "length"
        known = [u.symbol for u in UNITS.values() if u.dimension == dimension]
        example = _EXAMPLES.get(dimension, f"3 {known[0]}")
        raise Impossible(name, text, f"a {dimension} with its unit ({', '.join(known)}), like {example}")
    return _made(name, text, number, unit)


def _made(name: str, text: str, number: str, unit: str) -> Reading:
    try:
        return Reading(number, unit)
    except Impossible as problem:
        raise Impossible(name, text, f"a number ({problem.expected})") from None


def _read_plain(name: str, hint: Any, text: str, ground: Ground) -> object:
    if not text:
        raise Impossible(name, "nothing", "words between the commas")
    if hint is str:
        return text
    if hint is datetime:
        return read_moment(name, text, ground)
    if hint is bool:
        return _read_bool(name, text)
    if hint is int:
        return _read_whole(name, text)
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return _read_word(name, hint, text)
    raise Impossible(name, text, "nothing: this cannot be typed in a plain log")


def _read_bool(name: str, text: str) -> bool:
    if text.lower() not in {"yes", "no"}:
        raise Impossible(name, text, "yes or no")
    return text.lower() == "yes"


def _read_whole(name: str, text: str) -> int:
    if not re.fullmatch(r"[0-9]{1,9}", text):
        raise Impossible(name, text, "a whole number")
    return int(text)


def _read_word(name: str, words: type[StrEnum], text: str) -> StrEnum:
    meant = {word.value.lower(): word for word in words}
    found = meant.get(" ".join(text.lower().split()))
    if found is None:
        raise Impossible(name, text, f"one of {one_of(text, [word.value for word in words])}")
    return found


def _nothing(each: Field[Any], text: str) -> object:
    if each.default is not MISSING:
        return each.default
    if each.default_factory is not MISSING:
        return each.default_factory()
    raise Impossible(each.name, text, f"a value for {each.name.replace('_', ' ')}")


def _without_none(hint: Any) -> Any:
    if get_origin(hint) in (Union, types.UnionType):
        return next(arg for arg in get_args(hint) if arg is not type(None))
    return hint


def item_type(hint: Any) -> type | None:
    """The class of the named things in a list of them, or of a single one, else None."""
    hint = _without_none(hint)
    if get_origin(hint) is tuple:
        hint = get_args(hint)[0]
    named = isinstance(hint, type) and hasattr(hint, "__dataclass_fields__") and hint is not Reading
    return hint if named else None


def is_list(hint: Any) -> bool:
    """Whether a field holds many things."""
    return get_origin(_without_none(hint)) is tuple
