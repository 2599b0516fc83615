"""The least and the most likely value of a field: from its possible range and from the plan of the shaft.

Likely, not allowed: a value outside is looked at again, and refused only where the record calls it
impossible.  The distances from the plan are judgment.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from typing import Final

from fieldapp.base.disk import BaseDisk
from fieldapp.criteria.look import Look
from fieldapp.desk.entry_forms.measures import Near
from fieldapp.desk.entry_forms.sheet import Sheet, Spec, possible_of
from fieldapp.record.reading import Reading
from fieldapp.units import FOOT_M, UNITS, read_si

Range = tuple[Fraction, Fraction]

OFF_PLAN_M: Final = 20 * FOOT_M
OVER_GROUND_M: Final = 50 * FOOT_M
_DIGITS: Final = 3


def plausible(spec: Spec, sheet: Sheet, look: Look | None, unit: str) -> tuple[str, str] | None:
    """Least and most likely value as text in ``unit``; None where nothing bounds it."""
    known = likely_si(spec, sheet, look)
    return None if known is None else (_text(known[0], unit, up=True), _text(known[1], unit, up=False))


def likely_si(spec: Spec, sheet: Sheet, look: Look | None) -> Range | None:
    """Least and most likely value in SI; the part of it that is possible."""
    bounds = possible_of(spec, sheet)
    possible = None if bounds is None else (bounds.least.si, bounds.most.si)
    likely = _narrow(spec, look)
    if likely is None or possible is None:
        return likely or possible
    low, high = max(likely[0], possible[0]), min(likely[1], possible[1])
    return (low, high) if low < high else possible


def _narrow(spec: Spec, look: Look | None) -> Range | None:
    if spec.likely is not None:
        least, most, unit = spec.likely
        return read_si(least, unit), read_si(most, unit)
    if look is None or spec.near not in _NEAR:
        return None
    return _NEAR[spec.near](look)


def _deepest_m(look: Look) -> Fraction:
    return max(look.scheduled.plan_depth_m, look.base_depth or Fraction(0)) + OFF_PLAN_M


def _near_base(look: Look) -> Range:
    plan = look.scheduled.plan_depth_m
    return max(min(plan, look.base_depth or plan) - OFF_PLAN_M, Fraction(0)), _deepest_m(look)


def _near_tip(look: Look) -> Range:
    tip = look.scheduled.tip_elevation.si
    return tip - OFF_PLAN_M, tip + OFF_PLAN_M


def _near_diameter(look: Look) -> Range:
    planned = look.scheduled.diameter.si
    return planned * Fraction(3, 4), planned * Fraction(3, 2)


def _near_volume(look: Look) -> Range:
    area = Fraction(BaseDisk(float(look.scheduled.diameter.si)).area_m2)
    planned = area * look.scheduled.plan_depth_m
    return planned / 2, planned * 3


_NEAR: Final[dict[Near, Callable[[Look], Range]]] = {
    Near.HOLE: lambda look: (Fraction(0), _deepest_m(look)),
    Near.BASE: _near_base,
    Near.LEVEL: lambda look: (-OFF_PLAN_M, _deepest_m(look)),
    Near.TIP: _near_tip,
    Near.GROUND: lambda look: (
        look.scheduled.tip_elevation.si - OFF_PLAN_M,
        look.scheduled.reference_elevation.si + OVER_GROUND_M,
    ),
    Near.DIAMETER: _near_diameter,
    Near.RADIUS: lambda look: (Fraction(0), look.scheduled.diameter.si / 2),
    Near.VOLUME: _near_volume,
}


def _text(si: Fraction, unit: str, up: bool) -> str:
    """A bound as text, rounded into the range: to whole feet, or to three digits and at most to a whole."""
    made = UNITS[unit]
    number = si / made.factor - made.shift
    rounded = math.ceil if up else math.floor
    if unit == "ft-in":
        feet = rounded(number)
        return f"{'-' if feet < 0 else ''}{abs(feet)}' 0\""
    size = abs(float(number))
    step = Fraction(10) ** min(0, math.floor(math.log10(size)) + 1 - _DIGITS) if size else Fraction(1)
    return as_decimal(rounded(number / step) * step)


def as_decimal(number: Fraction) -> str:
    """A decimal fraction as text, without noise: ``0.05``, ``61.5``."""
    text = f"{float(number):.6f}"
    return text.rstrip("0").rstrip(".") or "0"


def bounds_si(plausible_text: tuple[str, str], unit: str) -> Range:
    """The likely range of a field in SI, as it is shown."""
    least, most = (Reading(each, unit).si for each in plausible_text)
    return least, most
