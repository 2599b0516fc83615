"""The values of an entry as lines of plain text, as they were read.

Every field of every kind is said; what was left out is not mentioned, except where its absence matters:
a point without its firm depth, a fluid test without its sand.  Lines carry no markup.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import Field, dataclass, field, fields, is_dataclass
from datetime import datetime
from functools import lru_cache, singledispatch
from typing import Any, Final

from fieldapp.record.acceptance import AcceptanceSet
from fieldapp.record.cleaning import CleanoutPass, SoundingPoint, SoundingRound
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.decisions import Amend, Basis, Withdrawal
from fieldapp.record.hole import Delay, DiameterAt, ExcavationStage
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Reading
from fieldapp.record.setup import Person, PiezometricLevel
from reports.quantities import Shown, span_text

_OWN_LINE: Final = frozenset(
    {"text", "why", "reason", "statement", "came_up", "conditions", "check", "first_charge", "caption"}
    | {"picture", "attached", "toe_finding", "basis"}
)
_NAMES: Final = {
    "ph": "pH",
    "r": "at r",
    "what": "",
    "text": "",
    "statement": "",
    "caption": "",
    "means": "by",
    "picture": "picture (SHA-256)",
    "attached": "attached file (SHA-256)",
    "basis": "rests on",
}


@dataclass(frozen=True, slots=True)
class Telling:
    """How entries are told: units and zone, and where the entries that they name stand (by id)."""

    shown: Shown
    places: Mapping[str, str] = field(default_factory=dict)


def entry_lines(values: Values, telling: Telling) -> tuple[str, ...]:
    """The values of an entry as lines of plain text, at least one; no line holds a line break."""
    return tuple(line for text in _told(values, telling) for line in text.splitlines()) or ("no values",)


@singledispatch
def _told(values: object, telling: Telling) -> list[str]:
    return _generic(values, telling, skip=frozenset())


def _generic(values: object, telling: Telling, skip: frozenset[str]) -> list[str]:
    """Short fields together in the first line, then each long text and each member of a list on its own."""
    short: list[str] = []
    long: list[str] = []
    for each in _fields_of(type(values)):  # type: ignore[arg-type]  # every class can be hashed
        content = getattr(values, each.name)
        if each.name in skip or content is None or content in ("", ()):
            continue
        if is_dataclass(content) and not isinstance(content, Reading | AcceptanceSet | Basis):
            long.append(f"{_label(each)}: {'; '.join(_generic(content, telling, frozenset()))}")
        elif each.name in _OWN_LINE:
            long.append(_phrase(each, _text(content, telling)))
        else:
            short.append(_phrase(each, _text(content, telling)))
    long.sort(key=lambda line: line.startswith(_NAMES["basis"]))
    return ["; ".join(short), *long] if short else long


@lru_cache(maxsize=128)
def _fields_of(kind: type) -> tuple[Field[Any], ...]:
    """The fields of a dataclass; asked for once a kind, since a journal has many entries."""
    return fields(kind)


@_told.register
def _round(values: SoundingRound, telling: Telling) -> list[str]:
    after = f" {values.after_pass}" if values.after_pass is not None else ""
    head = (
        f"Round {values.number}, {values.why}{after}, with {values.instrument}; {len(values.points)} points"
    )
    points = [f"{each.label} {_point(each, telling.shown)}" for each in values.points]
    return [head, *points, *([values.text] if values.text else [])]


def _point(point: SoundingPoint, shown: Shown) -> str:
    place = f"(r {point.r}, {point.angle}): "
    if point.no_reading:
        return f"{place}no reading, {point.no_reading}; not shown"
    parts = []
    if point.first_contact is not None:
        parts.append(f"first contact {shown.reading(point.first_contact)}")
    if point.firm is not None:
        parts.append(f"firm {shown.reading(point.firm)}")
    if point.thickness is not None:
        parts.append(f"thickness read {shown.reading(point.thickness)}")
    if point.thickness_m is None:
        missing = "firm depth" if point.firm is None else "first contact"
        return place + ", ".join(parts) + f"; {missing} not read, sediment not shown"
    if point.thickness is None:
        parts.append(f"sediment {shown.thickness(point.thickness_m)}")
    return place + ", ".join(parts)


@_told.register
def _fluid_test(values: FluidTest, telling: Telling) -> list[str]:
    shown = telling.shown
    head = f"Set {values.set}, {values.stage}, sample at {shown.reading(values.sample_depth)}"
    names = {
        "density": "density",
        "funnel_time": "funnel",
        "sand": "sand",
        "ph": "pH",
        "hardness": "hardness",
    }
    read = {name: getattr(values, name) for name in names}
    parts = [f"{names[name]} {shown.reading(value)}" for name, value in read.items() if value is not None]
    if values.cup_volume is not None:
        parts.append(f"cup {shown.reading(values.cup_volume)}")
    if values.temperature is not None:
        parts.append(f"at {shown.reading(values.temperature)}")
    lines = [head, "; ".join(parts)]
    untested = [names[name] for name in ("density", "funnel_time", "sand", "ph") if read[name] is None]
    if untested:
        lines.append(f"Not tested: {', '.join(untested)}")
    if values.instruments:
        lines.append(f"with {', '.join(values.instruments)}")
    return lines


@_told.register
def _head(values: HeadReading, telling: Telling) -> list[str]:
    shown = telling.shown
    above = values.fluid_level.si < 0
    size = shown.reading(values.fluid_level)
    place = "above" if above else "below"
    line = f"Fluid level {size.replace('-', '', 1) if above else size} {place} the reference"
    if values.make_up is not None:
        line += f"; make-up {values.make_up}"
    if values.piezometric_elevation is None:
        return [line]
    return [line, f"Piezometric level of {values.stratum}: {shown.reading(values.piezometric_elevation)}"]


@_told.register
def _pass(values: CleanoutPass, telling: Telling) -> list[str]:
    span = _span(values.started_at, values.ended_at, telling.shown)
    rest = _generic(values, telling, frozenset({"number", "method", "started_at", "ended_at"}))
    return [f"Pass {values.number}, {values.method}, {span}", *rest]


@_told.register
def _stage(values: ExcavationStage, telling: Telling) -> list[str]:
    shown = telling.shown
    lines = [
        f"{shown.reading(values.from_depth)} to {shown.reading(values.to_depth)}, "
        f"{values.tool}, {values.material}"
    ]
    if values.started_at is not None or values.ended_at is not None:
        lines.append(_span(values.started_at, values.ended_at, shown))
    if values.drilled_depth is not None:
        lines.append(f"Base reached at {shown.reading(values.drilled_depth)}")
    if values.firm_reference is not None:
        lines.append(f"Firm reference {shown.reading(values.firm_reference)}")
    return lines


@_told.register
def _delay(values: Delay, telling: Telling) -> list[str]:
    return [_span(values.started_at, values.ended_at, telling.shown), f"why: {values.why}"]


@_told.register
def _withdrawal(values: Withdrawal, telling: Telling) -> list[str]:
    return [f"Release {telling.places.get(values.release, values.release)} is withdrawn", values.reason]


@_told.register
def _amend(values: Amend, telling: Telling) -> list[str]:
    target = telling.places.get(values.target, values.target)
    lines = [f"{target} should say:", *_told(values.says, telling), f"why: {values.why}"]
    if values.observed_at is not None:
        lines.append(f"observed {telling.shown.moment(values.observed_at)}")
    return lines


def _span(start: datetime | None, end: datetime | None, shown: Shown) -> str:
    if start is None:
        return f"until {shown.moment(end)}" if end is not None else ""
    if end is None:
        return f"from {shown.moment(start)}, end not recorded"
    ending = shown.clock(end) if shown.day(start) == shown.day(end) else shown.moment(end)
    return f"{shown.moment(start)} to {ending} ({span_text(end - start)})"


def _phrase(each: Field[Any], text: str) -> str:
    name = _label(each)
    if not name:
        return text
    colon = each.name in _OWN_LINE or text in {"yes", "no"}
    return f"{name}: {text}" if colon else f"{name} {text}"


def _label(each: Field[Any]) -> str:
    return _NAMES.get(each.name, each.name.replace("_", " "))


@singledispatch
def _text(content: object, telling: Telling) -> str:
    if is_dataclass(content):
        return ", ".join(_generic(content, telling, frozenset()))
    return str(content)


@_text.register
def _(content: bool, telling: Telling) -> str:
    return "yes" if content else "no"


@_text.register
def _(content: Reading, telling: Telling) -> str:
    return telling.shown.reading(content)


@_text.register
def _(content: datetime, telling: Telling) -> str:
    return telling.shown.moment(content)


@_text.register
def _(content: tuple, telling: Telling) -> str:  # type: ignore[type-arg]  # dispatch knows no element types
    return ", ".join(_text(each, telling) for each in content)


@_text.register
def _(content: AcceptanceSet, telling: Telling) -> str:
    return f"{content.title} ({content.standard}; {len(content.parameters)} limits)"


@_text.register
def _(content: Person, telling: Telling) -> str:
    return f"{content.name} ({', '.join(content.roles)})"


@_text.register
def _(content: PiezometricLevel, telling: Telling) -> str:
    return f"{content.stratum} at {telling.shown.reading(content.elevation)}"


@_text.register
def _(content: DiameterAt, telling: Telling) -> str:
    return f"{telling.shown.reading(content.diameter)} at {telling.shown.reading(content.depth)}"


@_text.register
def _(content: Basis, telling: Telling) -> str:
    positions = ", ".join(f"{each.device} {each.seq}" for each in content.positions)
    return f"entries up to {positions}; record digest {content.record_digest}"
