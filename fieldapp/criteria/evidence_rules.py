"""Whether the record itself can be relied on: the base reached, disputes, lost entries, clocks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from datetime import UTC, timedelta
from typing import Final

from fieldapp.criteria.basis import seen_by
from fieldapp.criteria.finding import Finding, Group, Work
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import Quantity, clock, joined, term
from fieldapp.criteria.requirement import Requirement
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.decisions import Basis
from fieldapp.record.entry import Entry
from fieldapp.record.fold import Line
from fieldapp.record.hole import Event, ExcavationStage
from fieldapp.record.kinds import Values
from fieldapp.record.questions import CLOCK_BACK
from fieldapp.record.said import said
from fieldapp.record.setup import ShaftScheduled
from fieldapp.record.shaft import ProjectRecord
from fieldapp.record.words import Happening

REACHED: Final = Requirement("base reached", Group.BASE, 20, "Drilling has come to the base.")
DISPUTED: Final = Requirement(
    "amendments settled", Group.EVIDENCE, 19, "No entry has two amendments that do not know of each other."
)
CLOCKS: Final = Requirement("clocks", Group.EVIDENCE, 3, "The clock of no device ran backwards or ahead.")
LOST: Final = Requirement(
    "entries lost", Group.EVIDENCE, 18, "No entry that may bear on the shaft is known to be lost."
)
REQUIREMENTS: Final = (REACHED, DISPUTED, CLOCKS, LOST)

# A clock that was set by hand may be off by this much (judgment).
CLOCK_SLACK: Final = timedelta(minutes=5)


def base_reached(look: Look) -> Finding:
    """Whether drilling has come to the base; nothing can be said of a base before."""
    line, depth = look.base_reached, look.base_depth
    if line is None or depth is None:
        drilled = look.lines(ExcavationStage)
        unsaid = said("No excavation stage gives the drilled depth of the base yet.")
        return REACHED.not_shown(unsaid if drilled else said("The base is not reached yet."), None)
    reached = look.phrases.say(Quantity.DEPTH, depth)
    return REACHED.met(
        said("Drilled to {depth} at {time}.", depth=reached, time=clock(line.observed_at)),
        measured=reached,
        when=line.observed_at,
        entries=line.entries,
    )


def amendments_settled(look: Look) -> Finding:
    """Entries with amendments that do not know of each other; they count for nothing until settled."""
    disputed = [*look.shaft.contested, *(each for each in look.project.lines if each.contested)]
    if not disputed:
        return DISPUTED.met(said("No amendments disagree."))
    kinds = joined(term(each) for each in dict.fromkeys(each.original.kind for each in disputed))
    return DISPUTED.not_shown(
        said("Amendments disagree: {kinds}.", kinds=kinds),
        Work.SETTLE,
        entries=tuple(name for each in disputed for name in each.entries),
        keeps_credit_open=any(isinstance(each.values, SoundingRound | ShaftScheduled) for each in disputed),
    )


def entries_lost(look: Look) -> Finding:
    """Whether somebody, or the recovery of a damaged project, has said that entries are lost.

    What they said nobody knows, so it takes everything from the evidence, also once concrete is in, until the
    event is struck by somebody who has looked into it.
    """
    lost = [each for each in look.shaft.of(Event) if each.values.what is Happening.ENTRIES_LOST]
    if not lost:
        return LOST.not_asked(said("Nobody has said that entries are lost."))
    return LOST.not_shown(
        said("Entries that may bear on this shaft are lost: {text}", text=lost[-1].values.text),
        Work.ASK_ENGINEER,
        when=lost[-1].observed_at,
        entries=tuple(name for each in lost for name in each.entries),
        keeps_credit_open=True,
    )


def clocks(look: Look) -> Finding:
    """Clocks that ran backwards on a device, behind another, or ahead of the moment.

    Flagged are a step back by more than 5 min on this shaft, an entry whose author was asked since the device
    had recorded something later on any shaft, and one dated before an entry that it follows or rests on;
    each until its device has an event "clock corrected" at or after it.
    """
    back = list(dict.fromkeys((*_steps_back(look), *_owned_up(look))))
    before = [each for each in _before_causes(look) if each[0] not in back]
    latest = look.at.astimezone(UTC) + CLOCK_SLACK
    ahead = [each for each in look.shaft.lines if each.observed_at > latest and each.counts]
    if not back and not before and not ahead:
        return CLOCKS.met(said("No clock ran backwards or ahead."))
    dated = (*back, *(entry for entry, _ in before))
    names = (*(each.id for each in dated), *(each.id for each in ahead))
    parts = [_clocks_said(back, ahead)] if back or ahead else []
    parts += [_before_said(*each) for each in before[:1]]
    return CLOCKS.not_shown(joined(parts, " "), Work.SETTLE, entries=tuple(dict.fromkeys(names)))


def _before_said(entry: Entry, cause: Entry) -> str:
    return said(
        "A {kind} of {device} is dated {time}, before the {cause} that it follows, {other}: one of the "
        "clocks is wrong.",
        kind=term(entry.kind),
        device=entry.device,
        time=clock(entry.draft.recorded_at),
        cause=term(cause.kind),
        other=clock(cause.draft.recorded_at),
    )


def _clocks_said(back: list[Entry], ahead: list[Line[Values]]) -> str:
    found: dict[str, object] = {}
    if back:
        found |= {"device": back[0].device, "back": clock(back[0].draft.recorded_at)}
    if ahead:
        found |= {"kind": term(ahead[0].original.kind), "ahead": clock(ahead[0].observed_at)}
    if not ahead:
        return said("The clock of {device} ran backwards at {back}.", **found)
    if not back:
        return said("A {kind} is dated ahead, {ahead}.", **found)
    return said(
        "The clock of {device} ran backwards at {back} and a {kind} is dated ahead, {ahead}.", **found
    )


def _owned_up(look: Look) -> Iterator[Entry]:
    """Entries that their author let stand though the device had recorded something later elsewhere."""
    corrected = corrections(look.project)
    for each in look.shaft.entries:
        if CLOCK_BACK in each.draft.confirmed and not _is_corrected(corrected, each):
            yield each


def _before_causes(look: Look) -> Iterator[tuple[Entry, Entry]]:
    """Entries dated before one of another device that they name, as a parent or among what they rest on."""
    corrected = corrections(look.project)
    latest = {each.id: each for each in look.shaft.entries}
    for each in look.shaft.entries:
        causes = [latest[name] for name in each.draft.parents if name in latest]
        basis = getattr(each.values, "basis", None)
        if isinstance(basis, Basis):
            causes += seen_by(basis, look.shaft.entries)
        if not causes:
            continue
        others = (other for other in causes if other.device != each.device)
        wrong = [
            other
            for other in others
            if each.draft.recorded_at < other.draft.recorded_at - CLOCK_SLACK
            and not _is_corrected(corrected, other)
        ]
        if wrong and not _is_corrected(corrected, each):
            yield each, max(wrong, key=lambda other: other.draft.recorded_at)


def _is_corrected(corrected: Mapping[str, tuple[int, ...]], entry: Entry) -> bool:
    return any(seq >= entry.seq for seq in corrected.get(entry.device, ()))


def _steps_back(look: Look) -> Iterator[Entry]:
    chains: dict[str, list[Entry]] = defaultdict(list)
    for each in look.shaft.entries:
        chains[each.device].append(each)
    corrected = corrections(look.project)
    for device, chain in sorted(chains.items()):
        before: Entry | None = None
        for each in sorted(chain, key=lambda entry: entry.seq):
            if before is not None and each.draft.recorded_at < before.draft.recorded_at - CLOCK_SLACK:
                if not any(seq >= before.seq for seq in corrected.get(device, ())):
                    yield each
                before = each
            elif before is None or each.draft.recorded_at >= before.draft.recorded_at:
                before = each


def corrections(project: ProjectRecord) -> dict[str, tuple[int, ...]]:
    """Numbers of the entries by which a device said that its clock was corrected, on any shaft."""
    return project.once("clock corrections", project.reach.clock_corrected)
