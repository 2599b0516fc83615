"""A new project made of what a damaged one proves; into the damaged one nothing is written.

The new journal holds each chain up to its first gap, as a chain has to.  What is proved after a gap is kept
as a file attached to a note on its shafts, and each shaft says by an event that entries are lost: its base
is not shown until somebody has looked into it and struck that event.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from fieldapp.desk.clock import Clock
from fieldapp.desk.device import take_new_name
from fieldapp.desk.projects.growing import growing_project
from fieldapp.desk.recovery.sources import Sources
from fieldapp.desk.recovery.survey import Kept, Survey, survey
from fieldapp.desk.recovery.telling import lost_in_short
from fieldapp.desk.workplace import Workplace
from fieldapp.record.entry import Draft, Entry
from fieldapp.record.hole import Event, Note
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Impossible
from fieldapp.record.roles import may_make
from fieldapp.record.said import said
from fieldapp.record.shaft import project_record
from fieldapp.record.words import Happening
from fieldapp.store.atomic_file import save_bytes
from fieldapp.store.papers import REPORTS
from fieldapp.store.pictures import PICTURES, save_picture
from fieldapp.store.problems import AlreadyThere, NothingProved, in_plain_words

AFTER_GAPS: Final = "entries-after-gaps.jsonl"
_AFTER_A_GAP: Final = (
    "Entries out of the damaged project that prove themselves and follow a gap in their chain. They do not "
    "count; they may be of this shaft."
)


@dataclass(frozen=True, slots=True)
class Recovered:
    """A new project out of a damaged one: where, what was found, and what was recorded in it of the loss."""

    folder: Path
    found: Survey
    said_lost: tuple[Entry, ...]
    device: str


def recover(
    damaged: Path, new: Path, author: str = "", also: Sequence[Path] = (), clock: Clock | None = None
) -> Recovered:
    """Make a new project of everything in a damaged folder that proves itself.

    Parameters
    ----------
    damaged
        The folder; it is only read.
    new
        Must not exist, and not lie in the damaged folder.
    author
        Who recovers: an inspector or resident engineer of the project, who says on each shaft that entries
        are lost.  Asked for only where some are.
    also
        Other folders of the project (backups), bundles and journal files, from which gaps may be filled.

    Raises
    ------
    NothingProved, AlreadyThere, Impossible for a place or an author that cannot be, BundleRefused, or another
    StoreProblem.  Then nothing was written.
    """
    if new.exists():
        raise AlreadyThere(folder=new)
    if new.resolve().is_relative_to(damaged.resolve()):
        raise Impossible(said("new folder"), str(new), said("a folder outside of the damaged project"))
    sources = Sources.of(also)
    found = survey(damaged, sources.remains, sources.folders)
    if not found.entries:
        raise NothingProved(folder=damaged)
    if found.entries_missing:
        _check_author(found, author)
    with in_plain_words(new.parent):
        new.parent.mkdir(parents=True, exist_ok=True)
    with growing_project(new, clock) as place:
        place.writer().receive(each.sealed for each in found.entries)
        if any(each.device == place.device for chain in found.chains for each in chain.entries):
            place.device = take_new_name()
        _bring(place.folder, found.pictures, PICTURES)
        _bring(place.folder, found.papers, REPORTS)
        entries = _say_lost(place, found, author) if found.entries_missing else ()
        return Recovered(new, found, entries, place.device)


def _check_author(found: Survey, author: str) -> None:
    """Who says that entries are lost is one who may say so; with the set-up lost nobody can tell."""
    setup = project_record("", found.entries).setup
    people = setup.values.people if setup is not None else ()
    able = [each.name for each in people if may_make(Event.KIND, each.roles)]
    if (able and author not in able) or not author:
        raise Impossible(
            said("who recovers"),
            author or said("nobody"),
            said(
                "a name after --as, since entries are lost and every shaft has to say so: {names}",
                names=", ".join(able) or said("an inspector or the resident engineer"),
            ),
        )


def _bring(folder: Path, files: Iterable[Kept], where: str) -> None:
    for each in files:
        with in_plain_words(folder):
            target = folder / where / each.name
            if not target.exists():
                save_bytes(target, each.path.read_bytes())


def _say_lost(place: Workplace, found: Survey, author: str) -> tuple[Entry, ...]:
    """Record on every shaft that anything names that entries are lost, with those after gaps attached."""
    after = found.after_gaps
    shafts = sorted({each.shaft for each in (*found.entries, *after) if each.shaft is not None})
    shafts = sorted({*shafts, *(told.shaft for told in found.told.values() if told.shaft)})
    content = b"".join(each.sealed + b"\n" for each in after)
    attached = save_picture(place.folder, content, ".txt") if after else ""
    drafts = []
    for shaft in shafts:
        drafts.append(_draft(place, shaft, author, Event(Happening.ENTRIES_LOST, lost_in_short(found))))
        if any(each.shaft in {None, shaft} for each in after):
            drafts.append(_draft(place, shaft, author, Note(_AFTER_A_GAP, attached, AFTER_GAPS)))
    return place.append(drafts) if drafts else ()


def _draft(place: Workplace, shaft: str, author: str, values: Values) -> Draft:
    now = place.now()
    return Draft(place.clock.new_id(), place.project_id, shaft, values, now, now, author)
