"""Entries on the base itself: cleanout passes and rounds of soundings.

A sounding is two depths, first contact and firm bottom.  With one of them missing the thickness is
unknown, never 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from functools import lru_cache
from typing import ClassVar

from fieldapp.record.hole import check_span
from fieldapp.record.reading import (
    Impossible,
    Reading,
    check_readings,
    check_text,
    maybe_depth,
    maybe_pressure,
    maybe_quantity,
    maybe_small_length,
    reading_of,
)
from fieldapp.record.said import said
from fieldapp.record.words import CleanoutMethod, RoundWhy


@dataclass(frozen=True, slots=True)
class CleanoutPass:
    """One pass over the base; depths are firm-looking bottom before and after, by tape."""

    KIND: ClassVar[str] = "cleanout pass"
    VERSION: ClassVar[int] = 1

    number: int
    method: CleanoutMethod
    started_at: datetime
    ended_at: datetime | None = None
    came_up: str = ""
    depth_before: Reading | None = maybe_depth()
    depth_after: Reading | None = maybe_depth()
    air_pressure: Reading | None = maybe_pressure("0", "3")
    injection_depth: Reading | None = maybe_depth()

    def __post_init__(self) -> None:
        check_readings(self)
        check_span(self.started_at, self.ended_at)
        if not 1 <= self.number <= 999:
            raise Impossible("number", str(self.number), said("a pass number from 1 to 999"))


@dataclass(frozen=True, slots=True)
class SoundingPoint:
    """One place on the base.  ``angle`` runs clockwise from upstation, ``r`` from the centre.

    Either both depths, one of them, a thickness read directly, or a reason why there is no reading.
    """

    label: str
    r: Reading | None = maybe_small_length("0", "3000")
    angle: Reading | None = maybe_quantity("angle", "0", "360", "deg")
    first_contact: Reading | None = maybe_depth()
    firm: Reading | None = maybe_depth()
    thickness: Reading | None = maybe_small_length("0", "5000")
    no_reading: str = ""

    def __post_init__(self) -> None:
        check_text("label", self.label, 20)
        check_readings(self)
        if self.r is None or self.angle is None:
            raise Impossible(
                said("position of point {label}", label=self.label),
                said("r {r}, angle {angle}", r=self.r, angle=self.angle),
                said("r and angle"),
            )
        self._check_depths()
        depths = [self.first_contact, self.firm, self.thickness]
        if bool(self.no_reading) == any(each is not None for each in depths):
            raise Impossible(
                said("point {label}", label=self.label),
                self.no_reading or said("nothing"),
                said("either readings, or why there is no reading"),
            )

    def _check_depths(self) -> None:
        if self.first_contact is None or self.firm is None:
            return
        thickness = _between(self.first_contact, self.firm)
        if thickness < 0:
            raise Impossible(
                said("firm depth of point {label}", label=self.label),
                str(self.firm),
                said("not above first contact at {first_contact}", first_contact=self.first_contact),
            )
        if self.thickness is not None and self.thickness.si != thickness:
            raise Impossible(
                said("thickness of point {label}", label=self.label),
                str(self.thickness),
                said("firm depth less first contact, or nothing"),
            )

    @property
    def thickness_m(self) -> Fraction | None:
        """Sediment thickness [m], exact; None when it was not shown."""
        if self.thickness is not None:
            return self.thickness.si
        if self.first_contact is None or self.firm is None:
            return None
        return _between(self.first_contact, self.firm)


def _between(first_contact: Reading, firm: Reading) -> Fraction:
    return _exact_between(first_contact.read, first_contact.unit, firm.read, firm.unit)


@lru_cache(maxsize=16_384)  # rules, rows and papers ask for the same few thousand differences again and again
def _exact_between(first_read: str, first_unit: str, firm_read: str, firm_unit: str) -> Fraction:
    return reading_of(firm_read, firm_unit).si - reading_of(first_read, first_unit).si


@dataclass(frozen=True, slots=True)
class SoundingRound:
    """One set of soundings of the whole base, made together."""

    KIND: ClassVar[str] = "sounding round"
    VERSION: ClassVar[int] = 1

    number: int
    why: RoundWhy
    instrument: str
    points: tuple[SoundingPoint, ...]
    after_pass: int | None = None
    text: str = ""

    def __post_init__(self) -> None:
        check_text("instrument", self.instrument, 60)
        if not 1 <= self.number <= 999:
            raise Impossible("number", str(self.number), said("a round number from 1 to 999"))
        if not self.points:
            raise Impossible("points", said("nothing"), said("at least one point"))
        labels = [point.label for point in self.points]
        if len(set(labels)) != len(labels):
            raise Impossible("points", ", ".join(labels), said("each label once"))
