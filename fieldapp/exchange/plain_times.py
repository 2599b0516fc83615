"""Times as they are written in a plain log, made into moments with their offset.

A clock time belongs to the day line above it.  A time that the zone skips or has twice on that day is
refused unless its offset is written out.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone
from typing import Final
from zoneinfo import ZoneInfo

from fieldapp.record.reading import Impossible

_CLOCK: Final = r"(?P<clock>\d{1,2}:\d{2}(?::\d{2})?)"
_OFFSET: Final = r"(?: ?(?P<offset>[+-]\d{2}:\d{2}))?"
TIME: Final = re.compile(rf"{_CLOCK}{_OFFSET}")
_MOMENT: Final = re.compile(rf"(?:(?P<day>\d{{4}}-\d{{2}}-\d{{2}})[ T]+)?{_CLOCK}{_OFFSET}")
_FIRST_YEAR: Final = 2000
_LAST_YEAR: Final = 2099


@dataclass(frozen=True, slots=True)
class Ground:
    """The day and the time zone against which clock times are read."""

    day: date
    zone: ZoneInfo


def read_zone(name: str) -> ZoneInfo:
    """Time zone of a name like America/Denver.  Raises Impossible."""
    try:
        return ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        raise Impossible("zone", name, "a time zone like America/Denver or Europe/Brussels") from None


def read_day(text: str) -> date:
    """Day from ``2026-05-12``.  Raises Impossible."""
    try:
        day = date.fromisoformat(text) if len(text) == len("2026-05-12") else None
    except ValueError:
        day = None
    if day is None or not _FIRST_YEAR <= day.year <= _LAST_YEAR:
        raise Impossible("day", text, "a day like 2026-05-12, from 2000 to 2099")
    return day


def read_moment(name: str, text: str, ground: Ground) -> datetime:
    """Moment from ``14:05``, ``14:05:30``, ``2026-05-13 08:00`` or one of these with ``-06:00`` behind it.

    Raises Impossible for anything else, and for a time that the zone skips or has twice on that day.
    """
    found = _MOMENT.fullmatch(text.strip())
    if found is None:
        raise Impossible(name, text, "a time like 14:05 or 2026-05-13 08:00")
    day = read_day(found["day"]) if found["day"] else ground.day
    try:
        clock = time.fromisoformat(
            found["clock"].zfill(len("14:05:00") if found["clock"].count(":") > 1 else 5)
        )
        if found["offset"]:
            return datetime.fromisoformat(f"{day.isoformat()}T{clock.isoformat()}{found['offset']}")
    except ValueError:
        raise Impossible(name, text, "a time from 00:00 to 23:59") from None
    return _placed(name, text, datetime.combine(day, clock), ground.zone)


def _placed(name: str, text: str, wall: datetime, zone: ZoneInfo) -> datetime:
    first = wall.replace(tzinfo=zone)
    offset, later = first.utcoffset(), wall.replace(tzinfo=zone, fold=1).utcoffset()
    if offset is None or offset != later:
        skipped = first.astimezone(UTC).astimezone(zone).replace(tzinfo=None) != wall
        often = "is skipped" if skipped else "comes twice"
        raise Impossible(
            name,
            text,
            f"a time with its offset, like 01:30-07:00: it {often} when the clocks change that day",
        )
    if offset % timedelta(minutes=1):
        raise Impossible(name, text, "a time zone with an offset of whole minutes")
    return wall.replace(tzinfo=timezone(offset))
