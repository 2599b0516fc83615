"""The form to amend an entry, with what it says now; what it leaves unasked it keeps."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from fieldapp.criteria.look import Look
from fieldapp.desk.entry_forms import captions as say
from fieldapp.desk.entry_forms.form import OBSERVED_AT, WHY, Ask, EntryForm, FormField, Option
from fieldapp.desk.entry_forms.limit_texts import limit_texts
from fieldapp.desk.entry_forms.opening import Setting, caution_of, field_of, labels_of, observed_field
from fieldapp.desk.entry_forms.reading_typed import text_of_value
from fieldapp.desk.entry_forms.sheet import Sheet, flat_of
from fieldapp.desk.entry_forms.sheets import sheet_of
from fieldapp.desk.inspector import heads_of_line
from fieldapp.desk.looking import NotOpen, look_at
from fieldapp.desk.workplace import Workplace
from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.said import said


def form_to_amend(place: Workplace, shaft: str | None, entry_id: str) -> tuple[EntryForm, dict[str, str]]:
    """The form of an entry that is to be amended, and the text of each field as it says now.

    The form follows every version of the entry that is known here; a contested entry is settled by it.

    Raises
    ------
    NotOpen
        There is no such entry, it was struck, or it is of a kind that is made anew instead.
    UnknownShaft
        The project has no such shaft.
    """
    line = _line(place, shaft, entry_id)
    sheet = sheet_of(line.values.KIND)
    look = look_at(place, shaft) if shaft is not None and place.shaft(shaft).scheduled else None
    setting = _setting(place, look, sheet, line.values)
    fields = tuple(field_of(each, sheet, setting) for each in sheet.all_specs(line.values))
    fields = tuple(_with_present(each, flat_of(sheet, line.values).get(each.name)) for each in fields)
    form = EntryForm(
        kind=sheet.kind,
        title=said(say.AMENDED, title=sheet.title),
        shaft=shaft,
        fields=(*fields, observed_field(), FormField(WHY, say.WHY_AMENDED, Ask.TEXT, needed=True, long=True)),
        caution=caution_of(look, sheet.kind),
        timer="",
        target=line.id,
        parents=heads_of_line(line),
        given=_hidden(sheet, line.values),
    )
    return form, {**texts_now(form, sheet, line.values), OBSERVED_AT: line.observed_at.isoformat()}


def texts_now(form: EntryForm, sheet: Sheet, values: Values) -> dict[str, str]:
    """The text that gives each field of the values back; fields that say nothing are left out."""
    flat = flat_of(sheet, values)
    texts = {each.name: text_of_value(each, flat.get(each.name)) for each in form.fields}
    return {name: text for name, text in texts.items() if text}


def _with_present(field: FormField, value: Any) -> FormField:
    """The field of a choice, in which what was recorded stands even where it is not offered any more."""
    if field.ask is not Ask.CHOICE or value is None or any(each.value == value for each in field.options):
        return field
    return replace(field, options=(*field.options, Option(str(value), str(value))))


def _line(place: Workplace, shaft: str | None, entry_id: str) -> Line[Values]:
    lines = place.record().lines if shaft is None else place.shaft(shaft).lines
    line = next((each for each in lines if each.id == entry_id), None)
    if line is None:
        raise NotOpen(said("The entry to be amended is not in this record."))
    if line.struck:
        raise NotOpen(said("The entry was struck and stays struck. Enter it anew."))
    return line


def _setting(place: Workplace, look: Look | None, sheet: Sheet, present: Values) -> Setting:
    limits: dict[str, Any] = {} if look is None else dict(limit_texts(look, sheet.kind, present))
    return Setting(place.setup().units, look, limits, labels=labels_of(place))


def _hidden(sheet: Sheet, values: Values) -> tuple[tuple[str, str], ...]:
    return tuple((name, str(getattr(values, name))) for name in sheet.hidden if getattr(values, name))
