"""Whether the instruments behind the round and the fluid tests were checked, and passed."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Final

from fieldapp.criteria.finding import Finding, Group, Work
from fieldapp.criteria.fluid_limits import last_set
from fieldapp.criteria.fluid_sets import PROPERTIES
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import as_read, clock, days, seconds, source_of, term
from fieldapp.criteria.requirement import Requirement
from fieldapp.criteria.rounds import latest_round
from fieldapp.record.acceptance import Parameter
from fieldapp.record.column import FluidTest
from fieldapp.record.fold import Line
from fieldapp.record.said import said
from fieldapp.record.setup import Instrument
from fieldapp.record.words import Fluid, InstrumentType

TAPE: Final = Requirement(
    "sounding instrument", Group.EVIDENCE, 5, "The tape or probe of the round was checked and passed."
)
FLUID_KIT: Final = Requirement(
    "fluid instruments", Group.EVIDENCE, 4, "The instruments of the fluid tests were checked and passed."
)
REQUIREMENTS: Final = (TAPE, FLUID_KIT)
_NAME: Final = "instrument_check_max_age"


def round_instrument(look: Look) -> Finding:
    """The instrument of the latest round: known, passed before it, in date, and not failed after it."""
    line = latest_round(look)
    if not _asked_at_all(look) or line is None:
        return TAPE.not_asked("" if line else said("There is no round yet."))
    label, used_at = line.values.instrument, line.observed_at
    limit = _limit(look, _type_of(look, label))
    rest = {"when": used_at, "entries": line.entries, "source": source_of(limit)}
    trouble = trouble_of(look, label, used_at)
    if trouble:
        says = said("{label} {trouble}.", label=label, trouble=trouble)
        return TAPE.not_shown(says, Work.CHECK_INSTRUMENT, measured=trouble, **rest)
    to_be_entered = TAPE.to_be_entered(limit)
    return to_be_entered or TAPE.met(said("{label} was checked and passed.", label=label), **rest)


def fluid_instruments(look: Look) -> Finding:
    """Every instrument of the last set before concrete; one that has to be checked must be named."""
    found = last_set(look) if look.scheduled.fluid is not Fluid.NONE else None
    if not _asked_at_all(look) or found is None:
        return FLUID_KIT.not_asked("" if found else said("There is no fluid test yet."))
    rest = {"when": found.last[0], "entries": found.entries, "source": source_of(look.limit(_NAME))}
    for sample in found.samples:
        for label in sample.values.instruments:
            trouble = trouble_of(look, label, sample.observed_at)
            if trouble:
                says = said("{label} {trouble}.", label=label, trouble=trouble)
                return FLUID_KIT.not_shown(says, Work.CHECK_INSTRUMENT, measured=trouble, **rest)
        unnamed = _unnamed(look, sample.values)
        if unnamed:
            about = {"instrument": term(unnamed), "number": found.number}
            says = said("No {instrument} is named with set {number}.", **about)
            measured = said("no {instrument}", instrument=term(unnamed))
            return FLUID_KIT.not_shown(says, Work.CHECK_INSTRUMENT, measured=measured, **rest)
    says = said("Instruments of set {number} were checked and passed.", number=found.number)
    return FLUID_KIT.met(says, **rest)


def _asked_at_all(look: Look) -> bool:
    return any(each.name == _NAME for each in look.setup.acceptance.parameters)


def _limit(look: Look, kind: InstrumentType | None) -> Parameter | None:
    return look.limit(_NAME, look.case.read_with(kind) if kind else look.case)


def _type_of(look: Look, label: str) -> InstrumentType | None:
    checks = look.project.checks_of(label)
    return checks[-1].values.type if checks else None


def _unnamed(look: Look, sample: FluidTest) -> str:
    """The first kind of instrument that was used and has to be checked, but is not named."""
    have = {_type_of(look, label) for label in sample.instruments}
    used = (each.instrument for each in PROPERTIES if each.read(sample) is not None)
    return next((str(each) for each in used if each not in have and _limit(look, each)), "")


def trouble_of(look: Look, label: str, used_at: datetime) -> str:
    """What is wrong with an instrument as it was used; empty when nothing is."""
    checks = look.project.checks_of(label)
    before = [each for each in checks if each.observed_at <= used_at]
    if not before:
        return said("was not checked before it was used" if checks else "is not in the list of instruments")
    last = before[-1]
    if not last.values.passed:
        return said("failed its check at {time}", time=clock(last.observed_at))
    limit = _limit(look, last.values.type)
    age = seconds(used_at - last.observed_at)
    if limit is not None and limit.reading is not None and age > limit.reading.si:
        ages = {"age": days(age), "limit": as_read(limit.reading)}
        return said("was checked {age} before, asked at most {limit}", **ages)
    return _failed_later(checks, used_at)


def _failed_later(checks: Iterable[Line[Instrument]], used_at: datetime) -> str:
    after = [each for each in checks if each.observed_at > used_at]
    if after and not after[0].values.passed:
        return said("failed its next check at {time}", time=clock(after[0].observed_at))
    return ""
