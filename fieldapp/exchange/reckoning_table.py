"""One table of a reckoning file, read strictly: every key known, every quantity a text with its unit.

A number without a unit is taken only where the quantity has none.  What does not fit is noted with its
path and the allowed range; the getters then give None, so that reading goes on to the next problem.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from difflib import get_close_matches
from fractions import Fraction
from typing import Final

from fieldapp.criteria.acceptance import split_unit
from fieldapp.exchange.reckoning_problem import ReckoningFaults
from fieldapp.units import UNITS, NotANumber, OutOfRange, Range, read_si, show

MOST_ROWS: Final = 1000
_FEET_INCHES: Final = "ft-in"
_LONGEST_TEXT: Final = 500
_MOST_DIGITS: Final = 12
_EXAMPLES: Final = {
    "length": '"1.5 m" or "5\' 0\\""',
    "pressure": '"10 MPa"',
    "force": '"12 MN"',
    "time": '"34 s"',
    "density": '"68.5 pcf"',
    "temperature": '"15 degC"',
    "angle": '"90 deg"',
    "volume": '"946 mL"',
}


class Table:
    """A table with its path; a key that is not among ``known`` is a problem at once."""

    def __init__(
        self, faults: ReckoningFaults, path: str, content: dict[str, object], known: Sequence[str]
    ) -> None:
        self.faults = faults
        self.path = path
        self.content = content
        for key in content:
            if key not in known:
                close = get_close_matches(key, known, 1)
                hint = f"; did you mean '{close[0]}'?" if close else ""
                faults.add(self.at(key), key, f"one of {', '.join(known)}{hint}")

    def __contains__(self, key: str) -> bool:
        return key in self.content

    def at(self, key: str) -> str:
        """Path of a key of this table."""
        return f"{self.path}.{key}" if self.path and key else self.path or key

    def wrong(self, key: str, read: object, expected: str) -> None:
        """Note a problem at a key."""
        self.faults.add(self.at(key), read, expected)

    def one_of(self, *keys: str, needed: bool = True) -> str | None:
        """The one key of these that stands here; a problem when several do, or none and one is needed."""
        have = [key for key in keys if key in self.content]
        if len(have) > 1 or (needed and not have):
            self.wrong("", ", ".join(have) or "nothing", f"one of {', '.join(keys)}")
            return None
        return have[0] if have else None

    def quantity(self, key: str, limits: Range, *, needed: bool = False) -> Fraction | None:
        """Exact SI value of the quantity at a key, within its range; None when it is absent or wrong."""
        if key not in self.content:
            if needed:
                self.wrong(key, "nothing", f"{limits.quantity}, {_like(limits)}")
            return None
        return self._read(key, self.content[key], limits)

    def quantities(self, key: str, limits: Range, most: int = 100) -> tuple[Fraction, ...] | None:
        """SI values of a list at a key, or of one quantity standing alone; None when absent or wrong."""
        if key not in self.content:
            return None
        given = self.content[key]
        listed = given if isinstance(given, list) else [given]
        if not 1 <= len(listed) <= most:
            self.wrong(key, f"{len(listed)} values", f"1 to {most} values")
            return None
        read = [self._read(f"{key}[{n}]", each, limits) for n, each in enumerate(listed, start=1)]
        known = tuple(each for each in read if each is not None)
        return known if len(known) == len(read) else None

    def text(self, key: str, otherwise: str = "") -> str:
        """The text at a key, at most 500 characters."""
        given = self.content.get(key, otherwise)
        if not isinstance(given, str) or len(given) > _LONGEST_TEXT:
            self.wrong(key, given, f"a text in quotation marks, at most {_LONGEST_TEXT} characters")
            return otherwise
        return given

    def word(self, key: str, words: Sequence[str], otherwise: str | None = None) -> str | None:
        """One of these words; ``otherwise`` when the key is absent, None also when it is wrong."""
        if key not in self.content:
            return otherwise
        given = self.content[key]
        if given not in words:
            close = get_close_matches(str(given), words, 1)
            hint = f"; did you mean '{close[0]}'?" if close else ""
            self.wrong(key, given, f"one of {', '.join(words)}{hint}")
            return None
        return str(given)

    def flag(self, key: str) -> bool | None:
        """True or false as it stands, None when absent: not known."""
        given = self.content.get(key)
        if given is not None and not isinstance(given, bool):
            self.wrong(key, given, "true or false, without quotation marks")
            return None
        return given

    def count(self, key: str, limits: Range) -> int | None:
        """A whole number within its range; None when absent or wrong."""
        if key not in self.content:
            return None
        given = self.content[key]
        if not isinstance(given, int) or isinstance(given, bool) or not limits.least <= given <= limits.most:
            self.wrong(key, given, f"{limits.quantity}, a whole number {limits.allowed}")
            return None
        return given

    def table(self, key: str, known: Sequence[str]) -> Table:
        """The table at a key; an empty one when it is absent or not a table."""
        given = self.content.get(key, {})
        if not isinstance(given, dict):
            self.wrong(key, given, f"a table, [{self.at(key)}]")
            given = {}
        return Table(self.faults, self.at(key), given, known)

    def tables(self, key: str, known: Sequence[str], most: int = MOST_ROWS) -> tuple[Table, ...]:
        """The tables of a list at a key, none when it is absent."""
        given = self.content.get(key, [])
        if not isinstance(given, list) or not all(isinstance(each, dict) for each in given):
            self.wrong(key, given, f"a list of tables, [[{self.at(key)}]] or [{{...}}, {{...}}]")
            return ()
        if len(given) > most:
            self.wrong(key, f"{len(given)} of them", f"at most {most}")
            return ()
        return tuple(
            Table(self.faults, f"{self.at(key)}[{number}]", each, known)
            for number, each in enumerate(given, start=1)
        )

    def _read(self, key: str, given: object, limits: Range) -> Fraction | None:
        try:
            value = _si(given, limits)
        except NotANumber as refused:
            self.wrong(key, given, f"{limits.quantity}, {_like(limits)}; {refused}")
            return None
        except _Unlike:
            self.wrong(key, given, f"{limits.quantity}, {_like(limits)}")
            return None
        try:
            limits.check(value)
        except OutOfRange:
            self.wrong(
                key, f"{given}", f"{limits.quantity} {limits.allowed}; that is {_si_text(value, limits)}"
            )
            return None
        return value


class _Unlike(ValueError):
    """Not of the form of a quantity."""


def _si(given: object, limits: Range) -> Fraction:
    dimension = _dimension(limits)
    if isinstance(given, str):
        number, symbol = split_unit(given)
        if dimension == "length" and not symbol and "'" in given:
            return read_si(given, "ft-in")
        if not symbol and dimension == "ratio":
            return read_si(number, "ratio")
        if not symbol or UNITS[symbol].dimension != dimension:
            raise _Unlike
        return read_si(number, symbol)
    if isinstance(given, bool) or dimension != "ratio" or not isinstance(given, int | Decimal):
        raise _Unlike
    number_given = Decimal(given)
    if not number_given.is_finite() or not -_MOST_DIGITS <= number_given.adjusted() <= _MOST_DIGITS:
        raise _Unlike
    return Fraction(number_given)


def _dimension(limits: Range) -> str:
    return UNITS[limits.symbol].dimension if limits.symbol else "ratio"


def _like(limits: Range) -> str:
    dimension = _dimension(limits)
    if dimension == "ratio":
        return 'a number without a unit or a share, like 0.25 or "25 %"'
    symbols = [
        unit.symbol for unit in UNITS.values() if unit.dimension == dimension and unit.symbol != _FEET_INCHES
    ]
    example = _EXAMPLES[dimension]
    return f"a text with its unit, like {example}; units of {dimension}: {', '.join(symbols)}"


def _si_text(value: Fraction, limits: Range) -> str:
    return f"{float(value):g} {limits.symbol}".strip()


def in_both(value: float, symbol: str, other: str) -> str:
    """An SI value in two units, for a file in either system: ``10 mm (0.39 in)``."""
    return f"{show(value, symbol, 1)} ({show(value, other, 2 if other == 'in' else 0)})"
