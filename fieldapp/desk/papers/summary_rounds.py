"""Rounds of one shaft for the summary: how clean each was, what it broke, and what passes after it brought.

A round is judged by the very rules that judge the latest one, on the record as it stood when it was made.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Final

from fieldapp.criteria.base_rules import area_share, flat_cap, largest_thickness, mean_thickness
from fieldapp.criteria.finding import Outcome
from fieldapp.criteria.look import Look, pass_end, seen
from fieldapp.criteria.phrasing import clock
from fieldapp.criteria.rounds import round_facts
from fieldapp.record.cleaning import CleanoutPass, SoundingRound
from fieldapp.record.fold import Line
from fieldapp.record.said import said, said_of
from fieldapp.units import OutOfRange
from reports.summary_facts import Recleaned, RoundSeen

_BASE_RULES: Final = (area_share, largest_thickness, flat_cap, mean_thickness)


def round_seen(look: Look, line: Line[SoundingRound]) -> RoundSeen:
    """How clean a round shows the base; what it does not show is None."""
    values = line.values
    read = sum(each.thickness_m is not None for each in values.points)
    known = RoundSeen(values.number, line.observed_at.astimezone(look.at.tzinfo), read, len(values.points))
    try:
        facts = round_facts(look, line)
        limit = look.limit("area_fraction_limit")
        asked = limit.reading.si if limit is not None and limit.reading is not None else None
        clean = facts.share(asked or Fraction(0), limit.strict if limit is not None else False)
    except OutOfRange as problem:
        return replace(known, stale=said_of(problem))
    return replace(
        known,
        share=None if asked is None else clean.share,
        largest_m=clean.largest_m,
        mean_m=clean.mean_m,
        stale=facts.stale,
    )


def recleaned(look: Look) -> tuple[Recleaned, ...]:
    """Cleanout passes that came after a round, with what that round broke and what the next one shows."""
    rounds = look.lines(SoundingRound)
    found = []
    for number, line in enumerate(rounds):
        later = rounds[number + 1] if number + 1 < len(rounds) else None
        passes = _passes_between(look.cleanings, line, later)
        if passes:
            after = None if later is None else round_seen(_as_it_stood(look, later), later)
            found.append(Recleaned(_judged(look, line), tuple(map(_pass_said, passes)), after))
    return tuple(found)


def _passes_between(
    passes: Sequence[Line[CleanoutPass]], line: Line[SoundingRound], later: Line[SoundingRound] | None
) -> list[Line[CleanoutPass]]:
    """Passes that ended after a round, and before the next one where there is one, in their order."""
    ended = sorted(passes, key=pass_end)
    return [
        each for each in ended if pass_end(each) > seen(line) and (not later or pass_end(each) <= seen(later))
    ]


def _pass_said(line: Line[CleanoutPass]) -> str:
    values = line.values
    return said(
        "pass {number}, {method}, {time}",
        number=values.number,
        method=values.method,
        time=clock(pass_end(line)[0]),
    )


def _judged(look: Look, line: Line[SoundingRound]) -> RoundSeen:
    """A round with what it breaks and what it leaves open, on the record as it stood then."""
    then = _as_it_stood(look, line)
    answers = [rule(then) for rule in _BASE_RULES]
    return replace(
        round_seen(then, line),
        broken=_sentences(each.says for each in answers if each.outcome is Outcome.NOT_MET),
        open=_sentences(each.says for each in answers if each.outcome is Outcome.NOT_SHOWN),
    )


def _sentences(found: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(found))


def _as_it_stood(look: Look, line: Line[SoundingRound]) -> Look:
    """The look at a round when it was made: nothing that was seen after it counts."""
    lines = tuple(each for each in look.shaft.lines if seen(each) <= seen(line))
    return replace(
        look, shaft=replace(look.shaft, lines=lines), at=line.observed_at.astimezone(look.at.tzinfo), kept={}
    )
