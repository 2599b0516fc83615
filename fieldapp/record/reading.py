"""A reading as it was read, and the limits within which a reading is possible at all.

The decimal or feet-inch text and its unit are what is kept and hashed; the SI value is worked out
from them exactly.  A value outside its possible range is refused when the entry is made.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, fields
from fractions import Fraction
from functools import lru_cache
from typing import Any, Final

from fieldapp.record.said import Said, said, sayable
from fieldapp.record.said_lists import word
from fieldapp.units import NotANumber, read_si, show, unit_named, with_blank

# What units say of a text that is no number, marked here for translation: units know no languages.
NO_NUMBER: Final = (
    sayable("'{text}' could be read in two ways; write it without a comma, like 1234 or 1.234"),
    sayable("'{text}' is not a number; write it like 12.5 or 1 1/2"),
    sayable("'{text}' is not feet and inches; write it like 61' 4 1/2\""),
    sayable("'{text}' has twelve inches or more; carry them into the feet"),
    sayable("'{text}' divides by zero"),
    sayable("unit '{symbol}' is not known; known are {known}"),
)
DIMENSIONS: Final = (
    sayable("length"),
    sayable("density"),
    sayable("time"),
    sayable("ratio"),
    sayable("pressure"),
    sayable("angle"),
    sayable("count"),
    sayable("force"),
    sayable("volume"),
    sayable("temperature"),
    sayable("rise"),
    sayable("hardness"),
    sayable("acidity"),
)
_CONTROL: Final = re.compile("[\x00-\x08\x0b-\x1f\ud800-\udfff]")  # but line ends and tabs; halves of letters
_exact_si = lru_cache(maxsize=16_384)(read_si)


class Impossible(ValueError):
    """A value that cannot be: names the field, what was read and what was expected."""

    def __init__(self, field_name: str, read: str, expected: str) -> None:
        self.field_name = field_name
        self.read = read
        self.expected = expected
        super().__init__(
            said(
                "{field}: read '{read}', expected {expected}", field=self.about, read=read, expected=expected
            )
        )

    @property
    def about(self) -> Said:
        """The name of the field as it is said."""
        name = self.field_name
        return name if isinstance(name, Said) else word(name.replace("_", " "))


@dataclass(frozen=True, slots=True)
class Reading:
    """A number as a person read it, with its unit, such as ``Reading("68.5", "pcf")``.

    Raises Impossible when the text is not a number or the unit is not known.
    """

    read: str
    unit: str

    def __post_init__(self) -> None:
        try:
            _exact_si(self.read, self.unit)
        except NotANumber as problem:
            raise Impossible(
                "reading", f"{self.read} {self.unit}", Said(problem.says, problem.values)
            ) from None

    @property
    def si(self) -> Fraction:
        """SI value, exact: metre, kg/m3, MPa, MN, second, degree Celsius, ratio."""
        return _exact_si(self.read, self.unit)

    @property
    def dimension(self) -> str:
        """What is measured: ``length``, ``density`` ..."""
        return unit_named(self.unit).dimension

    def __str__(self) -> str:
        """For people: as it was read, but for a fraction, which is written ``1 1/2`` everywhere."""
        read = with_blank(self.read)
        return read if self.unit in {"ft-in", "pH", "ratio", "count"} else f"{read} {self.unit}"


# The same reading comes again and again, in journals and in limits; it never changes, so it is made once.
reading_of = lru_cache(maxsize=16_384)(Reading)


@dataclass(frozen=True, slots=True, eq=False)
class Possible:
    """The dimension of a field and the range in which its value is possible, ends included.

    Each stands for its field alone, so that what was found possible is remembered for it.
    """

    dimension: str
    least: Reading
    most: Reading

    def check(self, name: str, reading: Reading) -> None:
        """Raise Impossible when the reading is of another dimension or out of range."""
        if _is_possible(self, reading.read, reading.unit):
            return
        if reading.dimension != self.dimension:
            raise Impossible(name, str(reading), said("a {range}", range=self._range()))
        raise Impossible(name, str(reading), self._range(reading.unit))

    def _range(self, unit: str = "") -> Said:
        """The range in words; in the unit that somebody reads in, where it is known."""
        return said(
            "{dimension} from {least} to {most}",
            dimension=word(self.dimension),
            least=show(self.least.si, unit, 2) if unit else self.least,
            most=show(self.most.si, unit, 2) if unit else self.most,
        )


@lru_cache(maxsize=16_384)
def _is_possible(possible: Possible, read: str, unit: str) -> bool:
    inside = possible.least.si <= _exact_si(read, unit) <= possible.most.si
    return inside and unit_named(unit).dimension == possible.dimension


def _possible(dimension: str, least: str, most: str, unit: str) -> Any:
    return field(metadata={"possible": Possible(dimension, Reading(least, unit), Reading(most, unit))})


def _maybe(dimension: str, least: str, most: str, unit: str) -> Any:
    possible = Possible(dimension, Reading(least, unit), Reading(most, unit))
    return field(default=None, metadata={"possible": possible})


# Ranges of the possible, not of the good: wide enough for every shaft, tight enough for a slip of the
# pen or a wrong unit (judgment).  Shafts of 0.3 to 6 m and 150 m deep bound the lengths.
def depth() -> Any:
    """Field: a depth below the reference, 0 to 150 m."""
    return _possible("length", "0", "150", "m")


def maybe_depth() -> Any:
    """Field: a depth below the reference, or not read."""
    return _maybe("length", "0", "150", "m")


def maybe_level() -> Any:
    """Field: a tape reading that may lie above the reference, -20 to 150 m, or not read."""
    return _maybe("length", "-20", "150", "m")


def level() -> Any:
    """Field: a tape reading from the reference; negative is above it."""
    return _possible("length", "-20", "150", "m")


def elevation() -> Any:
    """Field: an elevation, -500 to 9000 m."""
    return _possible("length", "-500", "9000", "m")


def maybe_elevation() -> Any:
    """Field: an elevation, or not known."""
    return _maybe("length", "-500", "9000", "m")


def diameter() -> Any:
    """Field: a shaft diameter, 0.3 to 6 m."""
    return _possible("length", "0.3", "6", "m")


def maybe_small_length(least_mm: str = "0", most_mm: str = "5000") -> Any:
    """Field: a short length such as a thickness or an offset, in mm, or not read."""
    return _maybe("length", least_mm, most_mm, "mm")


def maybe_density() -> Any:
    """Field: density of a fluid, 950 to 1500 kg/m3 (59 to 94 pcf), or not tested."""
    return _maybe("density", "950", "1500", "kg/m3")


def maybe_time(least: str, most: str, unit: str) -> Any:
    """Field: a span of time, or not read."""
    return _maybe("time", least, most, unit)


def maybe_ratio(most: str = "100") -> Any:
    """Field: a share from 0 to ``most`` percent, or not known."""
    return _maybe("ratio", "0", most, "%")


def maybe_pressure(least_mpa: str, most_mpa: str) -> Any:
    """Field: a pressure or stress in MPa, or not known."""
    return _maybe("pressure", least_mpa, most_mpa, "MPa")


def maybe_quantity(dimension: str, least: str, most: str, unit: str) -> Any:
    """Field: any other quantity within a range, or not known."""
    return _maybe(dimension, least, most, unit)


def check_readings(values: object) -> None:
    """Hold every reading field of a values object against its possible range.  Raises Impossible."""
    made: type = type(values)
    for name, possible in _possible_of(made):
        reading = getattr(values, name)
        if reading is None:
            continue
        if not isinstance(reading, Reading):
            raise Impossible(
                name,
                str(reading),
                said("a {dimension} with its unit", dimension=word(possible.dimension)),
            )
        possible.check(name, reading)


@lru_cache(maxsize=128)
def _possible_of(made: type) -> tuple[tuple[str, Possible], ...]:
    """The reading fields of a values class, each with its possible range."""
    named = ((each.name, each.metadata.get("possible")) for each in fields(made))
    return tuple((name, possible) for name, possible in named if possible is not None)


def check_text(name: str, text: str, most: int = 2000) -> None:
    """Refuse an empty or endless text, and control characters.  Raises Impossible."""
    if not text.strip():
        raise Impossible(name, text, said("some words"))
    if len(text) > most:
        raise Impossible(name, f"{text[:20]}...", said("at most {most} characters", most=most))
    if _CONTROL.search(text):
        raise Impossible(name, ascii(text[:40]), said("plain text without control characters"))
