"""A value held against one limit: exact, and strict or inclusive as the limit says."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fieldapp.criteria.phrasing import Phrases, Quantity, at_least, at_most, source_of
from fieldapp.record.acceptance import Parameter


@dataclass(frozen=True, slots=True)
class Held:
    """A value beside its limit, with both said in the project's units."""

    within: bool
    value: str
    limit: str
    source: str


def limit_value(parameter: Parameter) -> Fraction:
    """SI value of a limit that was entered.  Raises ValueError for a word or one still to be entered."""
    if parameter.reading is None:
        raise ValueError(f"{parameter.name} has no value to hold a reading against")
    return parameter.reading.si


def is_within(value: Fraction, limit: Fraction, strict: bool, upper: bool) -> bool:
    """Whether a value keeps its limit; exactly at the limit it does unless the limit is strict."""
    if value < limit:
        return upper
    return not strict if value == limit else not upper


def held_under(
    phrases: Phrases, quantity: Quantity, value: Fraction, parameter: Parameter, add: Fraction = Fraction(0)
) -> Held:
    """Hold a value against an upper limit, raised by ``add``."""
    limit = limit_value(parameter) + add if add else limit_value(parameter)
    value_said, limit_said = phrases.apart(quantity, value, limit)
    inside = is_within(value, limit, parameter.strict, upper=True)
    return Held(inside, value_said, at_most(limit_said, parameter.strict), source_of(parameter))


def held_over(
    phrases: Phrases, quantity: Quantity, value: Fraction, parameter: Parameter, add: Fraction = Fraction(0)
) -> Held:
    """Hold a value against a lower limit, raised by ``add``."""
    limit = limit_value(parameter) + add if add else limit_value(parameter)
    value_said, limit_said = phrases.apart(quantity, value, limit)
    inside = is_within(value, limit, parameter.strict, upper=False)
    return Held(inside, value_said, at_least(limit_said, parameter.strict), source_of(parameter))
