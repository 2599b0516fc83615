"""How quantities are said to people on a project, in the project's units.

Rounding is for the eye only: nothing is compared here.  Where rounding would make a value look like
the limit that it misses, more digits are shown.  Texts are said (`fieldapp.record.said`), so that another
language says them from their templates.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Final

from fieldapp.record.acceptance import Parameter
from fieldapp.record.reading import Reading
from fieldapp.record.said import Said, said, sayable
from fieldapp.record.words import UnitSystem
from fieldapp.units import INCH_M, UNITS, show, show_feet_inch

_MOST_DIGITS: Final = 4
_G_PER_CM3_DIGITS: Final = 2
_SMALLEST_PART_OF_AN_INCH: Final = 8
_MONTHS: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_NAMED: Final = {
    "point": (sayable("point {names}"), sayable("points {names}")),
    "device": (sayable("device {names}"), sayable("devices {names}")),
}


class Quantity(StrEnum):
    """What is said, because a length is said in one way as a thickness and in another as a depth."""

    THICKNESS = "thickness"
    DEPTH = "depth"
    HEAD = "head"
    ELEVATION = "elevation"
    DENSITY = "density"
    FUNNEL = "funnel time"
    SHARE = "share"
    ACIDITY = "acidity"
    TEMPERATURE = "temperature"
    RISE = "rise"
    HOURS = "hours"
    VOLUME = "volume"
    PRESSURE = "pressure"


# Unit in US projects, unit in SI projects, digits after the point.
_SAID: Final[dict[Quantity, tuple[str, str, int]]] = {
    Quantity.THICKNESS: ("in", "mm", 1),
    Quantity.DEPTH: ("ft-in", "m", 2),
    Quantity.HEAD: ("ft", "m", 1),
    Quantity.ELEVATION: ("ft", "m", 2),
    Quantity.DENSITY: ("pcf", "g/cm3", 1),
    Quantity.FUNNEL: ("s", "s", 1),
    Quantity.SHARE: ("%", "%", 1),
    Quantity.ACIDITY: ("pH", "pH", 1),
    Quantity.TEMPERATURE: ("degF", "degC", 1),
    Quantity.RISE: ("in/h", "mm/h", 1),
    Quantity.HOURS: ("h", "h", 1),
    Quantity.VOLUME: ("mL", "mL", 0),
    Quantity.PRESSURE: ("psf", "kPa", 2),
}


@dataclass(frozen=True, slots=True)
class Phrases:
    """Says quantities in the units of a project."""

    units: UnitSystem

    def say(self, quantity: Quantity, si: Fraction, extra_digits: int = 0) -> str:
        """Text of an SI value: ``1 1/2 in``, ``61' 4 1/2"``, ``68.5 pcf``, ``45 s/qt``, ``25 mm``."""
        american, metric, digits = _SAID[quantity]
        us = self.units is UnitSystem.US
        unit = american if us else metric
        if unit == "g/cm3":
            digits = _G_PER_CM3_DIGITS
        if quantity is Quantity.THICKNESS and us:
            return _inches(si, digits + 1 + extra_digits)
        if quantity is Quantity.DEPTH and us:
            return show_feet_inch(si, _SMALLEST_PART_OF_AN_INCH * 2**extra_digits)
        text = show(si, unit, digits + extra_digits)
        if quantity is Quantity.FUNNEL and us:
            return f"{text}/qt"
        return text

    def apart(self, quantity: Quantity, value: Fraction, limit: Fraction) -> tuple[str, str]:
        """Texts of a value and its limit, with digits enough to tell them apart when they differ."""
        return _apart(self.units, quantity, value.as_integer_ratio(), limit.as_integer_ratio())


@lru_cache(maxsize=4096)  # by whole numbers: the hash of a fraction is slow
def _apart(
    units: UnitSystem, quantity: Quantity, value_si: tuple[int, int], limit_si: tuple[int, int]
) -> tuple[str, str]:
    phrases, value, limit = Phrases(units), Fraction(*value_si), Fraction(*limit_si)
    first = _digits_of(phrases.units, quantity, limit)
    said = phrases.say(quantity, value, first), phrases.say(quantity, limit, first)
    for extra in range(first + 1, _MOST_DIGITS + 1):
        if said[0] != said[1] or value == limit:
            break
        said = phrases.say(quantity, value, extra), phrases.say(quantity, limit, extra)
    return said


def _digits_of(units: UnitSystem, quantity: Quantity, limit: Fraction) -> int:
    """Extra digits that a limit needs to be said as it was written; none where no few do."""
    american, metric, digits = _SAID[quantity]
    unit = UNITS[american if units is UnitSystem.US else metric]
    if unit.symbol == "ft-in":
        return 0
    number = limit / unit.factor - unit.shift
    digits = _G_PER_CM3_DIGITS if unit.symbol == "g/cm3" else digits
    exact = (extra for extra in range(3) if (number * 10 ** (digits + extra)).denominator == 1)
    return next(exact, 0)


def _inches(si: Fraction, digits: int) -> str:
    eighths = si / INCH_M * _SMALLEST_PART_OF_AN_INCH
    if eighths.denominator != 1:
        return show(si, "in", digits)
    whole, part = divmod(abs(int(eighths)), _SMALLEST_PART_OF_AN_INCH)
    fraction = str(Fraction(part, _SMALLEST_PART_OF_AN_INCH)) if part else ""
    number = f"{whole} {fraction}".strip() if whole else fraction or "0"
    return f"{'-' if eighths < 0 else ''}{number} in"


@lru_cache(maxsize=4096)
def at_most(limit: str, strict: bool) -> str:
    """``at most 1/2 in``, or ``under 1/2 in`` where the limit itself is refused."""
    return said("under {limit}", limit=limit) if strict else said("at most {limit}", limit=limit)


@lru_cache(maxsize=4096)
def at_least(limit: str, strict: bool) -> str:
    """``at least 50 %``, or ``over 50 %`` where the limit itself is refused."""
    return said("over {limit}", limit=limit) if strict else said("at least {limit}", limit=limit)


def source_of(*parameters: Parameter | None) -> str:
    """Sources of the limits with their confidence, each once."""
    return joined(dict.fromkeys([_source(each) for each in parameters if each is not None]), "; ")


def _source(each: Parameter) -> str:
    return _sourced(each.source, each.edition, each.clause, each.confidence, each.verified_by)


@lru_cache(maxsize=1024)
def _sourced(document: str, edition: str, clause: str, confidence: str, name: str) -> str:
    source = " ".join(part for part in (document, edition, clause) if part)
    how = term(confidence)
    if name:
        return said("{source} ({how}, verified by {name})", source=source, how=how, name=name)
    return said("{source} ({how})", source=source, how=how)


def named(what: str, names: Iterable[str]) -> str:
    """``point 4``, ``points 4, 5``, or nothing."""
    found = list(names)
    return said(_NAMED[what][len(found) > 1], names=", ".join(found)) if found else ""


def term(word: str) -> str:
    """A word out of a closed list, said: it is translated wherever it stands.  What is said stays so."""
    if isinstance(word, Said):
        return word
    return Said("{word}", {"word": word}) if "{" in word else Said(word)


def parameter_name(name: str) -> str:
    """The name of a parameter as people read it, said: ``min points``."""
    return term(name.replace("_", " "))


def joined(parts: Iterable[str], between: str = ", ") -> str:
    """Texts in a row with a mark between them, each still said as it was."""
    values = {f"part{number}": each for number, each in enumerate(parts)}
    if len(values) < 2:  # nothing stands between fewer
        return next(iter(values.values()), "")
    return Said(between.join(f"{{{name}}}" for name in values), values)


def both(parts: Iterable[str]) -> str:
    """Texts with ``and`` between them."""
    whole = ""
    for each in parts:
        whole = said("{first} and {second}", first=whole, second=each) if whole else each
    return whole


def sentence(text: str) -> str:
    """The text with a capital at its beginning; point labels and pH keep theirs."""
    if text.startswith("pH") or not text[:1].islower():
        return text
    raised = text[:1].upper() + text[1:]
    return text.written(raised) if isinstance(text, Said) else raised


def unended(text: str) -> str:
    """The text without its last point, to stand inside another sentence."""
    return text.written(text.rstrip(".")) if isinstance(text, Said) else text.rstrip(".")


def clock(moment: datetime) -> str:
    """Day and time as the observer's clock had it: ``12 May 14:05``."""
    return _clock(moment.month, moment.day, moment.hour, moment.minute)


@lru_cache(maxsize=4096)
def _clock(month: int, day: int, hour: int, minute: int) -> str:
    time = f"{hour:02d}:{minute:02d}"
    return said("{day} {month} {time}", day=day, month=term(_MONTHS[month - 1]), time=time)


def clock_of_year(moment: datetime) -> str:
    """Day, year and time, for what is far from the work: ``12 May 2029 14:05``."""
    month, time = term(_MONTHS[moment.month - 1]), f"{moment:%H:%M}"
    return said("{day} {month} {year} {time}", day=moment.day, month=month, year=moment.year, time=time)


def clock_zoned(moment: datetime, zone: tzinfo | None) -> str:
    """Day and time in a zone, with the zone's letters: ``12 May 14:05 MDT``."""
    local = moment.astimezone(zone)
    return said("{time} {zone}", time=clock(local), zone=local.tzname())


def clock_seen(moment: datetime, now: datetime) -> str:
    """A moment in the zone of ``now``, with its year where that is another: ``12 May 14:05``."""
    local = moment.astimezone(now.tzinfo)
    return clock(local) if local.year == now.year else clock_of_year(local)


def clock_in_full(moment: datetime, now: datetime) -> str:
    """A moment in the zone of ``now``, always with its year: ``12 May 2029 14:05``."""
    return clock_of_year(moment.astimezone(now.tzinfo))


def as_read(reading: Reading) -> str:
    """A reading as it was written: ``4 h``, ``1 day``."""
    return _days(reading.read) if reading.unit == "day" else str(reading)


def days(span: Fraction) -> str:
    """A span of time [s] in days: ``3 day``."""
    return _days(show(span, "day").removesuffix(" day"))


def _days(number: str) -> str:
    return said("{number} day", number=number)


def seconds(span: timedelta) -> Fraction:
    """A span of time in seconds, exactly."""
    return Fraction(span // timedelta(microseconds=1), 1_000_000)


def longest_within(limit_s: Fraction) -> timedelta:
    """The longest span of time, as clocks write it, that is not over a number of seconds."""
    step = timedelta(microseconds=1)
    return step * min(limit_s * 1_000_000 // 1, timedelta.max // step)


def unit_dimension(parameter: Parameter) -> str:
    """What the parameter's value measures, such as ``length`` or ``ratio``."""
    return UNITS[parameter.unit].dimension if parameter.unit else ""
