"""The form for a new entry of a kind, with limits, likely ranges and last values of its shaft."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, Final

from fieldapp.criteria.look import Look
from fieldapp.desk.entry_forms import captions as say
from fieldapp.desk.entry_forms.form import OBSERVED_AT, SHAFT, Ask, EntryForm, FormField, Option
from fieldapp.desk.entry_forms.limit_texts import limit_texts
from fieldapp.desk.entry_forms.measures import units_of
from fieldapp.desk.entry_forms.plausible import plausible
from fieldapp.desk.entry_forms.reading_typed import text_of_value
from fieldapp.desk.entry_forms.sheet import Sheet, Spec, flat_of, is_needed
from fieldapp.desk.entry_forms.sheets import sheet_of
from fieldapp.desk.looking import NotOpen, look_at
from fieldapp.desk.projects.presets import cautions
from fieldapp.desk.workplace import Workplace
from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.column import FluidTest
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.hole import BaseSighting, StandingWater
from fieldapp.record.kinds import PROJECT_KINDS
from fieldapp.record.objections import opened_at
from fieldapp.record.said import said
from fieldapp.record.setup import Instrument, ShaftScheduled
from fieldapp.record.words import CleanoutMethod, InstrumentType, Method, Purpose, UnitSystem

_OF_THE_OPEN_HOLE: Final = (CleanoutPass, BaseSighting, StandingWater, ConcreteStarted)
_TAPES: Final = (InstrumentType.TAPE, InstrumentType.PROBE_ROD, InstrumentType.BASE_PENETROMETER)


@dataclass(frozen=True, slots=True)
class Setting:
    """What a form stands on: the project's units, the shaft as the rules see it, what its fields say."""

    units: UnitSystem
    look: Look | None = None
    limits: dict[str, str] = field(default_factory=dict)
    last: dict[str, Any] = field(default_factory=dict)
    given: tuple[tuple[str, str], ...] = ()
    labels: tuple[tuple[str, InstrumentType], ...] = ()


def form_for(place: Workplace, shaft: str | None, kind: str, at: datetime | None = None) -> EntryForm:
    """The form for a new entry of a kind on a shaft, or of the project when ``shaft`` is None.

    A shaft to be scheduled is named by ``shaft``, or by a field of the form when it is None.

    Raises
    ------
    NotOpen
        The kind has its own screen, or cannot be recorded on this shaft now; the sentence says why.
    UnknownShaft
        The project has no such shaft.
    """
    sheet = sheet_of(kind)
    if sheet.made is SoundingRound:
        raise NotOpen(said("A {kind} has its own screen: it is not made by a form.", kind=kind))
    setting = _setting(place, shaft, sheet, at)
    fields = [field_of(each, sheet, setting) for each in sheet.all_specs()]
    if sheet.made is ShaftScheduled and shaft is None:
        fields.insert(0, FormField(SHAFT, say.SHAFT_NAME, Ask.TEXT, needed=True))
    return EntryForm(
        kind=kind,
        title=sheet.title,
        shaft=shaft,
        fields=(*fields, observed_field()),
        caution=caution_of(setting.look, kind),
        timer=sheet.timer,
        given=setting.given,
    )


def observed_field() -> FormField:
    """When it was observed, for an entry made later."""
    return FormField(OBSERVED_AT, say.OBSERVED_AT, Ask.MOMENT, tells=say.NOW_WHEN_EMPTY)


def _setting(place: Workplace, shaft: str | None, sheet: Sheet, at: datetime | None) -> Setting:
    units = place.setup().units
    if sheet.kind in PROJECT_KINDS:
        if shaft is not None:
            raise NotOpen(said("A {kind} belongs to the project, not to one shaft.", kind=sheet.kind))
        return Setting(units, labels=labels_of(place))
    if sheet.made is ShaftScheduled:
        _refuse_scheduled(place, shaft)
        return Setting(units, given=(("purpose", str(Purpose.PRODUCTION)),))
    if shaft is None:
        raise NotOpen(said("A {kind} is made on a shaft: choose the shaft first.", kind=sheet.kind))
    look = look_at(place, shaft, at)
    _refuse_too_early(look, sheet)
    return Setting(
        units,
        look,
        limits=dict(limit_texts(look, sheet.kind)),
        last=last_of(look, sheet),
        given=_given(look, sheet),
        labels=labels_of(place),
    )


def last_of(look: Look, sheet: Sheet) -> dict[str, Any]:
    """What was recorded last in each field of a kind on this shaft."""
    found: dict[str, Any] = {}
    for line in look.shaft.of(sheet.made):
        flat = flat_of(sheet, line.values)
        found |= {name: value for name, value in flat.items() if value not in (None, "", ())}
    return found


def labels_of(place: Workplace) -> tuple[tuple[str, InstrumentType], ...]:
    """Instruments of the project by label, each once, with their type."""
    return tuple({each.values.label: each.values.type for each in place.record().instruments}.items())


def _refuse_scheduled(place: Workplace, shaft: str | None) -> None:
    known = place.record().shaft(shaft) if shaft is not None else None
    if known is not None and known.scheduled is not None:
        raise NotOpen(said("Shaft {shaft} is scheduled already: amend its entry instead.", shaft=shaft))


def _refuse_too_early(look: Look, sheet: Sheet) -> None:
    if sheet.made in _OF_THE_OPEN_HOLE and opened_at(look.shaft) is None:
        raise NotOpen(
            said(
                "Shaft {shaft} has no drilling in the record yet: record the excavation stage first.",
                shaft=look.shaft.id,
            )
        )


def _given(look: Look, sheet: Sheet) -> tuple[tuple[str, str], ...]:
    if sheet.made is CleanoutPass:
        made = [each.values.number for each in look.shaft.of(CleanoutPass)]
        return (("number", str(max(made, default=0) + 1)),)
    if sheet.made is FluidTest:
        sets = [each.values.set for each in look.shaft.of(FluidTest)]
        return (("set", str(max(sets, default=0) + 1)),)
    return ()


def field_of(spec: Spec, sheet: Sheet, setting: Setting) -> FormField:
    """One field of a sheet as it stands on a project."""
    units = units_of(spec.measure, setting.units) if spec.measure is not None else ()
    unit = units[0] if units else ""
    made = FormField(
        name=spec.name,
        caption=spec.caption,
        ask=spec.ask,
        needed=is_needed(spec, sheet) and spec.name not in dict(setting.given),
        unit=unit,
        units=units,
        options=_options(spec, sheet, setting),
        limit=setting.limits.get(spec.name, ""),
        plausible=plausible(spec, sheet, setting.look, unit) if spec.ask is Ask.READING else None,
        tells=spec.tells,
        long=spec.long,
    )
    return _with_last(made, setting)


def _with_last(made: FormField, setting: Setting) -> FormField:
    value = setting.last.get(made.name)
    return made if value is None else replace(made, last=text_of_value(made, value))


def _options(spec: Spec, sheet: Sheet, setting: Setting) -> tuple[Option, ...]:
    if spec.words is not None:
        return tuple(Option(str(each), str(each)) for each in spec.among or spec.words)
    if spec.name == "stratum" and setting.look is not None:
        strata = (each.stratum for each in setting.look.scheduled.piezometric_levels)
        return tuple(Option(each, each) for each in strata)
    labels = [label for label, kind in setting.labels if _offered(spec, sheet, kind)]
    return tuple(Option(each, each) for each in (*spec.suggested, *labels))


def _offered(spec: Spec, sheet: Sheet, kind: InstrumentType) -> bool:
    if sheet.made is Instrument:
        return spec.name == "label"
    if sheet.made is SoundingRound:
        return spec.name == "instrument" and kind in _TAPES
    return spec.name == "instruments" and kind not in _TAPES


def caution_of(look: Look | None, kind: str) -> str:
    """The caution texts for the risk of this work, one a line; none once concrete is in."""
    if look is None:
        return ""
    states = {"hole open"} if not look.concrete_in else set()
    states.add("dry" if look.scheduled.method is Method.DRY else "wet")
    if kind == CleanoutPass.KIND or _airlifted(look):
        states.add("airlift")
    return "\n".join(cautions(kind, frozenset(states)))


def _airlifted(look: Look) -> bool:
    return any(each.values.method is CleanoutMethod.AIRLIFT for each in look.shaft.of(CleanoutPass))
