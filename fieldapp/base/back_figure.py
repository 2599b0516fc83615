"""A closure from a load test held against the recorded sediment, and the locking strain that it implies.

The model says w0 = e_L t.  The strain is offered with its doubt; it is never adopted here: the designer
does that, as an entry, and one test is one shaft.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from fieldapp.base.load_test import Closure
from fieldapp.units import OutOfRange, Range

_THICKNESS: Final = Range("sediment thickness", "m", 0.0, 100.0)
_STRAIN: Final = Range("locking strain", "", 0.0, 0.95, open_below=True)
_LARGEST_STRAIN: Final = 0.95


class Agreement(StrEnum):
    """Whether the closure and the recorded sediment speak of the same layer."""

    AGREES = "the closure agrees with the recorded sediment"
    MORE = "the base moved freely further than the recorded sediment explains"
    LESS = "the base closed earlier than the recorded sediment would make it"


@dataclass(frozen=True, slots=True)
class LayerRecorded:
    """Mean thickness on the base [m] when concrete was placed, with the range of its doubt; 0 to 100 m."""

    low_m: float
    best_m: float
    high_m: float

    def __post_init__(self) -> None:
        _THICKNESS.check(self.low_m, self.best_m, self.high_m)
        _in_order("sediment thickness", self.low_m, self.best_m, self.high_m)


@dataclass(frozen=True, slots=True)
class StrainRange:
    """Locking strain e_L, more than 0 and at most 0.95.  Default 0.15, 0.35, 0.60: judgment."""

    low: float = 0.15
    best: float = 0.35
    high: float = 0.60

    def __post_init__(self) -> None:
        _STRAIN.check(self.low, self.best, self.high)
        _in_order("locking strain", self.low, self.best, self.high)


@dataclass(frozen=True, slots=True)
class StrainOffered:
    """Locking strain back-figured from one test, for the designer to adopt or not.

    ``high`` None: the layer may have been as thin as nothing, so there is no upper end.
    """

    low: float
    best: float
    high: float | None


@dataclass(frozen=True, slots=True)
class AgainstRecord:
    """What the record lets expect [m], how the closure stands to it, and the strain offered.

    ``offered`` None, with ``why_not``, when a strain over 0.95 would be needed or nothing was recorded.
    """

    expected_low_m: float
    expected_best_m: float
    expected_high_m: float
    agreement: Agreement
    offered: StrainOffered | None
    why_not: str


def hold_against_record(
    closure: Closure, recorded: LayerRecorded, strain: StrainRange | None = None
) -> AgainstRecord:
    """Hold a closure against the recorded mean thickness: e_L t expected, e_L = w0/t offered.

    The range offered runs from the low closure over the high thickness to the high closure over the low
    one: both doubts at their worst.  An uneven layer closes at its thinnest places first, so the mean
    thickness gives a strain a little low.  Model: w0 near e_L t (C7); its use on a test is judgment.
    """
    taken = strain or StrainRange()
    low, high = taken.low * recorded.low_m, taken.high * recorded.high_m
    offered, why_not = _offered(closure, recorded)
    agreement = Agreement.AGREES
    if closure.low_m > high:
        agreement = Agreement.MORE
    elif closure.high_m < low:
        agreement = Agreement.LESS
    return AgainstRecord(low, taken.best * recorded.best_m, high, agreement, offered, why_not)


def _offered(closure: Closure, recorded: LayerRecorded) -> tuple[StrainOffered | None, str]:
    if recorded.best_m <= 0:
        return None, "No sediment was recorded, so there is no layer to figure a strain from."
    best = closure.closure_m / recorded.best_m
    if best > _LARGEST_STRAIN:
        return None, "The base moved further than the recorded layer could compress."
    high = closure.high_m / recorded.low_m if recorded.low_m > 0 else None
    return StrainOffered(closure.low_m / recorded.high_m, best, high), ""


def _in_order(quantity: str, low: float, best: float, high: float) -> None:
    if not low <= best <= high:
        raise OutOfRange(quantity, f"{low:g}, {best:g}, {high:g}", "low, best and high in this order")
