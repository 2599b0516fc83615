"""What an entry says, field by field, in the captions of its form, for a screen to translate and lay out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import datetime, tzinfo
from typing import Any, Final

from fieldapp.criteria.phrasing import clock
from fieldapp.desk.entry_forms.form import Ask
from fieldapp.desk.entry_forms.reading_typed import NO, YES, place_text
from fieldapp.desk.entry_forms.sheet import Spec, flat_of
from fieldapp.desk.entry_forms.sheets import SHEETS
from fieldapp.record.decisions import Withdrawal
from fieldapp.record.kinds import Values
from fieldapp.record.said import sayable
from fieldapp.record.words import UnitSystem

# Captions of the decisions, which have no form.
_CAPTIONS: Final = {
    "statement": sayable("statement"),
    "until": sayable("until"),
    "conditions": sayable("conditions"),
    "reason": sayable("reason"),
    "release": sayable("release"),
    "decision": sayable("decision"),
    "why": sayable("why"),
    "credit": sayable("credit"),
    "displacement": sayable("displacement"),
}
_DIGEST_SHOWN: Final = 12


@dataclass(frozen=True, slots=True)
class Told:
    """One field of an entry: its name, its caption, and what it says; ``word`` is one of a closed list."""

    name: str
    caption: str
    text: str
    word: bool = False


@dataclass(frozen=True, slots=True)
class Telling:
    """How entries are told: units, time zone, and where the entries that they name stand (by id)."""

    units: UnitSystem
    zone: tzinfo | None
    places: Mapping[str, str]

    def local(self, moment: datetime) -> datetime:
        """A moment in the time zone of the project."""
        return moment.astimezone(self.zone)


def told(values: Values, telling: Telling) -> tuple[Told, ...]:
    """The fields of an entry that say something, in the order of its form."""
    sheet = SHEETS.get(values.KIND)
    if sheet is None:
        return _decision(values, telling)
    flat = flat_of(sheet, values)
    found = (_told(each, flat.get(each.name), telling) for each in sheet.all_specs(values))
    return tuple(each for each in found if each.text)


def _told(spec: Spec, value: Any, telling: Telling) -> Told:
    if spec.ask is Ask.PLACE and value is not None:
        return Told(spec.name, spec.caption, place_text(*value))
    if spec.ask is Ask.PICTURE and value:
        return Told(spec.name, spec.caption, f"{value[:_DIGEST_SHOWN]} ...")
    word = spec.words is not None or spec.ask is Ask.YES_NO
    return Told(spec.name, spec.caption, _text(value, telling), word)


def _decision(values: Values, telling: Telling) -> tuple[Told, ...]:
    found = []
    for each in fields(values):
        if each.name not in _CAPTIONS:
            continue
        text = _text(getattr(values, each.name), telling)
        if isinstance(values, Withdrawal) and each.name == "release":
            text = telling.places.get(text, text)
        if text:
            found.append(Told(each.name, _CAPTIONS[each.name], text, word=each.name == "decision"))
    return tuple(found)


def _text(value: Any, telling: Telling) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return YES if value else NO
    if isinstance(value, datetime):
        return clock(telling.local(value))
    if isinstance(value, tuple):
        return "\n".join(_text(each, telling) for each in value)
    return str(value)
