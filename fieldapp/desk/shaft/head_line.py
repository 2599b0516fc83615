"""The head of a shaft over time, against the head that is asked for: what a chart of it needs.

A reading for which no piezometric level is known has no head: it is counted, never drawn as zero.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from typing import Final

from fieldapp.criteria.head_rules import heads_of
from fieldapp.criteria.holding import is_within, limit_value
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import Quantity, at_least
from fieldapp.desk.looking import look_at
from fieldapp.desk.workplace import Workplace
from fieldapp.record.acceptance import Parameter
from fieldapp.record.words import Caution, UnitSystem
from fieldapp.units import from_si

_UNIT: Final = {UnitSystem.US: "ft", UnitSystem.SI: "m"}


@dataclass(frozen=True, slots=True)
class HeadPoint:
    """The head at a reading, in the unit of the line; ``outcome`` is empty where nothing is asked."""

    at: datetime
    head: float
    outcome: str


@dataclass(frozen=True, slots=True)
class HeadLine:
    """Every reading with a head by time, the head asked for, and the longest time without a reading [s].

    ``unknown`` counts the readings for which no piezometric level is known.
    """

    points: tuple[HeadPoint, ...]
    level: float | None
    level_text: str
    unit: str
    gap_s: float | None
    unknown: int


def head_line(place: Workplace, shaft_id: str, at: datetime | None) -> HeadLine:
    """The head of a shaft over time up to a moment, or now.  Raises UnknownShaft, NotOpen."""
    look = look_at(place, shaft_id, at)
    unit, asked = _UNIT[look.setup.units], look.limit("min_head")
    level = _level(look, asked)
    heads, zone = heads_of(look), look.at.tzinfo
    points = tuple(
        HeadPoint(
            each.line.observed_at.astimezone(zone),
            from_si(each.head_m, unit),
            _outcome(each.head_m, level, asked),
        )
        for each in heads
        if each.head_m is not None
    )
    gap = look.number("max_head_gap")
    return HeadLine(
        points=points,
        level=None if level is None else from_si(level, unit),
        level_text=""
        if level is None or asked is None
        else at_least(look.phrases.say(Quantity.HEAD, level), asked.strict),
        unit=unit,
        gap_s=None if gap is None else float(gap),
        unknown=len(heads) - len(points),
    )


def _level(look: Look, asked: Parameter | None) -> Fraction | None:
    """Head [m] that is asked for, with what an artesian level adds; None while it is not entered."""
    if asked is None or asked.reading is None:
        return None
    artesian = Caution.ARTESIAN in look.scheduled.cautions
    return limit_value(asked) + ((look.number("artesian_extra") or Fraction(0)) if artesian else Fraction(0))


def _outcome(head_m: Fraction, level: Fraction | None, asked: Parameter | None) -> str:
    if level is None or asked is None:
        return ""
    return "met" if is_within(head_m, level, asked.strict, upper=False) else "not met"
