"""From a document that an engineer edits to an acceptance set, and from one value to its replacement.

The document is a parsed TOML file (the desk reads it); its form stands at the head of every preset.
Everything is strict: a key, name, word, unit or confidence that is not known is refused, and so is a
number that is not text, because only text keeps what was printed.  A value of ``user`` stays to be
entered, and no value is ever filled in here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from enum import StrEnum
from typing import Final

from fieldapp.criteria.parameters import PARAMETERS, TO_BE_ENTERED, ParameterKind
from fieldapp.record.acceptance import CONFIDENCES, AcceptanceSet, Applies, Parameter
from fieldapp.record.reading import Impossible, Reading, check_text
from fieldapp.record.words import (
    DesignBasis,
    Fluid,
    FluidStage,
    InstrumentType,
    Method,
    Salinity,
    StructureClass,
)
from fieldapp.units import UNITS

__all__ = [
    "PARAMETERS",
    "Adoption",
    "ParameterKind",
    "acceptance_set",
    "added",
    "changed",
    "described",
    "split_unit",
]

_SET_KEYS: Final = ("id", "title", "standard", "note", "parameter")
_TEXT_KEYS: Final = ("source", "edition", "clause", "confidence", "verified_by", "note")
_PARAMETER_KEYS: Final = ("name", "value", "unit", "strict", *_TEXT_KEYS, "applies")
_APPLIES_WORDS: Final[dict[str, type[StrEnum]]] = {
    "method": Method,
    "fluid": Fluid,
    "stage": FluidStage,
    "salinity": Salinity,
    "design_basis": DesignBasis,
    "structure_class": StructureClass,
    "instrument": InstrumentType,
}
_APPLIES_LENGTHS: Final = ("diameter_from", "diameter_under")
_CONTRACT: Final = "contract"
_DIAMETER: Final = ParameterKind("", "diameter", ("length",))


@dataclass(frozen=True, slots=True)
class Adoption:
    """Who answers for a value that a project sets itself, and where the contract says it.

    ``strict`` None keeps what the replaced parameter says (not strict for one that is added).
    """

    verified_by: str
    source: str = "project contract"
    edition: str = ""
    clause: str = ""
    note: str = ""
    strict: bool | None = None

    def __post_init__(self) -> None:
        check_text("verified_by", self.verified_by, 120)
        check_text("source", self.source)


def acceptance_set(document: Mapping[str, object]) -> AcceptanceSet:
    """The acceptance set that a parsed document writes down.

    Raises Impossible, naming the set, the parameter, what was read and what was expected, for
    anything that is not known, does not fit, stands twice for the same case, or is not text.
    """
    where = f"acceptance set '{document.get('id', '?')}'"
    _refuse_unknown(where, document, _SET_KEYS)
    text = {key: _text(where, document, key, needed=key != "note") for key in _SET_KEYS[:-1]}
    tables = document.get("parameter")
    if not isinstance(tables, list) or not tables:
        raise Impossible(where, str(tables), "one or more [[parameter]] tables")
    read = tuple(_parameter(where, number, table) for number, table in enumerate(tables, start=1))
    _refuse_twice(where, read)
    return AcceptanceSet(text["id"], text["title"], text["standard"], read, text["note"])


def changed(
    accepted: AcceptanceSet, name: str, applies: Applies, value: str, adoption: Adoption
) -> AcceptanceSet:
    """A new set in which the parameter of this name and case holds the project's own value.

    The value is text as in the document, ``25 mm``; its confidence becomes ``contract``.
    Raises Impossible when the set has no such parameter, or the value does not fit it.
    """
    old = next(
        (each for each in accepted.parameters if _case(each.name, each.applies) == _case(name, applies)), None
    )
    if old is None:
        have = [described(each.name, each.applies) for each in accepted.parameters if each.name == name]
        expected = "one of " + "; ".join(have) if have else "a parameter of the set; add it first"
        raise Impossible(_where(accepted), described(name, applies), expected)
    new = _adopted(_where(accepted), old, value, adoption)
    return replace(accepted, parameters=tuple(new if each is old else each for each in accepted.parameters))


def added(
    accepted: AcceptanceSet, name: str, applies: Applies, value: str, adoption: Adoption
) -> AcceptanceSet:
    """A new set with one more parameter, for a limit that only the project's contract asks for.

    Raises Impossible when the name is not known, the value does not fit it, or the set has the case.
    """
    _kind(_where(accepted), name)
    blank = Parameter(name, None, "", adoption.source, _CONTRACT, applies=applies)
    parameters = (*accepted.parameters, _adopted(_where(accepted), blank, value, adoption))
    _refuse_twice(_where(accepted), parameters)
    return replace(accepted, parameters=parameters)


def described(name: str, applies: Applies) -> str:
    """A parameter and its case in words: ``density_max (fluid mineral; stage before concrete)``."""
    cases = [
        f"{key.replace('_', ' ')} {', '.join(getattr(applies, key))}"
        for key in _APPLIES_WORDS
        if getattr(applies, key)
    ]
    cases += [
        f"{key.replace('_', ' ')} {getattr(applies, key)}"
        for key in _APPLIES_LENGTHS
        if getattr(applies, key)
    ]
    return f"{name} ({'; '.join(cases)})" if cases else name


def split_unit(text: str) -> tuple[str, str]:
    """Number and unit of ``1-1/2 in``.

    The last token is the unit when it is a known symbol; else all of it is the number, without unit.
    """
    number, _, last = text.strip().rpartition(" ")
    return (number.strip(), last) if number.strip() and last in UNITS else (text.strip(), "")


def _where(accepted: AcceptanceSet) -> str:
    return f"acceptance set '{accepted.id}'"


def _kind(where: str, name: str) -> ParameterKind:
    if name not in PARAMETERS:
        close = get_close_matches(name, PARAMETERS, 3) or list(PARAMETERS)
        raise Impossible(f"{where}, name of a parameter", name, f"a known name, such as {', '.join(close)}")
    return PARAMETERS[name]


def _adopted(where: str, old: Parameter, value: str, adoption: Adoption) -> Parameter:
    kind = _kind(where, old.name)
    where = f"{where}, {described(old.name, old.applies)}"
    if value == TO_BE_ENTERED:
        raise Impossible(where, value, kind.expected_value)
    number, unit = _value(where, kind, value)
    strict = old.strict if adoption.strict is None else adoption.strict
    return Parameter(
        old.name,
        number,
        unit,
        adoption.source,
        _CONTRACT,
        strict,
        adoption.edition,
        adoption.clause,
        adoption.verified_by,
        adoption.note,
        old.applies,
    )


def _parameter(where: str, number: int, table: object) -> Parameter:
    if not isinstance(table, dict):
        raise Impossible(f"{where}, parameter {number}", str(table), "a [[parameter]] table")
    where = f"{where}, parameter {number} {table.get('name', '(no name)')}"
    _refuse_unknown(where, table, _PARAMETER_KEYS)
    name = _text(where, table, "name")
    kind = _kind(where, name)
    text = {key: _text(where, table, key, needed=key in {"source", "confidence"}) for key in _TEXT_KEYS}
    strict = table.get("strict", False)
    if not isinstance(strict, bool):
        raise Impossible(f"{where}, strict", str(strict), "true or false, without quotation marks")
    if text["confidence"] not in CONFIDENCES:
        raise Impossible(f"{where}, confidence", text["confidence"], f"one of {', '.join(CONFIDENCES)}")
    value, unit = _entered_or_open(where, kind, table)
    if value is not None and text["confidence"] == "none":
        raise Impossible(f"{where}, confidence", "none", f"'none' only beside '{TO_BE_ENTERED}'")
    return Parameter(name, value, unit, strict=strict, applies=_applies(where, table), **text)


def _entered_or_open(where: str, kind: ParameterKind, table: Mapping[str, object]) -> tuple[str | None, str]:
    value = _text(where, table, "value")
    unit = _text(where, table, "unit", needed=False)
    if value != TO_BE_ENTERED:
        if unit:
            raise Impossible(f"{where}, unit", unit, f"the unit in the value itself, '{value} {unit}'")
        return _value(where, kind, value)
    if unit and not kind.takes_unit(unit):
        raise Impossible(f"{where}, unit", unit, kind.expected_value)
    return None, unit


def _value(where: str, kind: ParameterKind, text: str) -> tuple[str, str]:
    if not kind.dimensions:
        return _words(where, kind, text), ""
    number, unit = split_unit(text)
    unit = unit or kind.bare_unit
    if not unit or not kind.takes_unit(unit):
        raise Impossible(f"{where}, value", text, kind.expected_value)
    try:
        objection = kind.objection(Reading(number, unit))
    except Impossible as problem:
        raise Impossible(f"{where}, value", text, problem.expected) from None
    if objection:
        raise Impossible(f"{where}, value", text, objection)
    return number, unit


def _words(where: str, kind: ParameterKind, text: str) -> str:
    words = [each.strip() for each in text.split(",")] if kind.several else [text.strip()]
    if kind.words and (len(set(words)) != len(words) or not set(words) <= set(kind.words)):
        raise Impossible(f"{where}, value", text, kind.expected_value)
    return ", ".join(words)


def _applies(where: str, table: Mapping[str, object]) -> Applies:
    where = f"{where}, applies"
    given = table.get("applies", {})
    if not isinstance(given, dict):
        raise Impossible(where, str(given), 'a table such as { fluid = ["mineral"] }')
    _refuse_unknown(where, given, (*_APPLIES_WORDS, *_APPLIES_LENGTHS))
    cases = {
        key: _case_words(f"{where} {key}", given[key], known)
        for key, known in _APPLIES_WORDS.items()
        if key in given
    }
    lengths = {key: _length(where, given, key) for key in _APPLIES_LENGTHS if key in given}
    applies = replace(Applies(), **cases, **lengths)  # type: ignore[arg-type]  # keys are fields, checked above
    least, under = applies.diameter_from, applies.diameter_under
    if least is not None and under is not None and least.si >= under.si:
        raise Impossible(where, f"from {least} to under {under}", "a diameter_from below the diameter_under")
    return applies


def _case_words(where: str, given: object, known: type[StrEnum]) -> tuple[StrEnum, ...]:
    expected = f"a list of one or more of {', '.join(known)}, each once"
    if not isinstance(given, list) or not given or not set(map(str, given)) <= set(map(str, known)):
        raise Impossible(where, str(given), expected)
    if len(set(given)) != len(given):
        raise Impossible(where, str(given), expected)
    return tuple(each for each in known if each in given)


def _length(where: str, table: Mapping[str, object], key: str) -> Reading:
    text = _text(where, table, key)
    number, unit = _value(f"{where} {key}", _DIAMETER, text)
    return Reading(number, unit)


def _text(where: str, table: Mapping[str, object], key: str, *, needed: bool = True) -> str:
    text = table.get(key, "")
    if not isinstance(text, str):
        raise Impossible(
            f"{where}, {key}", str(text), 'text in quotation marks, with its unit, such as "1/2 in"'
        )
    if text or needed:
        check_text(f"{where}, {key}", text)
    return text


def _refuse_unknown(where: str, table: Mapping[str, object], known: tuple[str, ...]) -> None:
    for key in table:
        if key not in known:
            raise Impossible(f"{where}, key", key, f"one of {', '.join(known)}")


def _refuse_twice(where: str, parameters: tuple[Parameter, ...]) -> None:
    seen = set()
    for each in parameters:
        case = _case(each.name, each.applies)
        if case in seen:
            raise Impossible(
                where, described(each.name, each.applies), "each parameter once for the same case"
            )
        seen.add(case)


def _case(name: str, applies: Applies) -> tuple[object, ...]:
    words = tuple(frozenset(getattr(applies, key)) for key in _APPLIES_WORDS)
    lengths = (getattr(applies, key) for key in _APPLIES_LENGTHS)
    return (name, *words, *(each and each.si for each in lengths))
