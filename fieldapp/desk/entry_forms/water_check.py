"""The check of a funnel with clean water, typed beside a fluid sample and recorded as an instrument's check.

26 s +/- 0.5 s for one US quart (946 mL) of fresh water at 70 +/- 5 degF: ASTM D6910, API RP 13B-1.  No
tolerance is known for a cup of one litre, so here such a funnel neither passes nor fails.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from fieldapp.criteria.finding import Outcome
from fieldapp.desk.entry_forms.fluid_form import FluidField, FluidForm, watched_s
from fieldapp.desk.entry_forms.form import EntryForm, FieldAnswer
from fieldapp.desk.entry_forms.instrument_answers import instrument_answers
from fieldapp.desk.entry_forms.office_sheets import WATER_TEMPERATURE
from fieldapp.desk.entry_forms.opening import form_for
from fieldapp.desk.entry_forms.reading_typed import NO, YES
from fieldapp.desk.entry_forms.recording import record_typed
from fieldapp.desk.workplace import Workplace
from fieldapp.fluid.funnel import Cup, cup_of
from fieldapp.record.entry import Entry
from fieldapp.record.reading import Impossible, Reading
from fieldapp.record.said import said
from fieldapp.record.setup import Instrument
from fieldapp.record.words import InstrumentType
from fieldapp.units import OutOfRange

WATER_TIME: Final = "water_time"
FIRST_LABEL: Final = "funnel 1"
# The ends of 65 to 75 degF in degrees Celsius, to the tenth inside of them.
_WARM: Final = {"degF": ("65", "75"), "degC": ("18.4", "23.8")}


@dataclass(frozen=True, slots=True)
class WaterForm:
    """A funnel to be checked: its label, its cup, the two numbers to type, and the form of an instrument."""

    funnel: str
    cup: Reading
    fields: tuple[FluidField, ...]
    entry: EntryForm


def water_form(place: Workplace, form: FluidForm) -> WaterForm:
    """The check of the funnel that a sample is read with; the first funnel of a project is named here."""
    entry = form_for(place, None, Instrument.KIND)
    unit = entry.field(WATER_TEMPERATURE).unit
    low, high = _WARM[unit]
    time = FluidField(
        WATER_TIME, entry.field(WATER_TIME).caption, "s", _asked(form.cup_volume), "", watched_s(Instrument)
    )
    warm = FluidField(
        WATER_TEMPERATURE,
        entry.field(WATER_TEMPERATURE).caption,
        unit,
        said("{low} to {high}", low=low, high=f"{high} {unit}"),
        "",
    )
    return WaterForm(form.funnel or FIRST_LABEL, form.cup_volume, (time, warm), entry)


def water_answer(form: WaterForm, typed: Mapping[str, str]) -> FieldAnswer | None:
    """What the check says so far; None while no time is there."""
    found = instrument_answers(form.entry, _texts(form, typed))
    return found[0] if found else None


def record_water(
    place: Workplace, form: WaterForm, typed: Mapping[str, str], author: str, confirmed: tuple[str, ...] = ()
) -> Entry:
    """Record the check, passed or failed as it came out.

    Raises Impossible where it came out as neither; Refused, AskFirst, StoreProblem.
    """
    answer = water_answer(form, typed)
    if answer is None or answer.outcome not in {Outcome.MET, Outcome.NOT_MET}:
        read = typed.get(WATER_TIME, "") or said("nothing")
        raise Impossible(WATER_TIME, read, said("a time and a temperature that show something"))
    passed = YES if answer.outcome == Outcome.MET else NO
    texts = _texts(form, typed) | {"passed": passed}
    return record_typed(place, None, form.entry, texts, author, confirmed)


def _texts(form: WaterForm, typed: Mapping[str, str]) -> dict[str, str]:
    warm = typed.get(WATER_TEMPERATURE, "")
    unit = form.entry.field(WATER_TEMPERATURE).unit
    return {
        **{name: text for name, text in typed.items() if text},
        "label": form.funnel,
        "type": str(InstrumentType.FUNNEL),
        "cup_volume": str(form.cup),
        "check": f"fresh water at {warm} {unit}",
    }


def _asked(volume: Reading) -> str:
    try:
        known = cup_of(volume.si)
    except OutOfRange:
        known = None
    if known is Cup.QUART:
        return said("{low} to {high}", low="25.5", high="26.5 s")
    return said("not known for this cup")
