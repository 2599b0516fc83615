"""From what was typed to the values of an entry: every field named when it is missing or cannot be."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from fieldapp.desk.entry_forms.form import OBSERVED_AT, SHAFT, WHY, Ask, EntryForm, FormField
from fieldapp.desk.entry_forms.reading_typed import typed_value
from fieldapp.desk.entry_forms.sheet import Sheet, values_from
from fieldapp.desk.entry_forms.sheets import sheet_of
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.record.said_lists import word

_AS_TYPED: Final = (Ask.TEXT, Ask.SEVERAL)
_NOT_OF_THE_VALUES: Final = (OBSERVED_AT, SHAFT, WHY)


def values_of(form: EntryForm, typed: Mapping[str, str]) -> Values:
    """The values of an entry as typed; a field left empty is not known.

    Raises Impossible, naming the field of the form, what was read and what was expected.
    """
    sheet = sheet_of(form.kind)
    try:
        return values_from(sheet, flat_typed(form, sheet, typed))
    except Impossible as problem:
        name = _name_in(form, sheet, problem.field_name)
        raise Impossible(name, problem.read, problem.expected) from None


def texts_of(form: EntryForm, typed: Mapping[str, str]) -> dict[str, str]:
    """What was typed, and what stands where nothing was; empty texts are left out."""
    texts = {name: text for name, text in form.given if text}
    return texts | {name: text for name, text in typed.items() if text.strip()}


def flat_typed(form: EntryForm, sheet: Sheet, typed: Mapping[str, str]) -> dict[str, Any]:
    """Values by field.  Raises Impossible for a needed field that is empty and a text that cannot be read."""
    texts = texts_of(form, typed)
    words = {each.name: each.words for each in sheet.specs}
    flat: dict[str, Any] = {name: texts[name] for name in sheet.hidden if name in texts}
    for field in (each for each in form.fields if each.name not in _NOT_OF_THE_VALUES):
        text = texts.get(field.name, "")
        if text:
            flat[field.name] = value_of(field, text, words.get(field.name))
        elif field.needed:
            raise Impossible(field.name, said("nothing"), said("the {caption}", caption=word(field.caption)))
    return flat


def value_of(field: FormField, text: str, words: Any = None) -> Any:
    """The value of one field that is not empty.  Raises Impossible, naming the field."""
    return typed_value(field, text if field.ask in _AS_TYPED else text.strip(), words)


def _name_in(form: EntryForm, sheet: Sheet, named: str) -> str:
    """The field of the form that the record's own name of a field means."""
    if named in {"angle", "position"}:
        return next((each.name for each in form.fields if each.ask is Ask.PLACE), named)
    kept = next((each.name for each in sheet.specs if each.kept_as == named), named)
    return named if named != WHY and any(each.name == named for each in form.fields) else kept
