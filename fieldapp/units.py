"""Units: exact conversion between what is read on site and SI.

Readings are turned into exact fractions, so that half an inch held against a limit of half an inch
is a tie and not 12.699999 mm.  Floats appear only where numpy takes over.  Nothing here rounds
except the functions whose name says ``show``.

SI inside: metre, kg/m3, MPa, MN, second, degree Celsius, ratio (1 % is 1/100), degree of arc, m3.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, TypeAlias

Number: TypeAlias = Fraction | float

INCH_M: Final = Fraction(254, 10_000)
FOOT_M: Final = 12 * INCH_M
POUND_KG: Final = Fraction(45_359_237, 100_000_000)
STANDARD_GRAVITY_M_PER_S2: Final = Fraction(980_665, 100_000)
US_GALLON_M3: Final = 231 * INCH_M**3
_POUND_FORCE_MN: Final = POUND_KG * STANDARD_GRAVITY_M_PER_S2 / 1_000_000
_PSI_MPA: Final = _POUND_FORCE_MN / INCH_M**2


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of measure: SI value = (number + ``shift``) * ``factor``."""

    symbol: str
    dimension: str
    factor: Fraction
    shift: Fraction = Fraction(0)


def _unit(symbol: str, dimension: str, factor: Fraction | int, shift: int = 0) -> Unit:
    return Unit(symbol, dimension, Fraction(factor), Fraction(shift))


# Exact by definition: international foot and pound (1959), standard gravity (3rd CGPM 1901),
# US gallon of 231 cubic inches (NIST Handbook 44, Appendix C).
UNITS: Final[dict[str, Unit]] = {
    u.symbol: u
    for u in (
        _unit("m", "length", 1),
        _unit("cm", "length", Fraction(1, 100)),
        _unit("mm", "length", Fraction(1, 1000)),
        _unit("ft", "length", FOOT_M),
        _unit("in", "length", INCH_M),
        _unit("ft-in", "length", FOOT_M),
        _unit("kg/m3", "density", 1),
        _unit("g/cm3", "density", 1000),
        _unit("pcf", "density", POUND_KG / FOOT_M**3),
        _unit("lb/gal", "density", POUND_KG / US_GALLON_M3),
        _unit("MPa", "pressure", 1),
        _unit("kPa", "pressure", Fraction(1, 1000)),
        _unit("bar", "pressure", Fraction(1, 10)),
        _unit("psi", "pressure", _PSI_MPA),
        _unit("ksi", "pressure", 1000 * _PSI_MPA),
        _unit("psf", "pressure", _PSI_MPA / 144),
        _unit("ksf", "pressure", 1000 * _PSI_MPA / 144),
        _unit("MN", "force", 1),
        _unit("kN", "force", Fraction(1, 1000)),
        _unit("kip", "force", 1000 * _POUND_FORCE_MN),
        _unit("s", "time", 1),
        _unit("min", "time", 60),
        _unit("h", "time", 3600),
        _unit("day", "time", 86_400),
        _unit("degC", "temperature", 1),
        _unit("degF", "temperature", Fraction(5, 9), -32),
        _unit("ratio", "ratio", 1),
        _unit("%", "ratio", Fraction(1, 100)),
        _unit("deg", "angle", 1),
        _unit("pH", "acidity", 1),
        _unit("m3", "volume", 1),
        _unit("L", "volume", Fraction(1, 1000)),
        _unit("mL", "volume", Fraction(1, 1_000_000)),
        _unit("ft3", "volume", FOOT_M**3),
        _unit("yd3", "volume", 27 * FOOT_M**3),
        _unit("gal", "volume", US_GALLON_M3),
        _unit("qt", "volume", US_GALLON_M3 / 4),
        _unit("mg/L", "hardness", 1),
        _unit("m/h", "rise", Fraction(1, 3600)),
        _unit("mm/h", "rise", Fraction(1, 3_600_000)),
        _unit("in/h", "rise", INCH_M / 3600),
        _unit("count", "count", 1),
    )
}

_DECIMAL = r"[0-9]+(?:[.,][0-9]+)?"
_NUMBER = re.compile(
    rf"(?P<sign>[-+]?)(?:(?P<decimal>{_DECIMAL})"
    r"|(?:(?P<whole>[0-9]+)[ -])?(?P<top>[0-9]+)/(?P<bottom>[0-9]+))"
)
_THOUSANDS = re.compile(r"[-+]?[1-9][0-9]{0,2},[0-9]{3}")
_FEET_INCH = re.compile(r"(?P<sign>-?)(?P<feet>[0-9]+)'(?:\s*(?P<inch>[0-9][^\"]*)\")?")
_HYPHEN = re.compile(r"(?<=[0-9])-(?=[0-9]+/[0-9])")
_LONGEST_NUMBER = 24
_NOISE = 1e-9


class NotANumber(ValueError):
    """The text is not a number that a person would read off an instrument.

    ``says`` is the sentence with named fields and ``values`` are what stands in them.
    """

    def __init__(self, says: str, **values: str) -> None:
        self.says, self.values = says, values
        super().__init__(says.format_map(values))


class OutOfRange(ValueError):
    """A number lies outside the range for which a formula is stated; nothing was computed."""

    def __init__(self, quantity: str, value: str, allowed: str) -> None:
        super().__init__(f"{quantity} is {value}, but it must be {allowed}; check the reading and its unit")


@dataclass(frozen=True, slots=True)
class Range:
    """The values that a quantity may take, ends included; ``open_below`` leaves out ``least``."""

    quantity: str
    symbol: str
    least: float
    most: float
    open_below: bool = False

    def check(self, *values: Number) -> None:
        """Raise OutOfRange for the first value outside the range, or that is not a number (NaN)."""
        for value in values:
            # beside a fraction a float is made one each time: only what is near an end is compared exactly
            near = float(value)
            inside = self.least < near < self.most or self.least <= value <= self.most
            if not inside or (self.open_below and value == self.least):
                raise OutOfRange(self.quantity, f"{float(value):g} {self.symbol}".strip(), self.allowed)

    @property
    def allowed(self) -> str:
        """The range in words: ``more than 0 and at most 20 m``."""
        least = f"{'more than' if self.open_below else 'at least'} {self.least:g}"
        return f"{least} and at most {self.most:g} {self.symbol}".strip()


def parse_number(text: str) -> Fraction:
    """Read ``12``, ``12.5``, ``12,5``, ``3/4`` or ``1 1/2`` exactly.

    Raises NotANumber for anything else: NaN, infinity, exponents, thousands separators, blanks.
    ``1,234`` is refused too: it could be a thousand or a decimal comma.
    """
    if _THOUSANDS.fullmatch(text.strip()):
        raise NotANumber(
            "'{text}' could be read in two ways; write it without a comma, like 1234 or 1.234", text=text
        )
    found = _NUMBER.fullmatch(text.strip())
    if found is None or len(text) > _LONGEST_NUMBER:
        raise NotANumber("'{text}' is not a number; write it like 12.5 or 1 1/2", text=text)
    if found["decimal"]:
        size = Fraction(found["decimal"].replace(",", "."))
    else:
        size = Fraction(int(found["whole"] or 0)) + _ratio(found["top"], found["bottom"], text)
    return -size if found["sign"] == "-" else size


def with_point(text: str) -> str:
    """A number typed where a comma can only be a decimal mark, with a point: ``1,085`` becomes ``1.085``.

    A text with more than one comma, or with a point besides, stays as it is and is no number.
    """
    return text.replace(",", ".") if text.count(",") == 1 and "." not in text else text


def with_blank(text: str) -> str:
    """A number for people, in which ``1-1/2`` is written ``1 1/2``; a sign in front of it stays."""
    return _HYPHEN.sub(" ", text) if "-" in text else text


def parse_feet_inch(text: str) -> Fraction:
    """Read ``61' 4 1/2"`` (also ``61'``, ``61' 4"``, ``61' 1/2"``) and return decimal feet, exactly.

    Raises NotANumber when it is not of that form or when the inches reach twelve.
    """
    found = _FEET_INCH.fullmatch(text.strip())
    if found is None or len(text) > _LONGEST_NUMBER:
        raise NotANumber("'{text}' is not feet and inches; write it like 61' 4 1/2\"", text=text)
    inches = parse_number(found["inch"]) if found["inch"] else Fraction(0)
    if inches >= 12:
        raise NotANumber("'{text}' has twelve inches or more; carry them into the feet", text=text)
    size = int(found["feet"]) + inches / 12
    return -size if found["sign"] else size


def _ratio(top: str, bottom: str, text: str) -> Fraction:
    if int(bottom) == 0:
        raise NotANumber("'{text}' divides by zero", text=text)
    return Fraction(int(top), int(bottom))


def unit_named(symbol: str) -> Unit:
    """The unit with this symbol.  Raises NotANumber, naming the units known, when there is none."""
    try:
        return UNITS[symbol]
    except KeyError:
        raise NotANumber(
            "unit '{symbol}' is not known; known are {known}", symbol=symbol, known=", ".join(UNITS)
        ) from None


def read_si(text: str, symbol: str) -> Fraction:
    """SI value of a reading as it was written, exactly.  Raises NotANumber."""
    unit = unit_named(symbol)
    number = parse_feet_inch(text) if symbol == "ft-in" else parse_number(text)
    return (number + unit.shift) * unit.factor


def to_si(number: float, symbol: str) -> float:
    """SI value of a number in the unit ``symbol``."""
    unit = unit_named(symbol)
    return (number + float(unit.shift)) * float(unit.factor)


def from_si(value: Fraction | float, symbol: str) -> float:
    """The number that an SI value has in the unit ``symbol``."""
    unit = unit_named(symbol)
    if isinstance(value, Fraction):
        return float(value / unit.factor - unit.shift)
    return value / float(unit.factor) - float(unit.shift)


def show(value: Fraction | float, symbol: str, digits: int = 1) -> str:
    """Text of an SI value in the unit ``symbol``, rounded for people: ``68.5 pcf``."""
    if symbol == "ft-in":
        return show_feet_inch(value)
    number = from_si(value, symbol)
    text = f"{number:,.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    text = "0" if text in {"-0", ""} else text
    return text if symbol in {"ratio", "pH", "count"} else f"{text} {symbol}"


def rounded_down(number: float, digits: int) -> float:
    """The number with so many digits after the point, never rounded up; 1e-9 of a digit is noise."""
    step = 10.0**digits
    return math.floor(number * step + _NOISE) / step


def show_feet_inch(value_m: Fraction | float, parts_of_an_inch: int = 8) -> str:
    """Text of a length in feet and inches to the nearest 1/8 in (or 1/16 ...): ``61' 4 1/2"``."""
    steps = round(abs(Fraction(value_m)) / INCH_M * parts_of_an_inch)
    feet, steps = divmod(steps, 12 * parts_of_an_inch)
    inch, rest = divmod(steps, parts_of_an_inch)
    sign = "-" if value_m < 0 and (feet or inch or rest) else ""
    part = f" {Fraction(rest, parts_of_an_inch)}" if rest else ""
    return f"{sign}{feet}' {inch}{part}\""
