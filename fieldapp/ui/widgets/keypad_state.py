"""What a number looks like while it is typed: pure, and strict about the next key.

Every text reached by ``press`` is the beginning of a reading that ``fieldapp.units`` reads, of a whole
number, or of a time of day.  A key that cannot be part of it leaves the state as it was.  Knows no Kivy.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final, Literal

from fieldapp.units import NotANumber, parse_feet_inch, parse_number, with_point

Mode = Literal["decimal", "inch", "feet-inch", "count", "time"]
MODES: Final[tuple[Mode, ...]] = ("decimal", "inch", "feet-inch")
"""The modes of a reading; a pad also counts, and takes a time of day."""
PAD_MODES: Final[tuple[Mode, ...]] = (*MODES, "count", "time")
FRACTIONS: Final = ("1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8")
BACK: Final = "back"
SAME: Final = "same"
EIGHTHS: Final = "eighths"
MINUS: Final = "-"

_FRACTION = r"(?:[1357]/8|[13]/4|1/2)"
_WHOLE = r"(?:0|[1-9]\d{0,5})"
_FEET = r"(?:0|[1-9]\d{0,3})"
_INCH = r"(?:1[01]|\d)"
_HOUR = r"(?:[01]\d|2[0-3])"
_BEGINNING: Final[dict[Mode, re.Pattern[str]]] = {
    "decimal": re.compile(rf"-?(?:{_WHOLE}(?:[.,]\d{{0,4}})?)?"),
    "inch": re.compile(rf"-?(?:{_WHOLE}(?:[.,]\d{{0,4}}| {_FRACTION})?|{_FRACTION})?"),
    "feet-inch": re.compile(
        rf"-?(?:{_FEET}(?:'(?: (?:{_INCH}(?:[.,]\d{{0,3}}|[.,]\d{{1,3}}\"| {_FRACTION}\"|\")?"
        rf"|{_FRACTION}\"))?)?)?"
    ),
    "count": re.compile(rf"{_WHOLE}?"),
    "time": re.compile(rf"(?:[0-2]|{_HOUR}(?::(?:[0-5]\d?)?)?)?"),
}
_TIME: Final = re.compile(rf"{_HOUR}:[0-5]\d")
_LAST_FRACTION = re.compile(rf" ?{_FRACTION}\"?$")


@dataclass(frozen=True, slots=True)
class KeypadState:
    """What was typed, in which mode, and the last value that ``same`` would repeat."""

    mode: Mode = "decimal"
    text: str = ""
    last: str = ""
    minus_allowed: bool = False
    fractions_open: bool = False


def mode_of(unit: str) -> Mode:
    """How a reading in a unit is typed."""
    modes: dict[str, Mode] = {"ft-in": "feet-inch", "in": "inch", "count": "count"}
    return modes.get(unit, "decimal")


def kept_in(mode: Mode, text: str) -> str:
    """What was typed, as far as it can stay in another mode: all of it, or nothing."""
    return text if _BEGINNING[mode].fullmatch(text.removeprefix(MINUS)) else ""


def press(state: KeypadState, key: str) -> KeypadState:
    """The state after one key: a digit, ``.`` ``,`` ``-`` ``'`` ``"``, a fraction, or a named key."""
    if key == EIGHTHS:
        return replace(state, fractions_open=not state.fractions_open and _takes_fraction(state))
    text = _after(state, key)
    return state if text is None else replace(state, text=text, fractions_open=False)


def accepts(state: KeypadState, key: str) -> bool:
    """Whether the key changes anything now: what it gives is shown as able to be pressed."""
    return press(state, key) != state


def finished(state: KeypadState) -> str | None:
    """The reading as it would be kept, open inches closed; None while it is not a whole reading."""
    for text in (state.text, state.text + '"') if state.mode == "feet-inch" else (state.text,):
        if _is_reading(state, text):
            return text
    return None


def _after(state: KeypadState, key: str) -> str | None:
    """The text after a key, None when the key cannot be part of the number."""
    if key == BACK:
        return (
            _LAST_FRACTION.sub("", state.text)
            if _ends_in_fraction(state.text)
            else state.text.removesuffix(":")[:-1].rstrip()
        )
    if key == SAME:
        return state.last if _is_reading(state, state.last) else None
    text = _appended(state, key)
    return text if _is_beginning(state, text) else None


def _appended(state: KeypadState, key: str) -> str:
    text = state.text
    if state.mode == "time":
        return _time_appended(text, key)
    if key in FRACTIONS:
        joined = f"{text} {key}" if text not in {"", "-"} else text + key
        return joined + '"' if state.mode == "feet-inch" else joined
    if key in {".", ","} and text in {"", "-"}:
        return f"{text}0{key}"
    if state.mode == "feet-inch" and text.endswith("'") and key.isdigit():
        return f"{text} {key}"
    return text + key


def _time_appended(text: str, digit: str) -> str:
    """A bare 9 is nine in the morning; the colon comes by itself; after a whole time a new one begins."""
    if _TIME.fullmatch(text) is not None:
        text = ""
    if text == "" and digit in "3456789":
        return f"0{digit}:"
    joined = text + digit
    return f"{joined}:" if len(joined) == 2 and ":" not in joined else joined


def _takes_fraction(state: KeypadState) -> bool:
    return state.mode in {"inch", "feet-inch"} and _is_beginning(state, _appended(state, FRACTIONS[0]))


def _ends_in_fraction(text: str) -> bool:
    return _LAST_FRACTION.search(text) is not None


def _is_beginning(state: KeypadState, text: str) -> bool:
    if text.startswith(MINUS) and not state.minus_allowed:
        return False
    return _BEGINNING[state.mode].fullmatch(text) is not None


def _is_reading(state: KeypadState, text: str) -> bool:
    if state.mode == "time":
        return _TIME.fullmatch(text) is not None
    if state.mode == "count":
        return text.isdigit()
    read: Callable[[str], object] = parse_feet_inch if state.mode == "feet-inch" else parse_number
    try:
        read(with_point(text))  # no key groups thousands: a comma here is the decimal mark
    except NotANumber:
        return False
    return state.minus_allowed or not text.startswith(MINUS)
