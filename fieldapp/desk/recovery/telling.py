"""What a survey found, in words: what was lost, by name, what is still good, and what to do."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Final, TypeVar

from fieldapp.desk.recovery.survey import Spoilt, Survey, survey
from fieldapp.record.entry import Entry
from fieldapp.record.proved import ProvedChain
from fieldapp.store.checking import StoreFinding
from fieldapp.store.problems import StoreProblem

if TYPE_CHECKING:
    from fieldapp.desk.recovery.recover import Recovered

T = TypeVar("T")

_NAMED: Final = 40
_NOTHING: Final = "no entry, no picture and no signed paper: each of them still proves itself"
_GO_ON: Final = (
    "Keep this folder as it is and go on from the last backup; without one, 'basenote recover' makes a new "
    "project of everything in it that proves itself."
)
_IN_SHORT: Final = 600


def lost_in_short(found: Survey) -> str:
    """The losses of a journal in one sentence that fits an entry."""
    parts = [part for chain in found.chains if not chain.whole for part in _losses(chain)]
    text = "; ".join(parts) or "nothing tells what the journal held"
    if len(text) > _IN_SHORT:
        text = f"{text[:_IN_SHORT].rpartition(';')[0]}; and more"
    return f"out of a damaged project: {text}. Look into it, enter anew what is missing, then strike this."


def affected(found: Survey) -> tuple[str, ...]:
    """What is lost or does not prove itself, a line each: chains with their entries, shafts, files."""
    lines = list(_chains(found))
    if found.entries_missing:
        lines.append(_shafts(found))
    lines += (f"picture {_file(each)}" for each in _first(found.spoilt_pictures))
    lines += (f"paper {_file(each)}" for each in _first(found.spoilt_papers))
    for kind, spoilt in (("pictures", found.spoilt_pictures), ("papers", found.spoilt_papers)):
        if len(spoilt) > _NAMED:
            lines.append(f"and {len(spoilt) - _NAMED} more {kind}")
    return tuple(lines)


def still_good(found: Survey) -> str:
    """What proves itself, in one line."""
    chains = ", ".join(
        f"{each.device}: entries 1 to {each.entries[-1].seq}" for each in found.chains if each.entries
    )
    shafts = ", ".join(sorted({each.shaft for each in found.entries if each.shaft}))
    return (
        f"{len(found.entries)} entries ({chains or 'of no device'}) of shafts {shafts or 'none'}; "
        f"{len(found.pictures)} pictures and attached files; {len(found.papers)} signed papers"
    )


def left_findings(folder: Path) -> tuple[StoreFinding, ...]:
    """What is affected in a folder that fails its audit, and what is still good; none for no project."""
    try:
        left = survey(folder)
    except StoreProblem:
        return ()
    lines = affected(left)
    return (
        StoreFinding("what is affected", ok=not lines, detail="\n".join(lines) or _NOTHING),
        StoreFinding("what is still good", ok=True, detail=still_good(left)),
    )


def left_text(left: tuple[StoreFinding, ...]) -> str:
    """The same for people, under the table of an audit."""
    if not left:
        return "There is nothing in this folder that a project could be recovered from."
    hurt, good = left
    lines = (f"  {each}" for each in hurt.detail.splitlines())
    to_do = [] if hurt.ok else [f"\n{_GO_ON}"]
    return "\n".join(["What is affected:", *lines, "What is still good:", f"  {good.detail}", *to_do])


def recovered_text(made: Recovered) -> str:
    """Everything to know after a recovery: the new project, what was lost, what to do."""
    found = made.found
    lines = [f"New project: {made.folder}", f"In it: {still_good(found)}."]
    lost = affected(found)
    lines += ["Lost or damaged:", *(f"  {each}" for each in lost)] if lost else ["Nothing is lost."]
    if found.after_gaps:
        lines.append(
            f"{len(found.after_gaps)} entries prove themselves and follow a gap. They do not count; they are "
            "attached to a note on each shaft:"
        )
        lines += (f"  {_entry(each)}" for each in _first(found.after_gaps))
        if len(found.after_gaps) > _NAMED:
            lines.append(f"  and {len(found.after_gaps) - _NAMED} more")
    if found.unsigned:
        lines.append(f"Not brought, since nobody signed them (write them anew): {', '.join(found.unsigned)}.")
    return "\n".join([*lines, *_to_do(made)])


def _to_do(made: Recovered) -> Iterator[str]:
    yield "To do:"
    yield "  Keep the damaged folder as it is. Nothing was written into it. Work on in the new project."
    yield f"  This device records there as {made.device}. Keys of people stay in the damaged folder's keys/:"
    yield "  copy that folder over, or make new keys. Half-typed forms were not brought."
    if made.found.entries_missing:
        yield "  If a tablet, the office or a backup has this project, recover once more into another folder"
        yield "  with --also BUNDLE or --also FOLDER: gaps are filled from there."
        yield "  Until then every shaft reads 'not shown'. Enter anew what is missing from paper, then strike"
        yield "  the event 'entries lost' on each shaft, with the reason."
    if made.found.spoilt_pictures or made.found.spoilt_papers:
        yield "  Ask who else has the pictures or papers; a bundle from there brings them."
    yield "  Run 'basenote check' on the new project, and make a backup. Where this device had seen lost"
    yield "  entries signed, or a decision rests on them, the check goes on saying so."


def _chains(found: Survey) -> Iterator[str]:
    for chain in found.chains:
        yield from _losses(chain)
        for first, last in chain.lost:
            for seq in range(first, min(last, first + _NAMED) + 1):
                told = found.told.get((chain.device, seq))
                if told is not None:
                    yield f"  entry {seq} of {chain.device} was, by what a row tells: {told}"
    if not found.chains:
        yield "no entry proves itself"


def _losses(chain: ProvedChain) -> Iterator[str]:
    for first, last in chain.lost:
        which = f"entry {first}" if first == last else f"entries {first} to {last}"
        yield f"{which} of {chain.device} {'is' if first == last else 'are'} lost"
    if chain.after_gap:
        seqs = [each.seq for each in chain.after_gap]
        yield f"{len(seqs)} entries of {chain.device} ({min(seqs)} to {max(seqs)}) follow a gap"
    if not chain.ends:
        last = chain.entries[-1].seq if chain.entries else 0
        last = max([last, *(each.seq for each in chain.after_gap)])
        yield f"nothing tells whether {chain.device} had recorded more than entry {last}"
    for each in chain.unproved:
        yield f"what stands as {_entry(each)} does not prove itself"


def _shafts(found: Survey) -> str:
    sure = {
        told.shaft
        for chain in found.chains
        for first, last in chain.lost
        for (device, seq), told in found.told.items()
        if device == chain.device and first <= seq <= last and told.shaft
    }
    sure |= {each.shaft for each in found.after_gaps if each.shaft}
    named = f"shafts {', '.join(sorted(sure))}; " if sure else ""
    return f"{named}what is lost may bear on every shaft, so none of them is shown"


def _file(each: Spoilt) -> str:
    by = "; ".join(map(_entry, each.named_by))
    return f"{each.name}: {each.what}{f' (named by {by})' if by else ' (no entry names it)'}"


def _entry(each: Entry) -> str:
    about = f" of {each.shaft}" if each.shaft else ""
    return (
        f"entry {each.seq} of {each.device}, {each.kind}{about} by {each.draft.author}, "
        f"{each.draft.recorded_at:%Y-%m-%d %H:%M}"
    )


def _first(many: tuple[T, ...]) -> tuple[T, ...]:
    return many[:_NAMED]
