"""What a fluid sample is read with: its instruments, and the funnel's last check in water."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from fieldapp.criteria.finding import Outcome
from fieldapp.criteria.fluid_sets import DENSITY, FUNNEL, PH, SAND
from fieldapp.criteria.instrument_rules import trouble_of
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import clock
from fieldapp.desk.entry_forms.form import FieldAnswer
from fieldapp.fluid.funnel import Cup, FunnelReading, check_in_water, cup_of
from fieldapp.record.reading import Reading
from fieldapp.record.said import said
from fieldapp.record.setup import Instrument
from fieldapp.units import OutOfRange

US_QUART: Final = Reading("946", "mL")
_READ: Final = (DENSITY, FUNNEL, SAND, PH)

Labels = tuple[tuple[str, str], ...]


def read_with(look: Look, named: Sequence[str]) -> Labels:
    """Field and label of each instrument: the first one named, else the one that was checked last."""
    found = []
    checked = tuple(_checked(look))
    for what in _READ:
        labels = [each.label for each in checked if each.type is what.instrument]
        if labels:
            found.append((what.field, next((each for each in named if each in labels), labels[-1])))
    return tuple(found)


def choices(look: Look) -> Labels:
    """Every instrument a sample can be read with, each once: its label and its type."""
    types = {each.instrument for each in _READ}
    return tuple({each.label: str(each.type) for each in _checked(look) if each.type in types}.items())


def cup(look: Look, funnel: str) -> Reading:
    """The cup of a funnel as it was checked last; a US quart where no funnel is known."""
    volumes = [each.cup_volume for each in _checked(look) if each.label == funnel and each.cup_volume]
    return volumes[-1] if volumes else US_QUART


def funnel_check(look: Look, funnel: str) -> FieldAnswer:
    """When a funnel was last checked with water, and whether that shows it to be right.

    Met only where the check passed, is in date, and its time is the one asked for its cup.
    """
    if not funnel:
        return _answer(Outcome.NOT_SHOWN, said("No funnel was checked with water yet."))
    checks = look.project.checks_of(funnel)
    water = [each for each in checks if each.values.water_time is not None]
    if not water:
        return _answer(Outcome.NOT_SHOWN, said("{funnel} was not checked with water yet.", funnel=funnel))
    last = water[-1]
    about = {"funnel": funnel, "time": str(last.values.water_time), "when": clock(last.observed_at)}
    if not last.values.passed:
        says = said("{funnel}: water {time} at {when}, failed. Clean it and check again.", **about)
        return _answer(Outcome.NOT_MET, says)
    trouble = trouble_of(look, funnel, look.at)
    if trouble:
        return _answer(Outcome.NOT_SHOWN, said("{label} {trouble}.", label=funnel, trouble=trouble))
    right = _time_is_right(last.values)
    if right:
        return _answer(Outcome.MET, said("{funnel}: water {time} at {when}, passed.", **about))
    if right is None:
        says = said("{funnel}: water {time} at {when}. For this cup no time to ask is known.", **about)
        return _answer(Outcome.NOT_SHOWN, says)
    says = said("{funnel}: water {time} at {when}, asked 25.5 to 26.5 s. Check again.", **about)
    return _answer(Outcome.NOT_SHOWN, says)


def _time_is_right(check: Instrument) -> bool | None:
    """Whether water ran out in time; None for a cup that no time is known for."""
    if check.water_time is None or check.cup_volume is None:
        return None
    try:
        known = cup_of(check.cup_volume.si)
    except OutOfRange:
        return None
    if known is not Cup.QUART:
        return None
    return check_in_water(FunnelReading(check.water_time.si, known)).time_right


def _checked(look: Look) -> Iterable[Instrument]:
    return (each.values for each in look.project.instruments)


def _answer(outcome: Outcome, says: str) -> FieldAnswer:
    return FieldAnswer(FUNNEL.field, str(outcome), says)
