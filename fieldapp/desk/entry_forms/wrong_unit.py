"""A number that fits badly in the unit shown and well in another one: said before it is recorded.

The likely range of the field decides, for every dimension alike.  A number that is likely in the shown
unit is never doubted, and where more than two other units would fit nothing is guessed.
"""

from __future__ import annotations

from fractions import Fraction

from fieldapp.desk.entry_forms.form import Ask, EntryForm, FormField
from fieldapp.desk.entry_forms.plausible import bounds_si
from fieldapp.desk.entry_forms.reading_typed import typed_apart
from fieldapp.record.reading import Impossible, Reading
from fieldapp.record.said import said
from fieldapp.units import UNITS


def wrong_unit(form: EntryForm, field: FormField | str, text: str) -> str:
    """The sentence ``1.05 looks like g/cm3; the project shows pcf``, or nothing.

    ``text`` is what was typed so far; what is no number yet is not doubted.
    """
    asked = form.field(field) if isinstance(field, str) else field
    if asked.ask is not Ask.READING or asked.plausible is None or not text.strip():
        return ""
    try:
        number, unit = typed_apart(asked, text.strip())
        least, most = bounds_si(asked.plausible, asked.unit)
        if least <= Reading(number, unit).si <= most:
            return ""
        fitting = [
            each
            for each in _others(asked, unit)
            if "'" not in number and least <= Reading(number, each).si <= most
        ]
    except Impossible:
        return ""
    return _sentence(asked, number, unit, fitting)


def _others(field: FormField, unit: str) -> list[str]:
    """Units that may have been meant: of those offered, each size once, without the one that was typed."""
    sizes: dict[tuple[Fraction, Fraction], str] = {}
    for each in field.units:
        made = UNITS[each]
        sizes.setdefault((made.factor, made.shift), "ft" if each == "ft-in" else each)
    sizes.pop((UNITS[unit].factor, UNITS[unit].shift), None)
    return list(sizes.values())


def _sentence(field: FormField, number: str, unit: str, fitting: list[str]) -> str:
    if not 1 <= len(fitting) <= 2:
        return ""
    other, second = fitting[0], fitting[-1]
    shown = "ft" if unit == "ft-in" else unit
    if len(fitting) == 2:
        return said(
            "{number} looks like {other} or {second}, not {unit}",
            number=number,
            other=other,
            second=second,
            unit=shown,
        )
    if unit == field.unit or {unit, field.unit} == {"ft", "ft-in"}:
        return said(
            "{number} looks like {other}; the project shows {unit}", number=number, other=other, unit=shown
        )
    return said("{number} looks like {other}; it was typed in {unit}", number=number, other=other, unit=shown)
