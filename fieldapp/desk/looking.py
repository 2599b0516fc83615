"""A shaft as the rules look at it now, for forms that show limits while somebody types."""

from __future__ import annotations

from datetime import datetime

from fieldapp.criteria.look import Look
from fieldapp.desk.workplace import Workplace
from fieldapp.record.said import said


class NotOpen(Exception):
    """Something cannot be recorded on this shaft at this point of the work."""


def look_at(place: Workplace, shaft_id: str, at: datetime | None = None) -> Look:
    """The shaft with its limits and units, at a moment or now.  Raises UnknownShaft, NotOpen."""
    shaft = place.shaft(shaft_id)
    if shaft.scheduled is None:
        raise NotOpen(said("Shaft {shaft} is not scheduled yet: schedule it first.", shaft=shaft_id))
    return Look(place.record(), place.setup(), shaft, shaft.scheduled, at or place.now())
