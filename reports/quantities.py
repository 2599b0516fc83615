"""Numbers and times as the project shows them: its units, its time zone.

A reading always stands as it was read; the project's unit follows in brackets when it was read in another.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from fractions import Fraction
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from fieldapp.criteria.phrasing import Phrases, Quantity
from fieldapp.record.reading import Reading
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.words import UnitSystem
from fieldapp.units import Number, show, unit_named

_OF: Final = {
    UnitSystem.US: frozenset(
        {"ft", "in", "ft-in", "pcf", "lb/gal", "psi", "ksi", "psf", "ksf", "kip", "degF", "ft3", "yd3", "gal"}
        | {"qt", "in/h"}
    ),
    UnitSystem.SI: frozenset(
        {"m", "cm", "mm", "kg/m3", "g/cm3", "MPa", "kPa", "bar", "MN", "kN", "degC", "m3", "L", "mm/h", "m/h"}
    ),
}
_SHORT_LENGTH_M: Final = 0.6
_SMALL_VOLUME_M3: Final = 0.01
_UNIT: Final[dict[UnitSystem, dict[str, tuple[str, int]]]] = {
    UnitSystem.US: {
        "length": ("ft", 2),
        "short length": ("in", 2),
        "density": ("pcf", 1),
        "pressure": ("psi", 0),
        "force": ("kip", 0),
        "temperature": ("degF", 0),
        "volume": ("yd3", 1),
        "small volume": ("qt", 2),
        "rise": ("in/h", 1),
    },
    UnitSystem.SI: {
        "length": ("m", 3),
        "short length": ("mm", 1),
        "density": ("g/cm3", 3),
        "pressure": ("MPa", 3),
        "force": ("kN", 0),
        "temperature": ("degC", 1),
        "volume": ("m3", 1),
        "small volume": ("mL", 0),
        "rise": ("mm/h", 1),
    },
}


@dataclass(frozen=True, slots=True)
class Shown:
    """How a project shows numbers and times; ``zone_note`` says so when its zone is not known here."""

    units: UnitSystem
    zone: tzinfo
    zone_name: str
    zone_note: str = ""

    def unit_of(self, dimension: str) -> tuple[str, int]:
        """Unit and digits of a dimension (``density``, ``short length`` ...) on this project."""
        return _UNIT[self.units][dimension]

    def quantity(self, value_si: Number, dimension: str) -> str:
        """Text of an SI value in the project's unit of the dimension."""
        return show(value_si, *self.unit_of(dimension))

    @property
    def phrases(self) -> Phrases:
        """How findings say quantities, so that drawings say them alike."""
        return Phrases(self.units)

    def thickness(self, value_m: Fraction) -> str:
        """Text of a sediment thickness [m] with its unit: ``1 3/8 in``, ``34.9 mm``."""
        return self.phrases.say(Quantity.THICKNESS, value_m)

    def reading(self, reading: Reading) -> str:
        """A reading as it was read, with the project's unit in brackets when it was read in another."""
        other = UnitSystem.SI if self.units is UnitSystem.US else UnitSystem.US
        return self._with(reading, self.units, 3) if reading.unit in _OF[other] else str(reading)

    def both(self, reading: Reading) -> str:
        """A reading as it was read, with the other unit system in brackets."""
        read_in = UnitSystem.US if reading.unit in _OF[UnitSystem.US] else UnitSystem.SI
        return self._with(reading, UnitSystem.SI if read_in is UnitSystem.US else UnitSystem.US, 2)

    def _with(self, reading: Reading, units: UnitSystem, most_digits: int) -> str:
        name = reading.dimension
        if name == "length" and abs(reading.si) < _SHORT_LENGTH_M:
            name = "short length"
        if name == "volume" and abs(reading.si) < _SMALL_VOLUME_M3:
            name = "small volume"
        symbol, digits = _UNIT[units].get(name, (unit_named(reading.unit).symbol, 2))
        return f"{reading} ({show(reading.si, symbol, min(digits, most_digits))})"

    def local(self, moment: datetime) -> datetime:
        """The moment in the project's time zone."""
        return moment.astimezone(self.zone)

    def day(self, moment: datetime) -> str:
        """Day in the project's zone: ``2026-05-12``."""
        return f"{self.local(moment):%Y-%m-%d}"

    def clock(self, moment: datetime) -> str:
        """Hour and minute in the project's zone: ``09:40``."""
        return f"{self.local(moment):%H:%M}"

    def moment(self, moment: datetime) -> str:
        """Day, hour and minute in the project's zone."""
        return f"{self.day(moment)} {self.clock(moment)}"

    def zoned(self, moment: datetime) -> str:
        """The same with the zone's letters, which tell summer from winter time."""
        return f"{self.moment(moment)} {self.local(moment).tzname()}"


def shown_by(setup: ProjectSetup) -> Shown:
    """How this project shows things; times stand in UTC, and say so, when its zone is not known here."""
    try:
        return Shown(setup.units, ZoneInfo(setup.time_zone), setup.time_zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        note = f"The time zone '{setup.time_zone}' is not known here: all times stand in UTC."
        return Shown(setup.units, UTC, "UTC", note)


def span_text(span: timedelta) -> str:
    """A span in hours and minutes: ``11 h 20 min``, ``25 min``, ``2 days 3 h``."""
    minutes = round(abs(span.total_seconds()) / 60)
    days, minutes = divmod(minutes, 1440)
    hours, minutes = divmod(minutes, 60)
    parts = [(days, "day" if days == 1 else "days"), (hours, "h"), (0 if days else minutes, "min")]
    return " ".join(f"{count} {name}" for count, name in parts if count) or "0 min"
