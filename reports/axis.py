"""Axes of charts: round steps, clock ticks, and how an axis is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

from reports.fonts import REGULAR
from reports.quantities import Shown
from reports.style import HAIR, INK, SOFT

SIZE_PT: Final = 7.0
_TICK_ROOM_PT: Final = 42.0
_STEPS_H: Final = (0.25, 0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0, 96.0, 168.0, 336.0, 672.0, 8760.0)


@dataclass(frozen=True, slots=True)
class LimitLine:
    """A limit in the unit of a chart, with its words; ``lower`` for one that is asked to be reached."""

    value: float
    label: str
    lower: bool = False


def round_step(spread: float, most_steps: float) -> float:
    """The least step of 1, 2 or 5 times a power of ten that cuts the spread into no more than so many."""
    wanted = spread / most_steps
    power = 10.0 ** math.floor(math.log10(wanted))
    return next(power * part for part in (1, 2, 5, 10) if power * part >= wanted)


def round_range(values: list[float], height_pt: float) -> tuple[float, float, float]:
    """Low end, step and high end of an axis in steps of 1, 2 or 5 times a power of ten."""
    low, high = min(values), max(values)
    spread = max(high - low, abs(high) * 0.05, 1e-6)
    step = round_step(spread * 1.2, max(2, int(height_pt / 30)))
    bottom = math.floor((low - spread * 0.08) / step) * step
    if low >= 0:
        bottom = max(bottom, 0.0)
    return bottom, step, math.ceil((high + spread * 0.12) / step) * step


def clock_ticks(
    hours: tuple[float, float], width_pt: float, shown: Shown, start: datetime
) -> tuple[list[float], list[str]]:
    """Ticks [h after ``start``] and their labels: the clock, and the day where it is a new one."""
    room = max(2, int(width_pt / _TICK_ROOM_PT))
    span = hours[1] - hours[0]
    step = next(each for each in _STEPS_H if span / each <= room or each == _STEPS_H[-1])
    first = math.ceil(hours[0] / step)
    ticks = [k * step for k in range(first, math.floor(hours[1] / step) + 1)] or [hours[0]]
    return ticks, list(_labels(ticks, shown, start))


def format_of(step: float) -> str:
    """Format of labels that stand a step apart: digits enough and no more."""
    return f"%.{max(0, -math.floor(math.log10(step) + 1e-9))}f"


def plain_axis(axis: Any, grid: bool = False) -> None:
    """Line, letters and grid of an axis as all charts have them."""
    axis.strokeColor, axis.strokeWidth = INK, 0.8
    axis.labels.fontName, axis.labels.fontSize, axis.labels.fillColor = REGULAR, SIZE_PT, SOFT
    if grid:
        axis.visibleGrid, axis.gridStrokeColor, axis.gridStrokeWidth = 1, HAIR, 0.4


def hours_of(span: timedelta) -> float:
    """A span in hours."""
    return span.total_seconds() / 3600


def _labels(ticks: list[float], shown: Shown, start: datetime) -> Iterator[str]:
    day = ""
    for each in ticks:
        moment = start + timedelta(hours=each)
        before, day = day, shown.day(moment)
        yield shown.clock(moment) + (f"\n{day}" if day != before else "")
