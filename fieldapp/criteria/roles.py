"""Whether somebody had a role on the roster when an entry was made.

The roster is that of the last project set-up before the entry, in the order of folding: a role that is given
or taken later changes no earlier decision.
"""

from __future__ import annotations

from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.setup import ProjectSetup
from fieldapp.record.shaft import ProjectRecord
from fieldapp.record.words import Role

Order = tuple[int, str, int]


def has_role(project: ProjectRecord, author: str, role: Role, before: Order | None = None) -> bool:
    """Whether a person has a role: on the roster before a place in the order of folding, else on the last.

    Without a set-up nobody has one.
    """
    setups = [
        each.values
        for each in project.lines
        if isinstance(each.values, ProjectSetup) and each.counts and _stood(each, before)
    ]
    person = setups[-1].person(author) if setups else None
    return person is not None and role in person.roles


def made_by(project: ProjectRecord, line: Line[Values], role: Role) -> bool:
    """Whether the author of an entry had this role when it was made."""
    return has_role(project, line.original.draft.author, role, line.original.order)


def _stood(line: Line[Values], before: Order | None) -> bool:
    return before is None or line.original.order < before
