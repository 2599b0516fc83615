"""Between what a person types and what the record keeps, both ways; nothing is rounded.

A comma is a decimal mark, as the keypad gives it, and is kept as a point.  A bare number in a field shown
in feet and inches is decimal feet.  What cannot be read raises Impossible with the name of the field.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from enum import StrEnum
from typing import Any, Final

from fieldapp.desk.entry_forms.form import Ask, FormField
from fieldapp.record.codec import read_time
from fieldapp.record.reading import Impossible, Reading
from fieldapp.record.said import said
from fieldapp.record.said_lists import either, listed
from fieldapp.units import UNITS, with_point

DEGREES: Final = "deg"
YES: Final = "yes"
NO: Final = "no"
_SEPARATOR: Final = ";"


def typed_apart(field: FormField, text: str) -> tuple[str, str]:
    """A typed number and its unit: ``("18.75", "m")``; the field's own unit when the text names none."""
    words = text.replace("\N{RIGHT SINGLE QUOTATION MARK}", "'").split()
    unit = field.unit
    if len(words) > 1 and words[-1] in UNITS:
        unit = words.pop()
        if UNITS[unit].dimension != UNITS[field.unit].dimension:
            raise Impossible(field.name, text, said("a number in {names}", names=", ".join(field.units)))
    elif "'" in text and UNITS[field.unit].dimension == "length":
        unit = "ft-in"
    number = with_point(" ".join(words))
    if unit == "ft-in" and "'" not in number:
        unit = "ft"
    return number, unit


def reading_of(field: FormField, text: str) -> Reading:
    """A typed number as it will stand in the record.  Raises Impossible, naming the field."""
    number, unit = typed_apart(field, text)
    try:
        return Reading(number, unit)
    except Impossible as problem:
        raise Impossible(field.name, text, problem.expected) from None


def text_of_reading(field: FormField, reading: Reading) -> str:
    """The text that gives the reading back when it is typed into the field."""
    if reading.unit in {field.unit, "ft-in"}:
        return reading.read
    return f"{reading.read} {reading.unit}"


def place_of(field: FormField, text: str) -> tuple[Reading, Reading]:
    """A place on the base as r and angle: ``25 in; 90 deg``, or ``25; 90``.  Raises Impossible."""
    parts = text.split(_SEPARATOR)
    if len(parts) != 2:
        raise Impossible(field.name, text, said("r and angle, such as 25 {unit}; 90 deg", unit=field.unit))
    angle = FormField(field.name, field.caption, Ask.READING, unit=DEGREES, units=(DEGREES,))
    return reading_of(field, parts[0].strip()), reading_of(angle, parts[1].strip())


def place_text(r: Reading, angle: Reading) -> str:
    """The text of a place on the base."""
    return f"{r}{_SEPARATOR} {angle}"


def several_of(field: FormField, text: str) -> tuple[str, ...]:
    """Words typed one a line; on one line they are parted by commas, unless the line is one option itself."""
    known = {each.value for each in field.options}
    mark = "," if "\n" not in text and text.strip() not in known else "\n"
    return tuple(each.strip() for each in text.split(mark) if each.strip())


def typed_value(field: FormField, text: str, words: type[StrEnum] | None) -> Any:
    """The value of one field that is not empty.  Raises Impossible, naming the field."""
    read: dict[Ask, Callable[[], Any]] = {
        Ask.READING: lambda: reading_of(field, text),
        Ask.COUNT: lambda: _count(field, text),
        Ask.CHOICE: lambda: _word(field, text, words),
        Ask.SEVERAL: lambda: tuple(_word(field, each, words) for each in several_of(field, text)),
        Ask.YES_NO: lambda: _yes_no(field, text),
        Ask.MOMENT: lambda: read_time(text, field.name),
        Ask.PLACE: lambda: place_of(field, text),
    }
    return read[field.ask]() if field.ask in read else text


def text_of_value(field: FormField, value: Any) -> str:
    """The text that gives a value back when it is typed; empty for nothing."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return YES if value else NO
    if isinstance(value, Reading):
        return text_of_reading(field, value)
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, tuple):
        return place_text(*value) if field.ask is Ask.PLACE else text_of_several(value)
    return str(value)


def text_of_several(words: tuple[str, ...]) -> str:
    """Words one a line; a line end after a single one keeps a comma in it from parting it."""
    lone = len(words) == 1 and "," in words[0]
    return f"{words[0]}\n" if lone else "\n".join(str(each) for each in words)


def _count(field: FormField, text: str) -> int:
    if not (text.isascii() and text.isdigit()) or len(text) > 6:
        raise Impossible(field.name, text, said("a whole number"))
    return int(text)


def _yes_no(field: FormField, text: str) -> bool:
    if text not in {YES, NO}:
        raise Impossible(field.name, text, either((YES, NO)))
    return text == YES


def _word(field: FormField, text: str, words: type[StrEnum] | None) -> str:
    if words is None:
        return text
    try:
        return words(text)
    except ValueError:
        raise Impossible(field.name, text, said("one of {names}", names=listed(words))) from None
