"""How a number of an acceptance set is said on the screens: its case, its value, where it comes from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldapp.ui.words import acceptance as words
from fieldapp.ui.words.common import sentence
from fieldapp.ui.words.tongue import degrees, tr

if TYPE_CHECKING:
    from fieldapp.record.acceptance import Applies, Parameter


def meaning_of(name: str) -> str:
    """What a number of this name limits, as a title."""
    return sentence(tr(words.MEANINGS[name]))


def case_of(applies: Applies) -> str:
    """Where a number applies, in words; empty for everywhere."""
    said = []
    for name, template in words.CASES.items():
        found = getattr(applies, name)
        if isinstance(found, tuple) and found:
            said.append(tr(template, words=", ".join(tr(str(word)) for word in found)))
        elif found:
            said.append(tr(template, length=found))
    return "; ".join(said)


def value_of(parameter: Parameter) -> str:
    """What a number says; that it must be entered where it is open."""
    if parameter.value is None:
        return tr(words.ENTER)
    if parameter.reading is None:
        return ", ".join(tr(each.strip().replace("_", " ")) for each in parameter.value.split(","))
    value = degrees(str(parameter.reading))
    return tr(words.STRICTLY, value=value) if parameter.strict else value


def source_of(parameter: Parameter) -> str:
    """How far a number can be relied on, who verified it, and where it comes from; a sentence of its own."""
    source = parameter.source
    if parameter.clause:
        source = tr(words.CLAUSE, source=tr(source), clause=parameter.clause)
    confidence = tr(words.CONFIDENCES[parameter.confidence])
    if parameter.verified_by:
        by = parameter.verified_by
        return sentence(tr(words.VERIFIED, source=tr(source), confidence=confidence, name=by))
    return sentence(tr(words.SOURCE, source=tr(source), confidence=confidence))


def asked_by(name: str) -> str:
    """The requirements that ask for a number."""
    from fieldapp.desk.projects.acceptance_numbers import asked_by as names_of

    names = names_of(name)
    if not names:
        return tr(words.ASKED_BY_NONE)
    return tr(words.ASKED_BY, names=", ".join(tr(each) for each in names))
