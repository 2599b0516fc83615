"""Whether the firm bottom that was sounded is the base that was drilled.

A tape comes to rest on a hard crust or on debris as it does on rock.  Firm bottom above the drilled depth may
be that; firm bottom well below it says that the base, the tape or the entry is not what the record says.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from fieldapp.criteria.finding import Finding, Group, Work
from fieldapp.criteria.holding import Held, held_under, is_within, limit_value
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import Quantity, both, named, sentence, source_of
from fieldapp.criteria.requirement import Requirement
from fieldapp.criteria.rounds import instrument_at, latest_round, shows_thickness
from fieldapp.record.acceptance import Parameter
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.fold import Line
from fieldapp.record.said import said

FIRM: Final = Requirement(
    "firm bottom at the base", Group.EVIDENCE, 5, "Firm bottom agrees with the depth of the drilled base."
)
REQUIREMENTS: Final = (FIRM,)


def firm_at_base(look: Look) -> Finding:
    """Firm bottom of the latest round, and the depth after the last pass, against the drilled base.

    They are held against the firm reference where one was read at the end of drilling, else against the
    drilled depth.  A round by an instrument that shows the thickness itself has no firm depths to hold.
    """
    asked, line = look.limit("firm_depth_tol"), latest_round(look)
    if asked is None:
        return FIRM.not_asked()
    to_be_entered = FIRM.to_be_entered(asked)
    if to_be_entered or look.base_depth is None:
        return to_be_entered or FIRM.not_asked(said("The base is not reached yet."))
    if line is None:
        return FIRM.not_shown(said("The base was not sounded."), Work.SOUND, source=source_of(asked))
    above = _points_above(look, line)
    if not above:
        return _no_firm_depth(look, line, asked)
    return _held(look, line, asked, above)


def _no_firm_depth(look: Look, line: Line[SoundingRound], asked: Parameter) -> Finding:
    if shows_thickness(look, line):
        return FIRM.not_asked(said("The round shows thickness, not depth."))
    rest = {"when": line.observed_at, "entries": line.entries, "source": source_of(asked)}
    return FIRM.not_shown(said("No firm bottom was read."), Work.SOUND, **rest)


def _held(look: Look, line: Line[SoundingRound], asked: Parameter, points: dict[str, Fraction]) -> Finding:
    cleaned = _pass_above(look)
    above = points | cleaned
    high = {name: each for name, each in above.items() if _beyond(each, asked)}
    off = high or {name: each for name, each in above.items() if _beyond(-each, asked)}
    held = held_under(look.phrases, Quantity.THICKNESS, max(map(abs, (off or above).values())), asked)
    entries = (*line.entries, *(look.last_pass.entries if look.last_pass and cleaned else ()))
    rest = {"when": line.observed_at, "entries": entries, "limit": held.limit, "source": held.source}
    if not off:
        near = said("Firm bottom at most {length} off the drilled base.", length=held.value)
        return FIRM.met(near, measured=held.value, **rest)
    at = named("point", [each for each in off if each in points])
    where = both(filter(None, (at, *(each for each in off if each in cleaned))))
    measured, says = (_above if high else _below)(where, held)
    work = Work.CLEAN_AGAIN if set(off) == set(cleaned) else Work.SOUND
    return FIRM.not_shown(sentence(says), work, measured=measured, where=where, **rest)


def _above(where: str, held: Held) -> tuple[str, str]:
    """What was measured too high, and the sentence of it."""
    says = said(
        "{where}: firm bottom {length} above the drilled base, asked {limit}; it may be a crust on debris.",
        where=where,
        length=held.value,
        limit=held.limit,
    )
    return said("{length} above the drilled base", length=held.value), says


def _below(where: str, held: Held) -> tuple[str, str]:
    """What was measured too low, and the sentence of it."""
    says = said(
        "{where}: firm bottom {length} below the drilled base, asked {limit}; the base, the tape or the "
        "entry may be wrong.",
        where=where,
        length=held.value,
        limit=held.limit,
    )
    return said("{length} below the drilled base", length=held.value), says


def _beyond(rise: Fraction, asked: Parameter) -> bool:
    return not is_within(rise, limit_value(asked), asked.strict, upper=True)


def _points_above(look: Look, line: Line[SoundingRound]) -> dict[str, Fraction]:
    """How far firm bottom was read above the base [m], by point."""
    base = _base_by_tape(look, line)
    return {each.label: base - each.firm.si for each in line.values.points if each.firm is not None}


def _pass_above(look: Look) -> dict[str, Fraction]:
    """How far above the base the last pass left the bottom [m], where that was read."""
    last, base = look.last_pass, look.base_depth
    if last is None or base is None or last.values.depth_after is None:
        return {}
    return {said("cleanout pass {number}", number=last.values.number): base - last.values.depth_after.si}


def _base_by_tape(look: Look, line: Line[SoundingRound]) -> Fraction:
    """Depth of the base [m] as the tape of the round would read it.

    The firm reference was read by tape itself; the drilled depth has no zero offset, so it gets the tape's.
    """
    reached, base = look.base_reached, look.base_depth
    assert reached is not None
    assert base is not None
    if reached.values.firm_reference is not None:
        return reached.values.firm_reference.si
    instrument = instrument_at(look, line)
    offset = instrument.zero_offset if instrument else None
    return base - offset.si if offset is not None else base
