"""A requirement by name, and the four ways in which it can come out.

Every rule states its requirement once and makes its findings here, so that names, weights and the
treatment of limits that are not entered are the same everywhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from fieldapp.criteria.finding import Finding, Group, Outcome, Work
from fieldapp.criteria.phrasing import joined, parameter_name, source_of
from fieldapp.record.acceptance import Parameter
from fieldapp.record.said import said

EXCLUDING: Final = 3000
_BY_OUTCOME: Final = {Outcome.NOT_MET: 2000, Outcome.NOT_SHOWN: 1000, Outcome.MET: 0, Outcome.NOT_ASKED: 0}
_BY_GROUP: Final = {
    Group.BASE: 900,
    Group.GROUND: 800,
    Group.HEAD: 700,
    Group.WATER: 600,
    Group.FLUID: 500,
    Group.TIME: 400,
    Group.EVIDENCE: 300,
    Group.GEOMETRY: 200,
    Group.CONCRETE: 100,
}


@dataclass(frozen=True, slots=True)
class Requirement:
    """One thing that may be asked of a shaft; ``rank`` orders it within its group (larger is weightier)."""

    name: str
    group: Group
    rank: int
    meaning: str

    def finding(self, outcome: Outcome, says: str, **rest: Any) -> Finding:
        """A finding of this requirement.  ``rest`` are further fields of Finding."""
        first = EXCLUDING if rest.get("excludes_base") else _BY_OUTCOME[outcome]
        weight = first + _BY_GROUP[self.group] + self.rank
        return Finding(self.name, self.group, outcome, says, weight=weight, **rest)

    def met(self, says: str, **rest: Any) -> Finding:
        """It is met."""
        return self.finding(Outcome.MET, says, **rest)

    def not_met(self, says: str, work: Work, **rest: Any) -> Finding:
        """It is not met; ``work`` is what could mend it in the open hole."""
        return self.finding(Outcome.NOT_MET, says, work=work, **rest)

    def not_shown(self, says: str, work: Work | None, **rest: Any) -> Finding:
        """The record does not show it; ``work`` is what could show it."""
        return self.finding(Outcome.NOT_SHOWN, says, work=work, **rest)

    def not_asked(self, says: str = "") -> Finding:
        """The acceptance set does not ask for it, or it does not concern this shaft."""
        return self.finding(Outcome.NOT_ASKED, says or said("The acceptance set does not ask for it."))

    def to_be_entered(self, *parameters: Parameter | None) -> Finding | None:
        """A finding when one of these limits is asked for but has no value yet, else None."""
        open_ones = [each for each in parameters if each is not None and each.value is None]
        if not open_ones:
            return None
        names = joined(parameter_name(each.name) for each in open_ones)
        says = said("The limit is still to be entered: {names}.", names=names)
        return self.not_shown(says, Work.ENTER_LIMIT, source=source_of(*open_ones))
