"""Which rows follow from what was added: those of the shafts it is about, and seldom those of all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from fieldapp.record.attesting import SILENT
from fieldapp.record.corrections import bears_on_corrections
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.entry import Entry
from fieldapp.record.kinds import Values
from fieldapp.record.revoked import revoked_devices
from fieldapp.record.setup import Instrument
from fieldapp.record.shaft import ProjectRecord
from fieldapp.store import entries
from fieldapp.store.driver import sqlite3


@dataclass(frozen=True, slots=True)
class Touched:
    """The shafts whose rows may be others now, None for all, and whether those of the project may be."""

    shafts: frozenset[str] | None = frozenset()
    project: bool = False


def touched_by(
    connection: sqlite3.Connection, before: ProjectRecord, after: ProjectRecord, added: Iterable[Entry]
) -> Touched:
    """What entries touch, given the records before and after them; what vouches for entries touches nothing.

    A set-up touches all shafts, and so does what changes the word of a device everywhere: a clock that was
    corrected, or its first entry after its key was revoked.  The check of an instrument touches those shafts
    whose entries name it.
    """
    shafts: set[str] = set()
    of_project: list[Entry] = []
    corrections = {each.id for each in after.reach.corrections}
    everywhere = revoked_devices(before) != revoked_devices(after)
    telling = False
    for each in (each for each in added if not isinstance(each.values, SILENT)):
        telling = True
        everywhere = everywhere or bears_on_corrections(each, corrections)
        if each.shaft is None:
            of_project.append(each)
        else:
            shafts.add(each.shaft)
    if telling and everywhere:
        return Touched(None, project=True)
    changed = list(_changed(after, of_project))
    if not all(isinstance(each, Instrument) for each in changed):
        return Touched(None, project=True)
    for label in {each.label for each in changed if isinstance(each, Instrument)}:
        shafts.update(entries.shafts_that_name(connection, label))
    return Touched(frozenset(shafts), project=bool(of_project))


def _changed(record: ProjectRecord, of_project: Iterable[Entry]) -> Iterator[Values]:
    """What the lines of these entries say and have said; a change whose target is not here says itself."""
    lines = {each.id: each for each in record.lines}
    for each in of_project:
        line = lines.get(each.values.target if isinstance(each.values, Amend | Strike) else each.id)
        for told in (line.original, *line.changes) if line else (each,):
            if isinstance(told.values, Amend):
                yield told.values.says
            elif line is None or not isinstance(told.values, Strike):
                yield told.values
