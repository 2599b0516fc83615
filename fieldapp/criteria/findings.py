"""All findings of a shaft: every rule, once, in a fixed order.

Once concrete has started the rules of the open hole look at the moment of its start.  Requirements that
the acceptance set does not ask for are listed too, as not asked.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Final

from fieldapp.criteria import concrete_rules
from fieldapp.criteria.finding import Finding, ReleaseState, Work
from fieldapp.criteria.look import Look
from fieldapp.criteria.release import release_state
from fieldapp.criteria.rules import (
    OPEN_HOLE_REQUIREMENTS,
    OPEN_HOLE_RULES,
    SCHEDULED,
    Rule,
    apply,
    look_at,
)
from fieldapp.record.said import said
from fieldapp.record.shaft import ProjectRecord, ShaftRecord

CONCRETE_RULES: Final[tuple[Rule, ...]] = (
    concrete_rules.released_before_concrete,
    concrete_rules.slump,
    concrete_rules.toe_as_built,
)

RULES: Final = (*OPEN_HOLE_RULES, *CONCRETE_RULES)

RULE_NAMES: Final[dict[str, str]] = {
    each.name: each.meaning for each in (*OPEN_HOLE_REQUIREMENTS, *concrete_rules.REQUIREMENTS)
}


def findings(project: ProjectRecord, shaft: ShaftRecord, at: datetime) -> tuple[Finding, ...]:
    """Hold the record of a shaft against everything that its project asks.

    Parameters
    ----------
    project, shaft
        Folded from the same journal.
    at
        The present moment, with its offset from UTC.  How things stood earlier is asked by folding a
        shorter journal.

    Returns
    -------
    One finding a requirement, in the order of the rules.  While the project is not set up or the shaft
    not scheduled there is one only, not shown.
    """
    return findings_and_release(project, shaft, at)[0]


def findings_and_release(
    project: ProjectRecord, shaft: ShaftRecord, at: datetime, look: Look | None = None
) -> tuple[tuple[Finding, ...], ReleaseState]:
    """All findings of a shaft and the decision on concrete, each worked out once, at a moment.

    ``look`` is the look at that moment, from who goes on asking it: what it has worked out it keeps.
    """
    look = look or look_at(project, shaft, at)
    if look is None:
        return _not_scheduled(project), release_state(project, shaft, at)
    open_hole = apply(OPEN_HOLE_RULES, look)
    release = release_state(project, shaft, at, open_hole)
    concrete = apply(CONCRETE_RULES, replace(look, release=release))
    return (SCHEDULED.met(said("The shaft is scheduled.")), *open_hole, *concrete), release


def _not_scheduled(project: ProjectRecord) -> tuple[Finding, ...]:
    missing = said("The project is not set up." if project.setup is None else "The shaft is not scheduled.")
    return (SCHEDULED.not_shown(missing, Work.ASK_ENGINEER, keeps_credit_open=True),)
