"""The indented lines of one entry into the values of its fields, driven by the record's own classes.

For an amendment the present values come in too: what is not written stays as it is, also within a point
of a round, which is found again by its label.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import MISSING, Field, dataclass, fields, replace
from typing import Any, Final

from fieldapp.exchange.plain_problem import Faults
from fieldapp.exchange.plain_times import Ground
from fieldapp.exchange.plain_values import is_list, item_type, read_value
from fieldapp.exchange.plain_words import (
    UnknownWord,
    one_of,
    parts_of,
    short_names_in,
    split_field,
    split_words,
)
from fieldapp.record.codec import field_types
from fieldapp.record.reading import Impossible

MISNAMED: Final = "field"


@dataclass(frozen=True, slots=True)
class FieldLine:
    """One indented line, with the number it has in the file."""

    line: int
    text: str


@dataclass(frozen=True, slots=True)
class NamedLine:
    """One indented line with its field known."""

    line: int
    name: str
    value: str


def named_lines(lines: Sequence[FieldLine], names: Mapping[str, str], faults: Faults) -> list[NamedLine]:
    """Lines with the field each is about; those with an unknown field become faults."""
    named = []
    for each in lines:
        try:
            name, value = split_field(each.text, names)
        except UnknownWord as problem:
            faults.add(each.line, MISNAMED, problem.read, problem.expected)
        except Impossible as problem:
            faults.take(each.line, problem)
        else:
            named.append(NamedLine(each.line, name, value))
    return named


def read_fields(
    made: type, lines: Sequence[NamedLine], ground: Ground, faults: Faults, present: object = None
) -> dict[str, Any]:
    """Values by field name; what cannot be read becomes a fault and is left out."""
    hints = field_types(made)
    said: dict[str, Any] = {}
    for each in fields(made):
        mine = [line for line in lines if line.name == each.name]
        if not mine:
            continue
        inner = item_type(hints[each.name])
        now = getattr(present, each.name, None)
        if inner is not None and is_list(hints[each.name]):
            said[each.name] = _items(inner, mine, ground, faults, tuple(now or ()))
        elif inner is not None:
            said[each.name] = _one_item(inner, mine, ground, faults, now)
        else:
            said.update(_plain_field(each, hints[each.name], mine, ground, faults))
    return said


def build(
    made: type, said: Mapping[str, Any], lines: Sequence[NamedLine], line: int, faults: Faults
) -> object:
    """The values object, or None with a fault at the line of the field that cannot be.

    What follows from another fault of the entry is not told: a field that was written and could not be
    read is not missing, and one whose name was misspelt most likely is not either.
    """
    missing = [name for name in _required(made) if name not in said]
    if not any(each.field == MISNAMED for each in faults.of_entry):
        for name in missing:
            if not any(each.name == name for each in lines):
                faults.add(line, name, "nothing", f"a value for {name.replace('_', ' ')}")
    if missing or faults.of_entry:
        return None
    try:
        return made(**said)
    except Impossible as problem:
        faults.take(line_of(problem.field_name, lines, line), problem)
        return None


def line_of(name: str, lines: Sequence[NamedLine], otherwise: int) -> int:
    """The line on which a field stands, or ``otherwise``."""
    return next((each.line for each in lines if each.name == name), otherwise)


def _required(made: type) -> list[str]:
    return [e.name for e in fields(made) if e.default is MISSING and e.default_factory is MISSING]


def _plain_field(
    each: Field[Any], hint: Any, lines: Sequence[NamedLine], ground: Ground, faults: Faults
) -> dict[str, Any]:
    values: list[Any] = []
    for line in lines:
        try:
            values.append(read_value(each, hint, line.value, ground))
        except Impossible as problem:
            faults.take(line.line, problem)
    if is_list(hint):
        return {each.name: tuple(one for value in values for one in value)}
    for extra in lines[1:]:
        faults.add(extra.line, each.name, extra.value, f"one line only; line {lines[0].line} has it already")
    return {each.name: values[0]} if values else {}


def _items(
    made: type, lines: Sequence[NamedLine], ground: Ground, faults: Faults, now: tuple[Any, ...]
) -> tuple[Any, ...]:
    key = fields(made)[0].name
    items = list(now)
    for line in lines:
        try:
            said = _read_pieces(made, line.value, ground)
            same = [n for n, item in enumerate(now) if getattr(item, key) == said.get(key)]
            if same:
                items[same[0]] = replace(items[same[0]], **said)
            else:
                items.append(_made(made, said))
        except Impossible as problem:
            faults.take(line.line, problem)
    return tuple(items)


def _one_item(made: type, lines: Sequence[NamedLine], ground: Ground, faults: Faults, now: Any) -> object:
    said: dict[str, Any] = {}
    for line in lines:
        try:
            pieces = _read_pieces(made, line.value, ground)
            twice = sorted(said.keys() & pieces.keys())
            if twice:
                raise Impossible(twice[0], line.value, "each of these once")
            said.update(pieces)
        except Impossible as problem:
            faults.take(line.line, problem)
    try:
        return _made(made, said) if now is None else replace(now, **said)
    except Impossible as problem:
        faults.take(lines[-1].line, problem)
        return None


def _made(made: type, said: Mapping[str, Any]) -> object:
    for name in _required(made):
        if name not in said:
            raise Impossible(name, "nothing", f"a value for {name.replace('_', ' ')}")
    return made(**said)


def _read_pieces(made: type, text: str, ground: Ground) -> dict[str, Any]:
    """Fields of a named thing: first those that must be there, in order, then ``name value`` pieces."""
    hints, known = field_types(made), {each.name: each for each in fields(made)}
    waiting = _required(made)
    said: dict[str, Any] = {}
    for piece in parts_of(text):
        found = split_words(piece, short_names_in(made))
        opens = not said and bool(waiting) and hints[waiting[0]] is str
        if found is None or opens:
            if not waiting:
                names = one_of(piece, [name.replace("_", " ") for name in known])
                raise Impossible(MISNAMED, piece, f"a name and its value; names are {names}")
            found = (waiting[0], piece)
        name, value = found
        if name in said:
            raise Impossible(name, piece, "each of these once")
        if name in waiting:
            waiting.remove(name)
        said[name] = read_value(known[name], hints[name], value, ground)
    return said
