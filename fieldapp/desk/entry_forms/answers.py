"""What the limits say of a form while it is typed: the rules themselves, tried on what is there so far."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Final

from fieldapp.criteria.finding import Finding, Outcome
from fieldapp.criteria.look import Look
from fieldapp.desk.entry_forms.as_if import IN_HAND, as_if
from fieldapp.desk.entry_forms.filling import readable, values_so_far
from fieldapp.desk.entry_forms.fluid_answers import sample_answers
from fieldapp.desk.entry_forms.form import EntryForm, FieldAnswer
from fieldapp.desk.entry_forms.instrument_answers import instrument_answers
from fieldapp.desk.entry_forms.pass_answers import pass_answers
from fieldapp.desk.entry_forms.recording import observed_at
from fieldapp.desk.entry_forms.rules_of import RULES
from fieldapp.desk.looking import look_at
from fieldapp.desk.workplace import Workplace
from fieldapp.record.cleaning import CleanoutPass
from fieldapp.record.column import FluidTest
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Impossible
from fieldapp.record.setup import Instrument, ShaftScheduled

_QUIET: Final = (Outcome.NOT_ASKED,)


def answers(
    place: Workplace, shaft: str | None, form: EntryForm, typed: Mapping[str, str]
) -> tuple[FieldAnswer, ...]:
    """Outcome and sentence of every field that a limit speaks of, as far as it was typed.

    Nothing is recorded.  A text that cannot be read yet is left out.  A cleanout pass has facts besides:
    ``next pass``, ``needed air``, ``submergence``, ``make-up``, each ``not shown`` where an input is missing.

    Raises UnknownShaft, NotOpen.
    """
    if form.kind == Instrument.KIND:
        return instrument_answers(form, typed)
    if shaft is None or form.kind == ShaftScheduled.KIND:
        return ()
    look = look_at(place, shaft)
    found: tuple[FieldAnswer, ...] = ()
    values = values_so_far(form, typed, look.at)
    if values is not None:
        found = _held(look, form, readable(form, typed), values)
    if form.kind == CleanoutPass.KIND:
        found += pass_answers(place, look, form, typed)
    return found


def _held(look: Look, form: EntryForm, typed: Mapping[str, str], values: Values) -> tuple[FieldAnswer, ...]:
    try:
        tried = as_if(look, values, _moment(look, typed), form.parents, form.target)
    except Impossible:
        return ()
    if isinstance(values, FluidTest):
        return _sampled(tried, form)
    answered = [
        (each.field, each.rule(tried))
        for each in RULES.get(form.kind, ())
        if all(name in typed for name in each.asks)
    ]
    return _weightiest(
        [(name, found) for name, found in answered if found.outcome not in _QUIET and _rests_on(found)]
    )


def _weightiest(answered: list[tuple[str, Finding]]) -> tuple[FieldAnswer, ...]:
    """One answer a field: the weightiest finding on it."""
    by_field: dict[str, Finding] = {}
    for name, found in answered:
        if name not in by_field or found.weight > by_field[name].weight:
            by_field[name] = found
    return tuple(FieldAnswer(name, str(each.outcome), each.says) for name, each in by_field.items())


def _moment(look: Look, typed: Mapping[str, str]) -> datetime:
    try:
        return observed_at(typed) or look.at
    except Impossible:
        return look.at


def _rests_on(finding: Finding) -> bool:
    """Whether a finding speaks of the entry in hand, and not of a later one."""
    return not finding.entries or IN_HAND in finding.entries


def _sampled(look: Look, form: EntryForm) -> tuple[FieldAnswer, ...]:
    wanted = {IN_HAND, form.target}
    lines = [each for each in look.lines(FluidTest) if wanted.intersection(each.entries)]
    return tuple(each for line in lines for each in sample_answers(look, line))
