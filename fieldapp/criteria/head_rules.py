"""Head of the fluid over the highest piezometric level.

Two findings, because two questions are asked.  *Head now*: does the last reading keep the head, and is
it fresh?  Restoring the head mends it.  *Head through cleaning*: was the head kept, and shown, all the
time?  A loss lets fines in, so restoring the head does not mend that one: only a cleanout pass that
started after the loss, with a round of soundings after it, does.  The loss is then still named, but the
requirement is met since.  The same holds for a stretch without a reading.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Final

from fieldapp.criteria.finding import Finding, Group, Work
from fieldapp.criteria.holding import Held, held_over, is_within, limit_value
from fieldapp.criteria.look import Look, pass_end, seen
from fieldapp.criteria.phrasing import Quantity, at_most, clock, seconds, source_of
from fieldapp.criteria.requirement import Requirement
from fieldapp.fluid.head import HeadReading as HeadAtSecond
from fieldapp.fluid.head import head_over_highest_m, head_record
from fieldapp.record.acceptance import Parameter
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.column import HeadReading
from fieldapp.record.fold import Line
from fieldapp.record.said import said
from fieldapp.record.words import Caution, Fluid

NOW: Final = Requirement("head now", Group.HEAD, 9, "The last head reading is fresh and keeps this head.")
THROUGH: Final = Requirement(
    "head through cleaning",
    Group.HEAD,
    8,
    "The head was kept, without gaps, since the last cleaning.",
)
REQUIREMENTS: Final = (NOW, THROUGH)


@dataclass(frozen=True, slots=True)
class HeadAt:
    """Head [m] over the highest piezometric level at a reading; None when no level is known."""

    line: Line[HeadReading]
    head_m: Fraction | None


def head_findings(look: Look) -> tuple[Finding, ...]:
    """Head now, and head through cleaning."""
    asked = look.limit("min_head")
    extra = look.limit("artesian_extra") if Caution.ARTESIAN in look.scheduled.cautions else None
    both = (NOW, THROUGH)
    if look.scheduled.fluid is Fluid.NONE:
        return tuple(each.not_asked(said("There is no fluid in a dry hole.")) for each in both)
    if asked is None:
        return tuple(each.not_asked() for each in both)
    open_limits = [each.to_be_entered(asked, extra, look.limit("max_head_gap")) for each in both]
    if open_limits[0] and open_limits[1]:
        return (open_limits[0], open_limits[1])
    heads = heads_of(look)
    if not heads:
        return tuple(
            each.not_shown(said("The head was not read."), Work.READ_HEAD, source=source_of(asked))
            for each in both
        )
    return _now(look, heads[-1], asked), _through(look, heads, asked)


def heads_of(look: Look) -> tuple[HeadAt, ...]:
    """Every head reading with its head, by the time it was read."""
    return look.once(
        "heads", lambda: tuple(HeadAt(each, _head(look, each)) for each in look.lines(HeadReading))
    )


def _head(look: Look, line: Line[HeadReading]) -> Fraction | None:
    levels = _levels_at(look, line)
    if not levels:
        return None
    fluid = look.scheduled.reference_elevation.si - line.values.fluid_level.si
    head = head_over_highest_m(fluid, levels)
    return None if head is None else Fraction(head)


def _levels_at(look: Look, line: Line[HeadReading]) -> list[Fraction]:
    """Level of each stratum: the last one measured by then, else the one planned, else the first after."""
    levels = {each.stratum: each.elevation.si for each in look.scheduled.piezometric_levels}
    for each in look.lines(HeadReading):
        measured = each.values.piezometric_elevation
        if measured is not None and (seen(each) <= seen(line) or each.values.stratum not in levels):
            levels[each.values.stratum] = measured.si
    return list(levels.values())


def _extra(look: Look) -> Fraction:
    artesian = Caution.ARTESIAN in look.scheduled.cautions
    return (look.number("artesian_extra") or Fraction(0)) if artesian else Fraction(0)


def _held(look: Look, head: Fraction, asked: Parameter) -> Held:
    return held_over(look.phrases, Quantity.HEAD, head, asked, _extra(look))


def _now(look: Look, last: HeadAt, asked: Parameter) -> Finding:
    rest = {"when": last.line.observed_at, "entries": last.line.entries, "source": source_of(asked)}
    if last.head_m is None:
        return NOW.not_shown(said("No piezometric level is known."), Work.READ_HEAD, **rest)
    held = _held(look, last.head_m, asked)
    rest |= {"measured": held.value, "limit": held.limit}
    read = {"head": held.value, "time": clock(last.line.observed_at)}
    if held.within and _too_old(look, last):
        says = said("Head {head} at {time} was the last reading; read it again.", **read)
        return NOW.not_shown(says, Work.READ_HEAD, **rest)
    says = said("Head {head} at {time}, asked {limit}.", **read, limit=held.limit)
    return NOW.met(says, **rest) if held.within else NOW.not_met(says, Work.RESTORE_HEAD, **rest)


def _too_old(look: Look, last: HeadAt) -> bool:
    """Older than the longest gap; where no gap is set, older than the start of the last pass."""
    gap = look.number("max_head_gap")
    if gap is not None:
        return seconds(look.moment - last.line.observed_at) > gap
    cleaned = look.last_pass
    return cleaned is not None and last.line.observed_at < cleaned.values.started_at


def _through(look: Look, heads: tuple[HeadAt, ...], asked: Parameter) -> Finding:
    start = _since(look, heads)
    least = limit_value(asked) + _extra(look)
    low = [
        each
        for each in heads
        if each.head_m is not None and not is_within(each.head_m, least, asked.strict, upper=False)
    ]
    late = [each for each in low if each.line.observed_at >= start]
    if late:
        not_cleaned = [each for each in late if not _cleaned_since(look, each)]
        worst = min(not_cleaned or late, key=lambda each: each.head_m or Fraction(0))
        return _lost(look, worst, asked, cleaned=not not_cleaned)
    gap = _gap(look, heads, start)
    if gap:
        limit = _held(look, least, asked).limit
        entries = _entries(heads, start)
        return THROUGH.not_shown(*gap, limit=limit, source=source_of(asked), entries=entries)
    return _kept(look, heads, start, asked)


def _cleaned_since(look: Look, low: HeadAt) -> bool:
    """Whether a pass over the base began after a low reading."""
    return any(each.values.started_at > low.line.observed_at for each in look.cleanings)


def _lost(look: Look, worst: HeadAt, asked: Parameter, *, cleaned: bool) -> Finding:
    assert worst.head_m is not None
    held = _held(look, worst.head_m, asked)
    fell = {"head": held.value, "time": clock(worst.line.observed_at), "limit": held.limit}
    rest = {
        "measured": held.value,
        "limit": held.limit,
        "when": worst.line.observed_at,
        "entries": worst.line.entries,
        "source": held.source,
    }
    if cleaned:
        says = said("Head fell to {head} at {time}, asked {limit}; cleaned since, not sounded yet.", **fell)
        return THROUGH.not_met(says, Work.SOUND, **rest)
    says = said("Head fell to {head} at {time}, asked {limit}; clean again.", **fell)
    return THROUGH.not_met(says, Work.CLEAN_AGAIN, **rest)


def _kept(look: Look, heads: tuple[HeadAt, ...], start: datetime, asked: Parameter) -> Finding:
    known = [each for each in heads if each.head_m is not None]
    since = [each for each in known if each.line.observed_at >= start]
    lowest = min(since, key=lambda each: each.head_m or Fraction(0))
    assert lowest.head_m is not None
    held = _held(look, lowest.head_m, asked)
    kept = {"head": held.value, "start": clock(start), "limit": held.limit}
    says = said("Lowest head {head} since {start}, asked {limit}.", **kept)
    measured = held.value
    before = [each for each in known if each.line.observed_at < start]
    worst = min(before, key=lambda each: each.head_m or Fraction(0), default=None)
    if worst is not None and worst.head_m is not None and not _held(look, worst.head_m, asked).within:
        lost = {
            "low": _held(look, worst.head_m, asked).value,
            "time": clock(worst.line.observed_at),
        }
        measured = said(
            "{head}; before that {low} at {time}, cleaned and sounded since", head=held.value, **lost
        )
        says = said(
            "Lowest head {head} since {start}, asked {limit}; it had fallen to {low} at {time}, before the "
            "base was cleaned and sounded.",
            **kept,
            **lost,
        )
    rest = {"measured": measured, "limit": held.limit, "source": held.source}
    return THROUGH.met(says, when=lowest.line.observed_at, entries=_entries(heads, start), **rest)


def _entries(heads: tuple[HeadAt, ...], start: datetime) -> tuple[str, ...]:
    return tuple(name for each in heads if each.line.observed_at >= start for name in each.line.entries)


def _since(look: Look, heads: tuple[HeadAt, ...]) -> datetime:
    """Start of the last pass that a round followed, else the first reading or the base, the earlier one."""
    rounds = look.lines(SoundingRound)
    sounded = [
        each.values.started_at
        for each in look.cleanings
        if any(seen(each_round) > pass_end(each) for each_round in rounds)
    ]
    if sounded:
        return max(sounded)
    first = heads[0].line.observed_at
    reached = look.base_reached_at
    return min(first, reached[0]) if reached else first


def _gap(look: Look, heads: tuple[HeadAt, ...], start: datetime) -> tuple[str, Work] | None:
    """The first stretch without a known reading, in words, and what shows the head again."""
    longest = look.number("max_head_gap")
    end = max(look.moment, start)
    # Without a longest gap one known reading since the start is enough.
    interval_s = float(longest) if longest else (end - start).total_seconds() + 1.0
    readings = [HeadAtSecond((each.line.observed_at - start).total_seconds(), each.head_m) for each in heads]
    shown = head_record(readings, interval_s, 0.0, (end - start).total_seconds())
    if shown.shown_throughout:
        return None
    if not shown.gaps:
        return said("No head reading since {start}.", start=clock(start)), Work.READ_HEAD
    gap = shown.gaps[0]
    begin, until = (
        (start + timedelta(seconds=each)).astimezone(look.moment.tzinfo) for each in (gap.from_s, gap.until_s)
    )
    work = Work.READ_HEAD if until >= end else Work.ASK_ENGINEER
    if any(each.head_m is None and begin <= each.line.observed_at <= until for each in heads):
        return said("The level was read, and no piezometric level is known; give it with a reading."), work
    ends = {"begin": clock(begin), "end": clock(until)}
    if not longest:
        return said("No head reading from {begin} to {end}.", **ends), work
    asked = at_most(look.phrases.say(Quantity.HOURS, longest), strict=False)
    return said("No head reading from {begin} to {end}, asked {limit}.", **ends, limit=asked), work
