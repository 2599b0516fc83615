"""What the ground does to the base: voids, open joints, karst, sound rock.

A void seen under the base excludes base resistance, whatever the acceptance set asks.  A caution decides
nothing by itself: it asks for a look.  Where nobody looked, nothing is said to be free of voids.
"""

from __future__ import annotations

from typing import Final

from fieldapp.criteria.finding import Finding, Group, Work
from fieldapp.criteria.look import Look, seen
from fieldapp.criteria.phrasing import source_of
from fieldapp.criteria.requirement import Requirement
from fieldapp.record.acceptance import Parameter
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.decisions import Amend
from fieldapp.record.fold import Line
from fieldapp.record.hole import BaseSighting
from fieldapp.record.kinds import Values
from fieldapp.record.said import said
from fieldapp.record.words import Caution, InstrumentType, Seen

VOID: Final = Requirement("void under the base", Group.GROUND, 9, "No void was seen under the base.")
KARST: Final = Requirement(
    "karst base looked at", Group.GROUND, 8, "In karst the base was seen or probed from the surface."
)
JOINT: Final = Requirement("open joint in the base", Group.GROUND, 7, "No open joint was seen in the base.")
ROCK: Final = Requirement("sound rock below the base", Group.GROUND, 6, "Sound rock as deep as is asked.")
REQUIREMENTS: Final = (VOID, KARST, JOINT, ROCK)

_PROBES: Final = (InstrumentType.PROBE_ROD, InstrumentType.BASE_PENETROMETER)


def void_under_base(look: Look) -> Finding:
    """Sightings of the present base that show a void."""
    asked = look.limit("base_requires")
    voids: list[Line[Values]] = [
        *_disputed_voids(look),
        *(each for each in sightings(look) if Seen.VOID in each.values.seen),
    ]
    saw = _void_in(voids[-1]) if voids else None
    if saw is not None:
        return VOID.not_met(
            said("A void was seen under the base: {text}", text=_ended(saw.text)),
            Work.ASK_ENGINEER,
            measured=said("a void"),
            limit=said("no void"),
            where=_where(saw),
            when=voids[-1].observed_at,
            entries=tuple(name for each in voids for name in each.entries),
            source=source_of(asked),
            excludes_base=True,
        )
    return _no_void(look, asked)


def _no_void(look: Look, asked: Parameter | None) -> Finding:
    clear = [each for each in sightings(look) if Seen.OBSCURED not in each.values.seen]
    if not clear and any(Seen.VOID in each.values.seen for each in look.lines(BaseSighting)):
        says = said("A void was seen in the base before it was drilled deeper; this base was not looked at.")
        return VOID.not_shown(says, Work.SEE_BASE, source=source_of(asked))
    undone = _undone_void(look)
    if undone and not any(seen(each) > seen(undone) for each in clear if each.id != undone.id):
        says = said(
            "A sighting of a void was struck or changed, and nobody has looked again since: ask the engineer."
        )
        return VOID.not_shown(says, Work.ASK_ENGINEER, entries=undone.entries, source=source_of(asked))
    if not clear:
        return VOID.not_asked(said("The base was not looked at for voids; karst alone asks for a look."))
    last = clear[-1]
    rest = {"when": last.observed_at, "entries": last.entries, "source": source_of(asked)}
    return VOID.met(said("No void was seen."), **rest)


def _void_in(line: Line[Values]) -> BaseSighting | None:
    """What an entry says of a void: now, else in the first of its versions that sees one."""
    if not line.changes and not isinstance(line.values, BaseSighting):
        return None
    changed = (each.values.says for each in line.changes if isinstance(each.values, Amend))
    for each in (line.values, line.original.values, *changed):
        if isinstance(each, BaseSighting) and Seen.VOID in each.seen:
            return each
    return None


def _disputed_voids(look: Look) -> list[Line[Values]]:
    """Sightings whose amendments disagree, where one of the versions says void: it counts until settled."""
    return [each for each in look.shaft.contested if _void_in(each) and _of_this_base(look, each)]


def _undone_void(look: Look) -> Line[Values] | None:
    """The last sighting of this base that said void once, and was struck or amended to say something else."""
    found = [
        each
        for each in look.shaft.lines
        if _void_in(each) and _of_this_base(look, each) and (each.struck or _void_in(each) is not each.values)
    ]
    return max(found, key=seen, default=None)


def _of_this_base(look: Look, line: Line[Values]) -> bool:
    reached = look.base_reached_at
    return (reached is None or seen(line) > reached) and not (
        look.concrete_in and line.observed_at > look.moment
    )


def karst_base(look: Look) -> Finding:
    """In karst: a sighting that shows the base, or a round with a probe.

    A caution asks for evidence and decides nothing alone, also where the set wants a base out of karst
    (practice of the trade): the finding then says that the engineer decides.
    """
    if Caution.KARST not in look.scheduled.cautions:
        return KARST.not_asked(said("The ground has no caution for karst."))
    clear = [each for each in sightings(look) if Seen.OBSCURED not in each.values.seen]
    probed = [each for each in _rounds(look) if _is_probe(look, each.values.instrument)]
    source = source_of(look.limit("base_requires"))
    if not clear and not probed:
        unseen = said("Karst: the base was not seen or probed.")
        return KARST.not_shown(unseen, Work.SEE_BASE, source=source)
    kept = [each.entries for each in clear] + [each.entries for each in probed]
    entries = tuple(name for each in kept for name in each)
    says = _karst_said(seen_it=bool(clear), rule="not_karst" in look.words("base_requires"))
    return KARST.met(says, entries=entries, source=source)


def _karst_said(*, seen_it: bool, rule: bool) -> str:
    if not rule:
        return said("Karst: the base was seen." if seen_it else "Karst: the base was probed.")
    return said(
        "Karst: the base was seen; whether it may be counted on in karst is for the engineer to say."
        if seen_it
        else "Karst: the base was probed; whether it may be counted on in karst is for the engineer to say."
    )


def open_joint(look: Look) -> Finding:
    """Open joints seen in the base, where the acceptance set asks for a base without voids."""
    asked = look.limit("base_requires")
    clear = [each for each in sightings(look) if Seen.OBSCURED not in each.values.seen]
    joints = [each for each in sightings(look) if Seen.OPEN_JOINT in each.values.seen]
    if "no_voids" not in look.words("base_requires") or not (joints or clear):
        return JOINT.not_asked(said("The base was not looked at for open joints, or the set does not ask."))
    last = (joints or clear)[-1]
    rest = {"when": last.observed_at, "entries": last.entries, "source": source_of(asked)}
    if not joints:
        return JOINT.met(said("No open joint was seen."), **rest)
    says = (
        said("An open joint was seen in the base.")
        if Seen.VOID in last.values.seen
        else said("An open joint was seen in the base: {text}", text=_ended(last.values.text))
    )
    return JOINT.not_met(says, Work.ASK_ENGINEER, where=_where(last.values), **rest)


def sound_rock(look: Look) -> Finding:
    """Sound rock below the base: no entry carries it, so where it is asked it is not shown."""
    asked = look.limit("base_requires")
    if "sound_rock_depth_D" not in look.words("base_requires"):
        return ROCK.not_asked()
    says = said("Sound rock below the base is asked; no entry of this record carries it.")
    return ROCK.not_shown(says, Work.ASK_ENGINEER, source=source_of(asked))


def sightings(look: Look) -> list[Line[BaseSighting]]:
    """Sightings of the base as it is now: since it was last drilled to, by the time they were made."""
    reached = look.base_reached_at
    return [each for each in look.lines(BaseSighting) if reached is None or seen(each) > reached]


def _rounds(look: Look) -> list[Line[SoundingRound]]:
    reached = look.base_reached_at
    return [each for each in look.lines(SoundingRound) if reached is None or seen(each) > reached]


def _is_probe(look: Look, label: str) -> bool:
    checks = look.project.checks_of(label)
    return bool(checks) and checks[-1].values.type in _PROBES


def _ended(text: str) -> str:
    return text if text.endswith(".") else f"{text}."


def _where(sighting: BaseSighting) -> str:
    if sighting.r is None:
        return ""
    return said("r {r}, {angle}", r=str(sighting.r), angle=str(sighting.angle))
