"""Places on the base between a finger and the keys: where a point is put, as it is drawn and as it is typed.

The base has radius 1 as the plan draws it; typed is the distance from the centre and the angle clockwise from
upstation.  Pure.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, degrees, floor, hypot, radians, sin
from typing import TYPE_CHECKING, Final

from fieldapp.ui.asks import Texts
from fieldapp.units import NotANumber, from_si, parse_number, with_point

if TYPE_CHECKING:
    from fieldapp.desk.rounds.form import PointForm, RoundForm
    from fieldapp.ui.widgets.plan_geometry import XY

R: Final = "r"
ANGLE: Final = "angle"
# A finger means no more than this: whole inches or centimetres, and the twelfth part of an hour.
_STEPS: Final = {"in": 1, "mm": 10}
_STEP_DEG: Final = 5


@dataclass(slots=True)
class PlaceInHand:
    """The place of a point while it is moved or added; ``field`` is what the keys type."""

    label: str
    texts: Texts
    adds: bool
    field: str = R


def place_typed(at: XY, form: RoundForm) -> Texts:
    """A place of the drawing as it is typed, never off the base."""
    step = _STEPS[form.place_unit]
    radius = radius_of(form)
    r = min(round(hypot(*at) * radius / step), floor(radius / step)) * step
    angle = round(degrees(atan2(*at)) / _STEP_DEG) * _STEP_DEG % 360 if r else 0
    return {R: str(r), ANGLE: str(angle)}


def place_drawn(texts: Texts, form: RoundForm) -> XY | None:
    """Where a typed place is drawn; None while it is not whole."""
    try:
        r, angle = (float(parse_number(with_point(texts.get(name, "")))) for name in (R, ANGLE))
    except NotANumber:
        return None
    share = r / radius_of(form)
    return share * sin(radians(angle)), share * cos(radians(angle))


def place_of(point: PointForm, form: RoundForm) -> Texts:
    """The place of a point as it is typed."""
    alike = point.r.unit == form.place_unit
    r = point.r.read if alike else f"{from_si(point.r.si, form.place_unit):.1f}".removesuffix(".0")
    return {R: r, ANGLE: point.angle.read}


def radius_of(form: RoundForm) -> float:
    """Radius of the base in the unit that places are typed in."""
    return float(from_si(form.radius_m, form.place_unit))
