"""Whether the author of a line has a role on the roster that holds."""

from __future__ import annotations

from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.shaft import ProjectRecord
from fieldapp.record.words import Role


def made_by(project: ProjectRecord, line: Line[Values], role: Role) -> bool:
    """Whether the author of the original entry has this role; without a set-up nobody has."""
    person = project.setup.values.person(line.original.draft.author) if project.setup else None
    return person is not None and role in person.roles
