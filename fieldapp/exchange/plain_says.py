"""What one block of a plain log says: the values of its kind, or a form that waits for the desk.

An amendment takes over what it does not say from the entry as it stands at that point of the file.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Final, TypeAlias

from fieldapp.exchange.plain_entry import PlainDecision
from fieldapp.exchange.plain_fields import NamedLine, build, line_of, read_fields
from fieldapp.exchange.plain_lines import Block
from fieldapp.exchange.plain_problem import Faults
from fieldapp.exchange.plain_setup import PlainLimit, PlainSetup, read_limit
from fieldapp.exchange.plain_times import read_moment
from fieldapp.exchange.plain_words import EMPTY, names_in
from fieldapp.record.acceptance import AcceptanceSet
from fieldapp.record.decisions import (
    Amend,
    Basis,
    Disposition,
    Hold,
    LogSigned,
    Position,
    Release,
    Strike,
    Withdrawal,
)
from fieldapp.record.kinds import ALL, KINDS, Values
from fieldapp.record.reading import Impossible
from fieldapp.record.setup import ProjectSetup

Says: TypeAlias = Values | PlainDecision | PlainSetup

OF_EVERY_ENTRY: Final = ("author", "recorded", "confirmed")
_NOT_TYPED: Final = frozenset({"basis"})
_ANY_BASIS: Final = Basis((Position("any", 1),), "0" * 64)
_ANY_SET: Final = AcceptanceSet("any", "any", "any", ())


@dataclass(frozen=True, slots=True)
class Marked:
    """What a label means: the entry, what it says now, and its latest change.

    ``says`` is None when the entry could not be read.
    """

    id: str
    kind: str
    shaft: str | None
    says: Says | None
    head: str
    struck: bool = False


def names_for(block: Block, target: Marked | None) -> Mapping[str, str]:
    """The spellings of the fields that may stand in a block."""
    own = {name: name for name in OF_EVERY_ENTRY}
    if block.kind == Strike.KIND:
        return own | {"because": "because"}
    if block.kind == Amend.KIND:
        fields = _typed(KINDS[target.kind]) if target else {}
        fields.pop("release", None)
        return fields | own | {"observed": "observed", "because": "because"}
    if block.kind == ProjectSetup.KIND:
        own["limit"] = "limit"
    return _typed(KINDS[block.kind]) | own


def _typed(made: type) -> dict[str, str]:
    return {spelled: name for spelled, name in names_in(made).items() if name not in _NOT_TYPED}


def says_of(block: Block, lines: list[NamedLine], faults: Faults) -> Says | None:
    """Values or form of any kind that refers to no other entry; None with faults noted."""
    made = KINDS[block.kind]
    if made is ProjectSetup:
        return _setup(block, lines, faults)
    said = read_fields(made, lines, block.ground, faults)
    if made in {LogSigned, Release, Hold, Disposition}:
        decided = build(made, {**said, "basis": _ANY_BASIS}, lines, block.line, faults)
        return PlainDecision(made, tuple(said.items())) if decided else None
    values = build(made, said, lines, block.line, faults)
    return values if isinstance(values, ALL) else None


def _setup(block: Block, lines: list[NamedLine], faults: Faults) -> PlainSetup | None:
    kept = [each for each in lines if each.name not in {"acceptance", "limit"}]
    said = read_fields(ProjectSetup, kept, block.ground, faults)
    named = [each for each in lines if each.name == "acceptance"]
    if len(named) != 1:
        read = ", ".join(each.value for each in named) or "nothing"
        faults.add(block.line, "acceptance", read, "one acceptance set, like 'acceptance  us-classic'")
    limits: list[PlainLimit] = []
    for each in (line for line in lines if line.name == "limit"):
        try:
            limits.append(read_limit(each.value))
        except Impossible as problem:
            faults.take(each.line, problem)
    whole = build(ProjectSetup, {**said, "acceptance": _ANY_SET}, lines, block.line, faults)
    if whole is None or len(named) != 1:
        return None
    return PlainSetup(named[0].value, tuple(limits), tuple(said.items()))


def withdrawn(
    block: Block, lines: list[NamedLine], marked: Mapping[str, Marked], faults: Faults
) -> Says | None:
    """A withdrawal of the release whose label it names."""
    said = read_fields(Withdrawal, lines, block.ground, faults)
    label = str(said.get("release", "nothing"))
    release = marked.get(label.removeprefix("#"))
    if release is None or release.kind != Release.KIND:
        line = line_of("release", lines, block.line)
        faults.add(line, "release", label, f"the label of a release above, known are {known_labels(marked)}")
        return None
    values = build(Withdrawal, {**said, "release": release.id}, lines, block.line, faults)
    return values if isinstance(values, Withdrawal) else None


def struck(block: Block, lines: list[NamedLine], target: Marked, faults: Faults) -> Strike | None:
    """A strike of the entry meant."""
    values = build(Strike, {"target": target.id, **_why(lines)}, lines, block.line, faults)
    return values if isinstance(values, Strike) else None


def amended(block: Block, lines: list[NamedLine], target: Marked, faults: Faults) -> Amend | None:
    """An amendment of the entry meant, saying in full what it should say."""
    now = target.says
    if now is None:
        return None
    if not isinstance(now, ALL):
        faults.add(block.line, "amend", target.kind, "an observation; a decision or a set-up is made anew")
        return None
    observed_at = _observed(block, lines, faults)
    own = [each for each in lines if each.name not in {"observed", "because"}]
    said = read_fields(type(now), own, block.ground, faults, now)
    if all(each.name == "because" for each in lines):
        faults.add(
            block.line, "amend", "nothing", "a field that changes, or 'observed  ...' for another time"
        )
        return None
    says = _replaced(now, said, own, block, faults)
    if says is None:
        return None
    whole = {"target": target.id, "says": says, "observed_at": observed_at, **_why(lines)}
    values = build(Amend, whole, lines, block.line, faults)
    return values if isinstance(values, Amend) else None


def _replaced(
    now: Values, said: dict[str, Any], lines: list[NamedLine], block: Block, faults: Faults
) -> Values | None:
    if faults.of_entry:
        return None
    try:
        return replace(now, **said)
    except Impossible as problem:
        faults.take(line_of(problem.field_name, lines, block.line), problem)
        return None


def _why(lines: list[NamedLine]) -> dict[str, str]:
    reasons = [each.value for each in lines if each.name == "because" and each.value not in EMPTY]
    return {"why": " ".join(reasons)} if reasons else {}


def _observed(block: Block, lines: list[NamedLine], faults: Faults) -> datetime | None:
    for each in (line for line in lines if line.name == "observed"):
        try:
            return read_moment("observed", each.value, block.ground)
        except Impossible as problem:
            faults.take(each.line, problem)
    return None


def known_labels(marked: Mapping[str, Marked]) -> str:
    """The labels given so far, for a sentence."""
    return ", ".join(f"#{label}" for label in marked) or "none"
