"""What the limits say of one fluid sample, field by field."""

from __future__ import annotations

from collections.abc import Iterator

from fieldapp.criteria.finding import Outcome
from fieldapp.criteria.fluid_sets import PROPERTIES, answer_of, coldest_at, temperature_held
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import sentence
from fieldapp.desk.entry_forms.form import FieldAnswer
from fieldapp.record.column import FluidTest
from fieldapp.record.fold import Line
from fieldapp.record.said import said


def sample_answers(look: Look, sample: Line[FluidTest]) -> Iterator[FieldAnswer]:
    """Every tested property of a sample held against the limits of its stage, then its temperature."""
    for what in PROPERTIES:
        answer = answer_of(look, sample, what)
        if what.read(sample.values) is None or answer.outcome is Outcome.NOT_ASKED:
            continue
        about = {"name": sentence(what.name)}
        if answer.held is None:
            says = said("{name} {why}.", why=answer.why, **about)
        else:
            about |= {"value": answer.held.value, "limit": answer.held.limit}
            says = said("{name} {value}, asked {limit}.", **about)
        yield FieldAnswer(what.field, str(answer.outcome), says)
    if sample.values.temperature is not None and coldest_at(look, sample.values) is not None:
        yield _of_temperature(look, sample.values)


def _of_temperature(look: Look, sample: FluidTest) -> FieldAnswer:
    held = temperature_held(look, sample)
    if held is None:
        says = said("{name} {why}.", name=said("Temperature"), why=said("the limit is still to be entered"))
        return FieldAnswer("temperature", str(Outcome.NOT_SHOWN), says)
    about = {"temperature": held.value, "limit": held.limit}
    if held.within:
        says = said("Tested at {temperature}, asked {limit}.", **about)
        return FieldAnswer("temperature", str(Outcome.MET), says)
    says = said("Tested at {temperature}, asked {limit}: an invalid test.", **about)
    return FieldAnswer("temperature", str(Outcome.NOT_SHOWN), says)
