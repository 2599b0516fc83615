"""Whether somebody had a role on the roster when an entry was made.

The roster is that of the last project set-up before the entry, in the order of folding: a role that is given
or taken later changes no earlier decision.  What somebody decided after the certificate pinned for him was
revoked does not count, until another one is pinned; nor does what was decided on a revoked device.
"""

from __future__ import annotations

from fieldapp.record.entry import Entry
from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.revoked import fingerprint_of, is_since, revoked_devices, revoked_since
from fieldapp.record.setup import Person, ProjectSetup
from fieldapp.record.shaft import ProjectRecord
from fieldapp.record.words import Role

Order = tuple[int, str, int]


def has_role(project: ProjectRecord, author: str, role: Role, before: Order | None = None) -> bool:
    """Whether a person has a role: on the roster before a place in the order of folding, else on the last.

    Without a set-up nobody has one.
    """
    person = person_at(project, author, before)
    return person is not None and role in person.roles


def made_by(project: ProjectRecord, line: Line[Values], role: Role) -> bool:
    """Whether the author of a decision had this role when it was made, with a key that was trusted."""
    entry = line.original
    if not has_role(project, entry.draft.author, role, entry.order):
        return False
    return not _with_a_revoked_key(project, entry) and not is_since(revoked_devices(project), entry)


def person_at(project: ProjectRecord, author: str, before: Order | None = None) -> Person | None:
    """Somebody as on the roster before a place in the order of folding, else on the last one, or None."""
    setup = setup_at(project, before)
    return setup.person(author) if setup is not None else None


def setup_at(project: ProjectRecord, before: Order | None = None) -> ProjectSetup | None:
    """The last project set-up before a place in the order of folding, or the last of all, or None."""
    setups = [
        each.values
        for each in project.lines
        if isinstance(each.values, ProjectSetup) and each.counts and _stood(each, before)
    ]
    return setups[-1] if setups else None


def _with_a_revoked_key(project: ProjectRecord, entry: Entry) -> bool:
    author = entry.draft.author
    person = person_at(project, author, entry.order)
    pinned = fingerprint_of(person.certificate) if person is not None else ""
    since = revoked_since(project, author, pinned)
    return since is not None and entry.draft.recorded_at >= since


def _stood(line: Line[Values], before: Order | None) -> bool:
    return before is None or line.original.order < before
