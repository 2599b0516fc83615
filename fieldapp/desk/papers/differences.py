"""Where what a paper states differs from what its journal gives, each place named for people."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from itertools import zip_longest
from typing import Any, Final

from fieldapp.desk.papers.printed import PrintedCredit, PrintedFacts, PrintedFinding
from fieldapp.record.said import said
from fieldapp.record.said_lists import word

LAST_DIGIT: Final = 1.01e-5
"""Machines round differently: relative, one in the last of six digits."""
LONGEST_SHOWN: Final = 160
_NUMBERS: Final = frozenset({"displacement_m", "credit", "least", "greatest", "lowest"})


@dataclass(frozen=True, slots=True)
class Difference:
    """One place: what it is about, what the paper states there, and what its journal gives."""

    what: str
    printed: str
    anew: str


def differences(printed: PrintedFacts, anew: PrintedFacts) -> tuple[Difference, ...]:
    """Every place where findings, standing, release, credits or the disposition differ."""
    return (
        *_findings(printed.findings, anew.findings),
        *_parts(said("standing"), printed.standing, anew.standing),
        *_parts(said("release"), printed.release, anew.release),
        *_credits(printed.credits, anew.credits),
        *_whole(said("disposition"), printed.stated, anew.stated),
    )


def _findings(printed: Sequence[PrintedFinding], anew: Sequence[PrintedFinding]) -> Iterator[Difference]:
    """By requirement; where one is missing, twice, or in another place, that is a difference too."""
    theirs, ours = [each.requirement for each in printed], [each.requirement for each in anew]
    if theirs == ours:
        for one, other in zip(printed, anew, strict=True):
            yield from _parts(word(one.requirement[:LONGEST_SHOWN]), one, other)
        return
    for each in dict.fromkeys((*theirs, *ours)):
        if theirs.count(each) != ours.count(each):
            yield Difference(word(each[:LONGEST_SHOWN]), _times(theirs.count(each)), _times(ours.count(each)))
    if sorted(theirs) == sorted(ours):
        yield Difference(said("findings"), said("another order"), said("their order"))


def _times(count: int) -> str:
    return said("{count} finding(s)", count=count)


def _credits(printed: Sequence[PrintedCredit], anew: Sequence[PrintedCredit]) -> Iterator[Difference]:
    for one, other in zip_longest(printed, anew):
        known = one or other
        yield from _whole(said("credit at {name}", name=word(known.name[:LONGEST_SHOWN])), one, other)


def _whole(what: str, one: Any, other: Any) -> Iterator[Difference]:
    """Something that may be missing on either side."""
    if one is None or other is None:
        if one is not other:
            yield Difference(what, _presence(one), _presence(other))
        return
    yield from _parts(what, one, other)


def _presence(found: Any) -> str:
    return said("none") if found is None else said("one")


def _parts(what: str, one: Any, other: Any) -> Iterator[Difference]:
    for each in fields(other):
        printed, anew = getattr(one, each.name), getattr(other, each.name)
        if printed == anew or (each.name in _NUMBERS and _round_alike(printed, anew)):
            continue
        name = said("{what}, {part}", what=what, part=word(each.name.replace("_", " ")))
        yield Difference(name, _shown(printed), _shown(anew))


def _round_alike(printed: str, anew: str) -> bool:
    try:
        return math.isclose(float(printed), float(anew), rel_tol=LAST_DIGIT)
    except ValueError:  # a credit as the designer stated it is text
        return False


def _shown(value: str | tuple[str, ...]) -> str:
    text = value if isinstance(value, str) else " / ".join(value)
    if not text:
        return said("nothing")
    return f"'{text[:LONGEST_SHOWN].rstrip('.')}'"
