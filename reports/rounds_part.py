"""The rounds of soundings beside each other: what each found, and what came between it and the one before."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from fractions import Fraction
from itertools import pairwise
from typing import Any, Final

from reportlab.platypus import Flowable, Spacer

from fieldapp.record.cleaning import CleanoutPass
from fieldapp.record.hole import Event
from fieldapp.record.words import OF_THE_RECORD, Happening
from reports.base_round import RoundOnBase, rounds_on_base
from reports.facts import ShaftFacts
from reports.quantities import Shown, span_text
from reports.sections import heading
from reports.share_held import UNKNOWN, ShareHeld, share_held
from reports.style import BODY, CAPTION, CELL, CELL_STRONG, ruled_table, text_width, words

_HEAD: Final = ("round", "read", "share within the limit", "largest", "mean", "mean changed by", "since then")
_SHARES: Final = (0.20, 0.07, 0.16, 0.13, 0.10, 0.12, 0.22)
_ON_THE_BASE: Final = frozenset(Happening) - OF_THE_RECORD


def rounds_part(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    """A row for each round: share, largest, mean, and what came between it and the one before."""
    plan = facts.record.scheduled
    rounds = rounds_on_base(facts.record, facts.setup, plan)[0] if plan is not None else ()
    parts = heading("Rounds compared", 90)
    if plan is None or not rounds:
        return [*parts, words("There is no round of soundings to compare.", BODY)]
    held = share_held(facts.setup, plan, shown)
    rows: list[list[Any]] = [[words(each, CAPTION) for each in _HEAD]]
    rows.append(_row(rounds[0], held, shown, ("", "first round")))
    for before, base in pairwise(rounds):
        rows.append(
            _row(base, held, shown, (_changed(before, base, held, shown), _between(facts, before, base)))
        )
    width = text_width(facts.setup.units)
    caption = f"Share {held.limit}" if held.limit is not None else "No limit for a point is entered"
    caption += f", asked at least {held.asked}." if held.asked is not None and held.limit is not None else "."
    table = ruled_table(rows, [width * share for share in _SHARES])
    return [*parts, table, Spacer(1, 2), words(caption, CAPTION)]


def _row(base: RoundOnBase, held: ShareHeld, shown: Shown, since: tuple[str, str]) -> list[Any]:
    clean = base.cleanliness(held.limit)
    share = held.share(clean.share)
    if clean.share is None and held.limit is not None:
        share += f", between {held.between(clean)}"
    read = sum(each is not None for each in base.thickness_m)
    largest = _thickness(clean.largest_m, shown)
    if clean.largest_m is not None and base.largest_at:
        largest += f" at {base.largest_at}"
    elif clean.largest_known_m is not None:
        largest += f"; read {shown.thickness(clean.largest_known_m)} at {base.largest_at}"
    return [
        [words(base.title, CELL_STRONG), words(shown.moment(base.at), CAPTION)],
        words(f"{read} of {len(base.labels)}", CELL),
        words(share, CELL),
        words(largest, CELL),
        words(_thickness(clean.mean_m, shown), CELL),
        words(since[0], CELL),
        words(since[1], CELL),
    ]


def _thickness(value_m: Fraction | None, shown: Shown) -> str:
    return UNKNOWN if value_m is None else shown.thickness(value_m)


def _changed(before: RoundOnBase, base: RoundOnBase, held: ShareHeld, shown: Shown) -> str:
    """How much more or less the mean is than in the round before."""
    was, now = before.cleanliness(held.limit).mean_m, base.cleanliness(held.limit).mean_m
    if was is None or now is None:
        return UNKNOWN
    if now == was:
        return "unchanged"
    return f"{'+' if now > was else '-'}{shown.thickness(abs(now - was))}"


def _between(facts: ShaftFacts, before: RoundOnBase, base: RoundOnBase) -> str:
    """Passes, events and otherwise the wait between two rounds."""
    came = [*_passes(facts, before.at, base.at), *_events(facts, before.at, base.at)]
    wait = span_text(base.at - before.at)
    return f"{', '.join(came)}; {wait} later" if came else f"nothing recorded on the base; waited {wait}"


def _passes(facts: ShaftFacts, after: datetime, until: datetime) -> Iterator[str]:
    for line in facts.record.of(CleanoutPass):
        ended = line.values.ended_at or max(line.values.started_at, line.observed_at)
        if after < ended <= until:
            yield f"pass {line.values.number} ({line.values.method})"


def _events(facts: ShaftFacts, after: datetime, until: datetime) -> Iterator[str]:
    for line in facts.record.of(Event):
        if after < line.observed_at <= until and line.values.what in _ON_THE_BASE:
            yield str(line.values.what)
