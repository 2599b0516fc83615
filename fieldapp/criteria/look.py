"""What a rule looks at: one shaft of one project, at one moment, with its limits and its units.

The moment is the start of concrete once concrete is in, and otherwise the moment asked for.  While
the hole is open every line counts, whatever its clock said: a line from the future is flagged by the
evidence rules, not lost.  Once concrete is in, the open-hole rules see what was observed up to its start.
How things stood earlier is asked by cutting the journal, not by an earlier moment.  A look never
changes, so what it has worked out once it keeps.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field
from datetime import datetime
from fractions import Fraction
from typing import Any, TypeVar

from fieldapp.criteria.finding import ReleaseState
from fieldapp.criteria.limits import Case, CaseLimits, case_of, limits_in
from fieldapp.criteria.phrasing import Phrases
from fieldapp.record.acceptance import Parameter
from fieldapp.record.cleaning import CleanoutPass
from fieldapp.record.fold import Line
from fieldapp.record.hole import Event, ExcavationStage
from fieldapp.record.kinds import Values
from fieldapp.record.setup import ProjectSetup, ShaftScheduled
from fieldapp.record.shaft import ProjectRecord, ShaftRecord
from fieldapp.record.words import CleanoutMethod

K = TypeVar("K", bound=Values)
T = TypeVar("T")
Moment = tuple[datetime, tuple[int, str, int]]


@dataclass(frozen=True, slots=True)
class Look:
    """The record of a shaft with everything needed to hold it against the acceptance set.

    ``at`` is the moment asked for, with its offset from UTC; ``release`` the decision on concrete where
    it is worked out already.
    """

    project: ProjectRecord
    setup: ProjectSetup
    shaft: ShaftRecord
    scheduled: ShaftScheduled
    at: datetime
    release: ReleaseState | None = None
    kept: dict[Hashable, Any] = field(default_factory=dict, compare=False, repr=False)

    def once(self, key: Hashable, work_out: Callable[[], T]) -> T:
        """What ``work_out`` gives, worked out the first time that this look is asked for ``key``."""
        if key not in self.kept:
            self.kept[key] = work_out()
        found: T = self.kept[key]
        return found

    @property
    def concrete_at(self) -> datetime | None:
        """When concrete started, or None while the hole is open."""
        return self.once("concrete at", lambda: self.shaft.concrete_started_at)

    @property
    def concrete_in(self) -> bool:
        """Whether concrete has started."""
        return self.concrete_at is not None

    @property
    def moment(self) -> datetime:
        """Start of concrete, or the moment asked for while the hole is open."""
        return self.concrete_at or self.at

    @property
    def case(self) -> Case:
        """The case that limits are asked for."""
        return self.once("case", lambda: case_of(self.setup, self.scheduled))

    @property
    def phrases(self) -> Phrases:
        """Says quantities in the project's units."""
        return Phrases(self.setup.units)

    def limit(self, name: str, case: Case | None = None) -> Parameter | None:
        """The parameter of this name for the shaft (or the case given), or None when it is not asked."""
        if case is None:  # asked for thousands of times: without hashing the case
            return self._limits.limit(name)
        return limits_in(self.setup.acceptance, case).limit(name)

    @property
    def _limits(self) -> CaseLimits:
        return self.once("limits", lambda: limits_in(self.setup.acceptance, self.case))

    def number(self, name: str) -> Fraction | None:
        """SI value of a parameter, or None when it is not asked or not entered."""
        asked = self.limit(name)
        return asked.reading.si if asked is not None and asked.reading is not None else None

    def words(self, name: str) -> tuple[str, ...]:
        """The words of a parameter, empty when it is not asked or not entered."""
        asked = self.limit(name)
        text = asked.value if asked is not None and asked.value is not None else ""
        return tuple(each.strip() for each in text.split(",") if each.strip())

    def lines(self, kind: type[K]) -> tuple[Line[K], ...]:
        """Lines of a kind that count for the open hole, by the time they were observed."""
        return self.once(("lines", kind), lambda: self._lines(kind))

    def _lines(self, kind: type[K]) -> tuple[Line[K], ...]:
        found = self.shaft.of(kind)
        if not self.concrete_in:
            return found
        moment = self.moment
        return tuple(each for each in found if each.observed_at <= moment)

    def events(self, *what: str) -> tuple[Line[Event], ...]:
        """Events of these kinds, by the time they were observed."""
        return tuple(each for each in self.lines(Event) if each.values.what in what)

    @property
    def base_reached(self) -> Line[ExcavationStage] | None:
        """The latest stage at which the base was reached, or None."""
        found = [each for each in self.lines(ExcavationStage) if each.values.drilled_depth is not None]
        return max(found, key=stage_end, default=None)

    @property
    def base_depth(self) -> Fraction | None:
        """Depth of the drilled base below the reference [m], or None before it is reached."""
        reached = self.base_reached
        if reached is None or reached.values.drilled_depth is None:
            return None
        return reached.values.drilled_depth.si

    @property
    def base_reached_at(self) -> Moment | None:
        """When drilling to the base ended."""
        reached = self.base_reached
        return stage_end(reached) if reached else None

    @property
    def last_pass(self) -> Line[CleanoutPass] | None:
        """The cleanout pass that ended last, or None."""
        return max(self.lines(CleanoutPass), key=pass_end, default=None)

    @property
    def cleanings(self) -> tuple[Line[CleanoutPass], ...]:
        """Passes over the base itself: an exchange of the fluid moves the column and cleans nothing."""
        passes = self.lines(CleanoutPass)
        return tuple(each for each in passes if each.values.method is not CleanoutMethod.FLUID_EXCHANGE)


def seen(line: Line[K]) -> Moment:
    """When a line was observed; ties go by the order of folding."""
    return line.observed_at, line.original.order


def stage_end(line: Line[ExcavationStage]) -> Moment:
    """When a stretch of drilling ended."""
    return line.values.ended_at or line.observed_at, line.original.order


def pass_end(line: Line[CleanoutPass]) -> Moment:
    """When a cleanout pass ended; without an end, the later of its start and when it was observed."""
    values = line.values
    return values.ended_at or max(values.started_at, line.observed_at), line.original.order
