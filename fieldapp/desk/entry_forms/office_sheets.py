"""How the office schedules a shaft, with the designer's numbers, and how an instrument is checked."""

from __future__ import annotations

from typing import Any, Final

from fieldapp.desk.entry_forms import captions as say
from fieldapp.desk.entry_forms.form import Ask
from fieldapp.desk.entry_forms.measures import Measure, Near
from fieldapp.desk.entry_forms.numbered_pairs import NumberedPairs
from fieldapp.desk.entry_forms.sheet import Flat, Sheet, Spec, numbered
from fieldapp.record.kinds import Values
from fieldapp.record.said import said
from fieldapp.record.setup import DesignNumbers, Instrument, PiezometricLevel, ShaftScheduled
from fieldapp.record.words import Caution, DesignBasis, Fluid, InstrumentType, Method, Purpose

WATER_TEMPERATURE: Final = "water_temperature"
_STRATUM: Final = "stratum"
_LEVEL: Final = "piezometric elevation"


def _number(name: str, caption: str, measure: Measure, likely: tuple[str, str, str] | None = None) -> Spec:
    return Spec(name, caption, Ask.READING, measure, part=DesignNumbers, likely=likely)


_DESIGN: Final = (
    _number("rock_strength", say.ROCK_STRENGTH, Measure.STRENGTH, ("0.5", "350", "MPa")),
    _number("core_recovery", say.CORE_RECOVERY, Measure.SHARE),
    _number("rock_quality", say.ROCK_QUALITY, Measure.SHARE),
    _number("geological_strength_index", say.GEOLOGICAL_STRENGTH_INDEX, Measure.RATING),
    _number("rock_constant", say.ROCK_CONSTANT, Measure.RATING),
    _number("rock_modulus", say.ROCK_MODULUS, Measure.STIFFNESS, ("50", "100000", "MPa")),
    _number("nominal_base", say.NOMINAL_BASE, Measure.STRENGTH, ("0.2", "200", "MPa")),
    _number("nominal_side", say.NOMINAL_SIDE, Measure.STRENGTH, ("0.01", "10", "MPa")),
    _number("base_factor", say.BASE_FACTOR, Measure.FACTOR),
    _number("side_factor", say.SIDE_FACTOR, Measure.FACTOR),
    _number("demand", say.DEMAND, Measure.FORCE, ("0.1", "300", "MN")),
    _number("service_displacement", say.SERVICE_DISPLACEMENT, Measure.THICKNESS, ("2", "150", "mm")),
    _number("strength_displacement", say.STRENGTH_DISPLACEMENT, Measure.THICKNESS, ("5", "400", "mm")),
)


def _elevation(name: str, caption: str) -> Spec:
    return Spec(name, caption, Ask.READING, Measure.ELEVATION)


_STRATA: Final = NumberedPairs(
    PiezometricLevel,
    (_STRATUM, _LEVEL),
    ("stratum", "elevation"),
    said("a stratum and its piezometric level"),
    most=3,
)


def _strata(present: Values | None) -> tuple[Spec, ...]:
    return _STRATA.specs(
        len(present.piezometric_levels) if isinstance(present, ShaftScheduled) else 0, _stratum
    )


def _stratum(number: int) -> tuple[Spec, Spec]:
    return (
        Spec(
            numbered(_STRATUM, number),
            said(say.STRATUM_N, number=number),
            Ask.TEXT,
            attribute=_STRATUM,
            part=PiezometricLevel,
        ),
        Spec(
            numbered(_LEVEL, number),
            said(say.PIEZOMETRIC_N, number=number),
            Ask.READING,
            Measure.ELEVATION,
            Near.GROUND,
            attribute="elevation",
            part=PiezometricLevel,
        ),
    )


def _spread(values: ShaftScheduled) -> dict[str, Any]:
    flat = _STRATA.spread(values.piezometric_levels)
    for spec in _DESIGN:
        flat[spec.name] = getattr(values.design, spec.kept_as) if values.design else None
    return flat


def _gather(flat: Flat) -> dict[str, Any]:
    design = {spec.kept_as: flat[spec.name] for spec in _DESIGN if spec.name in flat}
    return {"piezometric_levels": _STRATA.gather(flat), "design": DesignNumbers(**design) if design else None}


SCHEDULED: Final = Sheet(
    ShaftScheduled,
    say.SHAFT_SCHEDULED,
    (
        Spec("location", say.LOCATION, Ask.TEXT),
        Spec("method", say.SHAFT_METHOD, Ask.CHOICE, words=Method),
        Spec("fluid", say.SHAFT_FLUID, Ask.CHOICE, words=Fluid),
        Spec("design_basis", say.DESIGN_BASIS, Ask.CHOICE, words=DesignBasis),
        Spec("diameter", say.DIAMETER, Ask.READING, Measure.DIAMETER, likely=("0.5", "5", "m")),
        _elevation("reference_elevation", say.REFERENCE_ELEVATION),
        _elevation("tip_elevation", say.PLAN_TIP_ELEVATION),
        _elevation("socket_top_elevation", say.SOCKET_TOP_ELEVATION),
        Spec("cautions", say.CAUTIONS, Ask.SEVERAL, words=Caution),
        Spec("purpose", say.PURPOSE, Ask.CHOICE, words=Purpose),
        *_DESIGN,
    ),
    again=_strata,
    spread=_spread,
    gather=_gather,
)

CHECKED: Final = Sheet(
    Instrument,
    say.INSTRUMENT,
    (
        Spec("label", say.LABEL, Ask.TEXT),
        Spec("type", say.TYPE, Ask.CHOICE, words=InstrumentType),
        Spec("check", say.CHECK, Ask.TEXT, long=True),
        Spec("passed", say.PASSED, Ask.YES_NO),
        Spec("zero_offset", say.ZERO_OFFSET, Ask.READING, Measure.THICKNESS, likely=("-50", "50", "mm")),
        Spec("cup_volume", say.CUP_VOLUME, Ask.READING, Measure.CUP, likely=("900", "1000", "mL")),
        Spec("water_time", say.WATER_TIME, Ask.READING, Measure.FUNNEL, likely=("20", "40", "s")),
        Spec(
            WATER_TEMPERATURE,
            say.WATER_TEMPERATURE,
            Ask.READING,
            Measure.TEMPERATURE,
            likely=("35", "110", "degF"),
            tells=say.WATER_TEMPERATURE_TELLS,
        ),
    ),
    timer="water_time",
    unkept=(WATER_TEMPERATURE,),
)

SHEETS: Final = (SCHEDULED, CHECKED)
