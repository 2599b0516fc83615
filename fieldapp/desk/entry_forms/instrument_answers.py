"""What a check in water says of a funnel while it is typed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldapp.criteria.finding import Outcome
from fieldapp.desk.entry_forms.filling import readable
from fieldapp.desk.entry_forms.form import EntryForm, FieldAnswer
from fieldapp.desk.entry_forms.office_sheets import WATER_TEMPERATURE
from fieldapp.desk.entry_forms.values import value_of
from fieldapp.fluid.funnel import Answer, FunnelReading, WaterCheck, check_in_water, cup_of
from fieldapp.record.reading import Reading
from fieldapp.record.said import said
from fieldapp.record.words import InstrumentType
from fieldapp.units import OutOfRange

_WATER_TIME = "water_time"


def instrument_answers(form: EntryForm, typed: Mapping[str, str]) -> tuple[FieldAnswer, ...]:
    """Whether the funnel runs water out in the time that it should; empty for other instruments."""
    texts = readable(form, typed)
    if texts.get("type") != InstrumentType.FUNNEL or _WATER_TIME not in texts:
        return ()
    read: dict[str, Reading] = {
        name: value_of(form.field(name), texts[name])
        for name in (_WATER_TIME, "cup_volume", WATER_TEMPERATURE)
        if name in texts
    }
    if "cup_volume" not in read:
        return _answer(Outcome.NOT_SHOWN, said("The water check needs the volume of the funnel's cup."))
    warm = read.get(WATER_TEMPERATURE)
    try:
        cup = cup_of(read["cup_volume"].si)
        checked = check_in_water(FunnelReading(read[_WATER_TIME].si, cup, warm.si if warm else None))
    except OutOfRange as problem:
        return _answer(Outcome.NOT_SHOWN, f"{problem}.")
    return _said(checked, read[_WATER_TIME])


def _said(checked: WaterCheck, time: Reading) -> tuple[FieldAnswer, ...]:
    values: dict[str, Any] = {"time": str(time)}
    if checked.answer is Answer.MET:
        return _answer(Outcome.MET, said("Water {time}, asked 25.5 to 26.5 s.", **values))
    if checked.time_right is False:
        outcome = Outcome.NOT_MET if checked.answer is Answer.NOT_MET else Outcome.NOT_SHOWN
        return _answer(
            outcome, said("Water {time}, asked 25.5 to 26.5 s: clean the funnel and check again.", **values)
        )
    if checked.time_right is None:
        return _answer(Outcome.NOT_SHOWN, said("For this cup no time in water is known to hold it against."))
    return _answer(
        Outcome.NOT_SHOWN,
        said("Water {time}; the check holds for water of 65 to 75 degF (18.3 to 23.9 degC).", **values),
    )


def _answer(outcome: Outcome, says: str) -> tuple[FieldAnswer, ...]:
    return (FieldAnswer(_WATER_TIME, str(outcome), says),)
