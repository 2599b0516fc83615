"""How the entries on the base are asked for: cleanout passes, and every point of a round to be amended."""

from __future__ import annotations

from typing import Any, Final

from fieldapp.desk.entry_forms import captions as say
from fieldapp.desk.entry_forms.form import Ask
from fieldapp.desk.entry_forms.hole_sheets import SPAN, depth_spec, started
from fieldapp.desk.entry_forms.measures import Measure, Near
from fieldapp.desk.entry_forms.sheet import Flat, Sheet, Spec
from fieldapp.record.cleaning import CleanoutPass, SoundingPoint, SoundingRound
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.record.words import CleanoutMethod, RoundWhy

FLOW_OUT: Final = "flow_out"
PASS: Final = Sheet(
    CleanoutPass,
    say.CLEANOUT_PASS,
    (
        Spec("number", say.PASS_NUMBER, Ask.COUNT),
        Spec("method", say.METHOD, Ask.CHOICE, words=CleanoutMethod),
        *started(needed=True),
        depth_spec("depth_before", say.DEPTH_BEFORE, Near.BASE),
        depth_spec("depth_after", say.DEPTH_AFTER, Near.BASE),
        Spec("came_up", say.CAME_UP, Ask.TEXT, long=True),
        Spec(
            "air_pressure",
            say.AIR_PRESSURE,
            Ask.READING,
            Measure.AIR,
            likely=("100", "1750", "kPa"),
            tells=say.AIRLIFT_TELLS,
        ),
        depth_spec("injection_depth", say.INJECTION_DEPTH, tells=say.AIRLIFT_TELLS),
        Spec(
            FLOW_OUT,
            say.FLOW_OUT,
            Ask.READING,
            Measure.FLOW,
            likely=("0", "60", "m3"),
            tells=say.FLOW_OUT_TELLS,
        ),
    ),
    timer=SPAN,
    unkept=(FLOW_OUT,),
)

_PLACE: Final = "place"
_NO_READING: Final = "no reading"
_READ: Final = {"first contact": "first_contact", "firm": "firm", "thickness": "thickness"}
# What the record calls a part of a point, and the field that it is typed in.
_ABOUT: Final = {
    "r": _PLACE,
    "angle": _PLACE,
    "position": _PLACE,
    "firm": "firm",
    "firm depth": "firm",
    "thickness": "thickness",
}


def _points(present: Values | None) -> tuple[Spec, ...]:
    if not isinstance(present, SoundingRound):
        return ()
    return tuple(spec for point in present.points for spec in _point(point.label))


def _point(label: str) -> tuple[Spec, ...]:
    return (
        Spec(
            f"{label} {_PLACE}",
            said(say.POINT_PLACE, label=label),
            Ask.PLACE,
            Measure.THICKNESS,
            Near.RADIUS,
            needed=True,
            attribute="r",
            part=SoundingPoint,
        ),
        _depth(label, "first contact", say.POINT_FIRST_CONTACT),
        _depth(label, "firm", say.POINT_FIRM),
        Spec(
            f"{label} thickness",
            said(say.POINT_THICKNESS, label=label),
            Ask.READING,
            Measure.THICKNESS,
            attribute="thickness",
            part=SoundingPoint,
            likely=("0", "300", "mm"),
        ),
        _unread(label),
    )


def _unread(label: str) -> Spec:
    caption = said(say.POINT_NO_READING, label=label)
    return Spec(f"{label} {_NO_READING}", caption, Ask.TEXT, attribute="no_reading", part=SoundingPoint)


def _depth(label: str, what: str, caption: str) -> Spec:
    return depth_spec(
        f"{label} {what}",
        said(caption, label=label),
        Near.BASE,
        attribute=_READ[what],
        part=SoundingPoint,
    )


def _spread(values: SoundingRound) -> dict[str, Any]:
    flat: dict[str, Any] = {}
    for point in values.points:
        flat[f"{point.label} {_PLACE}"] = (point.r, point.angle)
        flat[f"{point.label} {_NO_READING}"] = point.no_reading
        flat |= {f"{point.label} {what}": getattr(point, kept) for what, kept in _READ.items()}
    return flat


def _gather(flat: Flat) -> dict[str, Any]:
    labels = [name.removesuffix(f" {_PLACE}") for name in flat if name.endswith(f" {_PLACE}")]
    return {"points": tuple(_gathered(label, flat) for label in labels)}


def _gathered(label: str, flat: Flat) -> SoundingPoint:
    r, angle = flat[f"{label} {_PLACE}"]
    read = {kept: flat.get(f"{label} {what}") for what, kept in _READ.items()}
    try:
        return SoundingPoint(label, r, angle, no_reading=flat.get(f"{label} {_NO_READING}", ""), **read)
    except Impossible as problem:
        what = _ABOUT.get(problem.field_name.removesuffix(f" of point {label}"), "first contact")
        raise Impossible(f"{label} {what}", problem.read, problem.expected) from None


ROUND: Final = Sheet(
    SoundingRound,
    say.SOUNDING_ROUND,
    (
        Spec("number", say.ROUND_NUMBER, Ask.COUNT),
        Spec("round_why", say.ROUND_WHY, Ask.CHOICE, words=RoundWhy, attribute="why"),
        Spec("after_pass", say.AFTER_PASS, Ask.COUNT),
        Spec("instrument", say.ROUND_INSTRUMENT, Ask.TEXT),
        Spec("text", say.TEXT, Ask.TEXT, long=True),
    ),
    again=_points,
    spread=_spread,
    gather=_gather,
)

SHEETS: Final = (PASS, ROUND)
