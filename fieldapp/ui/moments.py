"""Times as the screens say them, from ISO text with its offset.  Nothing here reads a clock."""

from __future__ import annotations

from datetime import datetime, timedelta

from fieldapp.ui.words.months import MONTHS
from fieldapp.ui.words.tongue import tr


def hours_minutes(moment: datetime) -> str:
    """``14:05``."""
    return f"{moment:%H:%M}"


def to_the_second(moment: datetime) -> str:
    """``14:05:09``, for what was saved."""
    return f"{moment:%H:%M:%S}"


def day(moment: datetime) -> str:
    """``18 May``."""
    return f"{moment.day} {tr(MONTHS[moment.month - 1])}"


def day_and_time(moment: datetime) -> str:
    """``18 May 14:05``."""
    return f"{day(moment)} {hours_minutes(moment)}"


def remaining(span: timedelta) -> str:
    """``0:48``: hours and minutes that are left, rounded down."""
    minutes = int(span.total_seconds() // 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def left(span: timedelta) -> str:
    """``1 h 18`` or ``48 min``, rounded down: what cannot be taken for a time of day."""
    minutes = int(span.total_seconds() // 60)
    return f"{minutes // 60} h {minutes % 60:02d}" if minutes >= 60 else f"{minutes} min"


def with_month(text: str) -> str:
    """``18 May 14:05`` as the desk says it, with the month in the chosen language."""
    return " ".join(tr(each) if each in MONTHS else each for each in text.split(" "))


def apart(text: str) -> tuple[str, str]:
    """``18 May 14:05`` in two: the time of day, and the day."""
    date, _, time = text.rpartition(" ")
    return time, date
