"""The only place that reads the clock and makes identifiers; everything else is handed them."""

from __future__ import annotations

from datetime import datetime
from typing import Protocol
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from fieldapp.record.reading import Impossible
from fieldapp.record.said import said


class Clock(Protocol):
    """Tells the time with its offset, and makes an identifier for an entry."""

    def now(self, zone: str) -> datetime:
        """The present moment in a time zone (IANA name)."""
        ...

    def new_id(self) -> str:
        """A new UUID of version 7 (RFC 9562)."""
        ...


class SystemClock:
    """The clock of this device."""

    def now(self, zone: str) -> datetime:
        """The present moment in a time zone, to the second: nobody reads a hole to the microsecond."""
        return datetime.now(zone_named(zone)).replace(microsecond=0)

    def new_id(self) -> str:
        """A new UUID of version 7."""
        from uuid6 import uuid7  # noqa: PLC0415 - not needed before the first entry is made

        return str(uuid7())


def zone_named(zone: str) -> ZoneInfo:
    """The time zone of this IANA name.  Raises Impossible."""
    try:
        return ZoneInfo(zone)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise Impossible("time_zone", zone, said("an IANA name such as America/Denver")) from None
