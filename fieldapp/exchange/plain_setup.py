"""The project set-up as typed: a named acceptance set, and the limits that the contract puts in its place.

``limit  max_thickness_anywhere  at most 50 mm  contract: particular specification 4.2`` replaces every
value of that name; with ``for mineral, before concrete`` behind it only the one for the same case.  A limit
that the set does not hold is added to it.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from enum import EnumType
from typing import Any, Final, get_args

from fieldapp.criteria.acceptance import Adoption, added, changed
from fieldapp.exchange.plain_words import one_of, parts_of
from fieldapp.record.acceptance import AcceptanceSet, Applies
from fieldapp.record.codec import field_types
from fieldapp.record.reading import Impossible
from fieldapp.record.setup import ProjectSetup

_STRICT: Final = {"less than ": True, "more than ": True, "at most ": False, "at least ": False}
_NO_SET: Final = AcceptanceSet("the limit", "the limit", "none", ())


@dataclass(frozen=True, slots=True)
class PlainLimit:
    """A limit as typed; ``strict`` None keeps that of the set, ``applies`` None means every case."""

    name: str
    value: str
    source: str
    strict: bool | None = None
    applies: Applies | None = None

    def put_into(self, accepted: AcceptanceSet, answers: str) -> AcceptanceSet:
        """The set with this limit, for which the person ``answers`` answers.  Raises Impossible."""
        adoption = Adoption(verified_by=answers, source=self.source, strict=self.strict)
        cases = [each.applies for each in accepted.parameters if each.name == self.name]
        if self.applies is not None:
            cases = [self.applies] if self.applies in cases else []
        if not cases:
            return added(accepted, self.name, self.applies or Applies(), self.value, adoption)
        for case in cases:
            accepted = changed(accepted, self.name, case, self.value, adoption)
        return accepted


@dataclass(frozen=True, slots=True)
class PlainSetup:
    """A project set-up as typed, without the content of the acceptance set ``acceptance`` that it names."""

    acceptance: str
    limits: tuple[PlainLimit, ...]
    said: tuple[tuple[str, Any], ...]

    def settled(self, preset: AcceptanceSet, answers: str) -> ProjectSetup:
        """The set-up with its acceptance set in full; the author ``answers`` for its limits.

        Raises Impossible for a limit that does not fit.
        """
        for limit in self.limits:
            preset = limit.put_into(preset, answers)
        return ProjectSetup(acceptance=preset, **dict(self.said))


def read_limit(text: str) -> PlainLimit:
    """Limit from ``name  value  source`` and maybe ``for case``.  Raises Impossible, also for its value."""
    parts = parts_of(text)
    if len(parts) not in {3, 4} or (len(parts) == 4 and not parts[3].startswith("for ")):
        example = "max_thickness_anywhere  50 mm  contract: particular specification 4.2"
        raise Impossible("limit", text, f"name, value and source two spaces apart, like '{example}'")
    value, strict = parts[1], None
    for words, meaning in _STRICT.items():
        if value.startswith(words):
            value, strict = value.removeprefix(words), meaning
    source = parts[2].removeprefix("contract:").strip() or parts[2]
    applies = _applies(parts[3].removeprefix("for ")) if len(parts) == 4 else None
    limit = PlainLimit(parts[0].replace(" ", "_"), value, source, strict, applies)
    limit.put_into(_NO_SET, "reader")
    return limit


def _applies(text: str) -> Applies:
    """The case from words such as ``wet, mineral, before concrete``."""
    meant = {
        word.value: (each.name, word)
        for each in fields(Applies)
        for word in _words_of(field_types(Applies)[each.name])
    }
    chosen: dict[str, tuple[Any, ...]] = {}
    for word in (piece.strip() for piece in text.split(",")):
        if word not in meant:
            raise Impossible("limit", word, f"one of {one_of(word, meant)}")
        name, value = meant[word]
        chosen[name] = (*chosen.get(name, ()), value)
    return replace(Applies(), **chosen)  # type: ignore[arg-type]  # each word has the type of its field


def _words_of(hint: Any) -> tuple[Any, ...]:
    inner = next(iter(get_args(hint)), None)
    return tuple(inner) if isinstance(inner, EnumType) else ()
