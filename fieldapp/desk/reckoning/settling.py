"""How long the stated sediment would keep each set of limits while the sand in the fluid settles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from fieldapp.base.assured import even_rise_room
from fieldapp.exchange.reckoning import Reckoning, ThicknessLimits
from fieldapp.fluid.forecast import Answer, Outlook, ThicknessLimit, forecast
from fieldapp.units import Number, OutOfRange

STEPS: Final = 49


@dataclass(frozen=True, slots=True)
class LimitsAhead:
    """The forecast against one set of limits; ``room_m`` is the even rise that the set still allows.

    ``room_m`` None: not shown.  Less than 0: the limits are broken as it stands, and ``answer`` is None.
    """

    limits: ThicknessLimits
    room_m: float | None
    answer: Answer | None


@dataclass(frozen=True, slots=True)
class SettlingAhead:
    """The course of the mean thickness, and against each set of limits."""

    mean_m: float | None
    answer: Answer
    by_limits: tuple[LimitsAhead, ...]


def settling_ahead(asked: Reckoning, cells: Sequence[tuple[Number | None, float]]) -> SettlingAhead:
    """Forecast from the file's fluid on top of its sediment: cells as (thickness [m], share).

    Raises OutOfRange.
    """
    if asked.fluid is None:
        raise OutOfRange("fluid above the base", "not stated", "stated, with samples")
    column, times = asked.fluid.column, np.linspace(0.0, asked.fluid.horizon_s, STEPS)
    steps = tuple(float(each) for each in times)
    known = [(thick, share) for thick, share in cells if thick is not None]
    complete = len(known) == len(cells) and bool(cells)
    mean = float(sum(float(thick) * share for thick, share in known)) if complete else None

    def against(limits: ThicknessLimits) -> LimitsAhead:
        if mean is None:
            return LimitsAhead(limits, None, None)
        thickness, shares = [each for each, _ in known], [share for _, share in known]
        room, strict = even_rise_room(thickness, shares, limits.asked)
        if room < 0 or (strict and room == 0):
            return LimitsAhead(limits, room, None)
        limit = ThicknessLimit(mean + room, strict)
        return LimitsAhead(limits, room, forecast(column, Outlook(mean, steps, limit)))

    answer = forecast(column, Outlook(mean, steps))
    return SettlingAhead(mean, answer, tuple(against(each) for each in asked.limits))
