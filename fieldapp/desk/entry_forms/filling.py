"""A half-typed form as an entry that can be tried on the rules: what is needed and still empty is filled.

What is filled in decides nothing: a rule is asked only when every field that it looks at was typed.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Final

from fieldapp.desk.entry_forms.form import OBSERVED_AT, WHY, Ask, EntryForm, FormField
from fieldapp.desk.entry_forms.reading_typed import NO
from fieldapp.desk.entry_forms.values import texts_of, value_of, values_of
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Impossible

_NOT_YET: Final = "-"


def values_so_far(form: EntryForm, typed: Mapping[str, str], now: datetime) -> Values | None:
    """The values of a half-typed form, what cannot be read left out; None when they cannot be made."""
    texts = readable(form, typed)
    for each in form.fields:
        if each.needed and each.name not in texts:
            texts[each.name] = _filled(each, now)
    try:
        return values_of(form, texts)
    except Impossible:
        return None


def readable(form: EntryForm, typed: Mapping[str, str]) -> dict[str, str]:
    """What was typed and can be read."""
    fields = {each.name: each for each in form.fields}
    return {
        name: text
        for name, text in texts_of(form, typed).items()
        if name not in fields or _is_read(fields[name], text)
    }


def _is_read(field: FormField, text: str) -> bool:
    try:
        value_of(field, text)
    except Impossible:
        return False
    return True


def _filled(field: FormField, now: datetime) -> str:
    if field.name in {OBSERVED_AT, WHY}:
        return ""
    if field.ask is Ask.READING:
        return "0' 0\"" if field.unit == "ft-in" else "0"
    by_ask = {Ask.MOMENT: now.isoformat(), Ask.YES_NO: NO, Ask.COUNT: "1", Ask.PICTURE: "0" * 64}
    if field.ask in {Ask.CHOICE, Ask.SEVERAL} and field.options:
        return field.options[0].value
    return by_ask.get(field.ask, _NOT_YET)
