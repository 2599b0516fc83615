"""How the entries on the hole are asked for."""

from __future__ import annotations

from typing import Any, Final

from fieldapp.desk.entry_forms import captions as say
from fieldapp.desk.entry_forms.form import Ask
from fieldapp.desk.entry_forms.measures import Measure, Near
from fieldapp.desk.entry_forms.numbered_pairs import NumberedPairs
from fieldapp.desk.entry_forms.sheet import Flat, Sheet, Spec, numbered
from fieldapp.record.hole import (
    BaseSighting,
    Delay,
    DiameterAt,
    Event,
    ExcavationStage,
    GeometrySurvey,
    Note,
    Photo,
    StandingWater,
)
from fieldapp.record.kinds import Values
from fieldapp.record.said import said
from fieldapp.record.words import Happening, InstrumentType, Seen

SPAN: Final = "started_at/ended_at"
_DIAMETER: Final = "diameter"
_DEPTH: Final = "depth"
_OF_THE_HOLE: Final = (InstrumentType.TAPE, InstrumentType.PROBE_ROD, InstrumentType.CALIPER)
_FROM_SURFACE: Final = (say.CAMERA, say.BY_EYE, say.PROBE)


def depth_spec(name: str, caption: str, near: Near = Near.HOLE, **rest: Any) -> Spec:
    """A depth below the reference."""
    return Spec(name, caption, Ask.READING, Measure.DEPTH, near, **rest)


def started(needed: bool = False) -> tuple[Spec, Spec]:
    """Start and end, which a stopwatch fills."""
    return (
        Spec("started_at", say.STARTED_AT, Ask.MOMENT, needed=needed),
        Spec("ended_at", say.ENDED_AT, Ask.MOMENT),
    )


def picture(needed: bool = False) -> Spec:
    """A picture by its digest."""
    return Spec("picture", say.PICTURE, Ask.PICTURE, needed=needed)


PLACE: Final = Spec("place", say.PLACE, Ask.PLACE, Measure.THICKNESS, Near.RADIUS, attribute="r")

EXCAVATION: Final = Sheet(
    ExcavationStage,
    say.EXCAVATION_STAGE,
    (
        depth_spec("from_depth", say.FROM_DEPTH),
        depth_spec("to_depth", say.TO_DEPTH),
        Spec("tool", say.TOOL, Ask.TEXT),
        Spec("material", say.MATERIAL, Ask.TEXT),
        *started(),
        depth_spec("drilled_depth", say.DRILLED_DEPTH, Near.BASE, tells=say.DRILLED_DEPTH_TELLS),
        depth_spec("firm_reference", say.FIRM_REFERENCE, Near.BASE, tells=say.FIRM_REFERENCE_TELLS),
    ),
    timer=SPAN,
)


_PAIRS: Final = NumberedPairs(
    DiameterAt,
    (_DIAMETER, _DEPTH),
    (_DIAMETER, _DEPTH),
    said("a diameter and the depth it was read at"),
    most=8,
)


def _pairs(present: Values | None) -> tuple[Spec, ...]:
    known = len(present.diameters) if isinstance(present, GeometrySurvey) else 0
    return _PAIRS.specs(known, _pair)


def _pair(number: int) -> tuple[Spec, Spec]:
    return (
        Spec(
            numbered(_DIAMETER, number),
            said(say.DIAMETER_N, number=number),
            Ask.READING,
            Measure.DIAMETER,
            Near.DIAMETER,
            attribute=_DIAMETER,
            part=DiameterAt,
        ),
        depth_spec(
            numbered(_DEPTH, number),
            said(say.DEPTH_N, number=number),
            attribute=_DEPTH,
            part=DiameterAt,
        ),
    )


def _spread_pairs(values: GeometrySurvey) -> dict[str, Any]:
    return _PAIRS.spread(values.diameters)


def _gather_pairs(flat: Flat) -> dict[str, Any]:
    return {"diameters": _PAIRS.gather(flat)}


GEOMETRY: Final = Sheet(
    GeometrySurvey,
    say.GEOMETRY_SURVEY,
    (
        Spec("means", say.MEANS, Ask.CHOICE, words=InstrumentType, among=_OF_THE_HOLE),
        Spec("plumbness", say.PLUMBNESS, Ask.READING, Measure.SHARE, likely=("0", "5", "%")),
        Spec("plan_offset", say.PLAN_OFFSET, Ask.READING, Measure.THICKNESS, likely=("0", "600", "mm")),
        Spec("tip_elevation", say.TIP_ELEVATION, Ask.READING, Measure.ELEVATION, Near.TIP),
    ),
    again=_pairs,
    spread=_spread_pairs,
    gather=_gather_pairs,
)

SIGHTING: Final = Sheet(
    BaseSighting,
    say.BASE_SIGHTING,
    (
        Spec("means", say.MEANS, Ask.TEXT, suggested=_FROM_SURFACE),
        Spec("seen", say.SEEN, Ask.SEVERAL, words=Seen),
        Spec("text", say.WHAT_WAS_SEEN, Ask.TEXT, long=True),
        PLACE,
        picture(),
    ),
)

WATER: Final = Sheet(
    StandingWater,
    say.STANDING_WATER,
    (
        Spec("depth", say.WATER_DEPTH, Ask.READING, Measure.THICKNESS, likely=("0", "1500", "mm")),
        Spec("pumps_off", say.PUMPS_OFF, Ask.YES_NO),
        Spec("rise", say.RISE, Ask.READING, Measure.THICKNESS, likely=("0", "600", "mm")),
        Spec("window", say.WINDOW, Ask.READING, Measure.MINUTES),
    ),
    timer="window",
)

PICTURED: Final = Sheet(
    Photo,
    say.PHOTO,
    (picture(needed=True), Spec("caption", say.CAPTION, Ask.TEXT, long=True), PLACE),
)

NOTED: Final = Sheet(
    Note,
    say.NOTE,
    (Spec("text", say.TEXT, Ask.TEXT, long=True),),
    hidden=("attached", "attached_name"),
)

DELAYED: Final = Sheet(
    Delay,
    say.DELAY,
    (Spec("cause", say.CAUSE, Ask.TEXT, attribute="why", long=True), *started(needed=True)),
    timer=SPAN,
)

HAPPENED: Final = Sheet(
    Event,
    say.EVENT,
    (
        Spec("what", say.WHAT, Ask.CHOICE, words=Happening),
        Spec("text", say.TEXT, Ask.TEXT, long=True),
        depth_spec("from_depth", say.FROM_DEPTH),
        depth_spec("to_depth", say.TO_DEPTH),
        Spec(
            "amount",
            say.AMOUNT,
            Ask.READING,
            Measure.THICKNESS,
            likely=("0", "300", "mm"),
            tells=say.AMOUNT_TELLS,
        ),
    ),
)

SHEETS: Final = (EXCAVATION, GEOMETRY, SIGHTING, WATER, PICTURED, NOTED, DELAYED, HAPPENED)
