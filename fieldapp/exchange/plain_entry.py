"""What a plain log says, ready for the desk to record, and what was wrong with one that was refused.

Three kinds of content wait for something that no person types: a decision for the journal positions it
rests on, a project set-up for the acceptance set it names.  Everything else is complete.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any, TypeAlias

from fieldapp.exchange.plain_setup import PlainSetup
from fieldapp.record.decisions import Basis, Disposition, Hold, LogSigned, Release
from fieldapp.record.entry import Draft
from fieldapp.record.kinds import Values

Decided: TypeAlias = LogSigned | Release | Hold | Disposition


@dataclass(frozen=True, slots=True)
class PlainDecision:
    """A decision as it was typed, without the basis that the desk works out from the journal."""

    made: type[Decided]
    said: tuple[tuple[str, Any], ...]

    def settled(self, basis: Basis) -> Decided:
        """The decision, resting on ``basis``.  Raises Impossible."""
        return self.made(basis=basis, **dict(self.said))


@dataclass(frozen=True, slots=True)
class PlainEntry:
    """One entry of a plain log.

    ``line`` is where it begins, ``places`` the line of each field, ``label`` its ``#name`` or empty.
    ``parents`` holds, for an amendment or a
    strike, the latest change of the same entry in the file or else the entry itself; for a withdrawal the
    release.
    """

    line: int
    id: str
    label: str
    device: str
    author: str
    shaft: str | None
    kind: str
    observed_at: datetime
    recorded_at: datetime
    says: Values | PlainDecision | PlainSetup
    parents: tuple[str, ...] = ()
    confirmed: tuple[str, ...] = ()
    places: tuple[tuple[str, int], ...] = ()

    def line_of(self, field: str) -> int:
        """Where a field such as ``sand`` or ``point C`` stands, or where the entry begins."""
        return dict(self.places).get(field.replace("_", " "), self.line)

    def draft(self, project: str, values: Values, parents: tuple[str, ...] = ()) -> Draft:
        """What to record: ``values`` is ``says``, or ``says.settled(...)`` where that waits."""
        return Draft(
            id=self.id,
            project=project,
            shaft=self.shaft,
            values=values,
            observed_at=self.observed_at,
            recorded_at=self.recorded_at,
            author=self.author,
            parents=self.parents or parents,
            confirmed=self.confirmed,
        )


@dataclass(frozen=True, slots=True)
class PlainLog:
    """A whole plain log: the project it belongs to, and its entries in the order of the file."""

    name: str
    project: str
    entries: tuple[PlainEntry, ...]
