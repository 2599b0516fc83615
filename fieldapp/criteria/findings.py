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
from fieldapp.criteria.rules import (
    OPEN_HOLE_REQUIREMENTS,
    OPEN_HOLE_RULES,
    SCHEDULED,
    Rule,
    apply,
    look_at,
)
from fieldapp.record.shaft import ProjectRecord, ShaftRecord

RULES: Final[tuple[Rule, ...]] = (
    *OPEN_HOLE_RULES,
    concrete_rules.released_before_concrete,
    concrete_rules.slump,
    concrete_rules.toe_as_built,
)

RULE_NAMES: Final[dict[str, str]] = {
    each.name: each.meaning for each in (*OPEN_HOLE_REQUIREMENTS, *concrete_rules.REQUIREMENTS)
}


def findings(
    project: ProjectRecord, shaft: ShaftRecord, at: datetime, release: ReleaseState | None = None
) -> tuple[Finding, ...]:
    """Hold the record of a shaft against everything that its project asks.

    Parameters
    ----------
    project, shaft
        Folded from the same journal.
    at
        The present moment, with its offset from UTC.  How things stood earlier is asked by folding a
        shorter journal.
    release
        The decision on concrete at that moment, where it is worked out already.

    Returns
    -------
    One finding a requirement, in the order of the rules.  While the project is not set up or the shaft
    not scheduled there is one only, not shown.
    """
    look = look_at(project, shaft, at)
    if look is None:
        missing = "The project is not set up." if project.setup is None else "The shaft is not scheduled."
        return (SCHEDULED.not_shown(missing, Work.ASK_ENGINEER, keeps_credit_open=True),)
    return (SCHEDULED.met("The shaft is scheduled."), *apply(RULES, replace(look, release=release)))
