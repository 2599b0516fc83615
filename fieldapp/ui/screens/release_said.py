"""What stands on the screen of a release, from what the desk tells: rows of evidence, the state, a time."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Final

from fieldapp.ui.moments import day_and_time, hours_minutes
from fieldapp.ui.screens.signoff_parts import settles, shown
from fieldapp.ui.screens.unlock_first import counted
from fieldapp.ui.widgets.evidence_table import TableRow
from fieldapp.ui.words import release as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.criteria.finding import ReleaseState
    from fieldapp.desk.decisions.evidence import Evidence, EvidenceRow

RELEASED: Final = "released"
STATES: Final = {
    RELEASED: (words.RELEASED, "met"),
    "held": (words.HELD, "not met"),
    "lapsed": (words.LAPSED, "not met"),
    "withdrawn": (words.WITHDRAWN, "not met"),
}


def table_row(row: EvidenceRow) -> TableRow:
    """A stage with its findings, and a button for each work that would settle one."""
    works = dict.fromkeys(str(each.work) for each in row.findings if settles(str(each.work)))
    return TableRow(
        subject=str(row.stage),
        state=row.outcome,
        title=tr(row.stage),
        found=tr(row.shown),
        asked=tr(row.asked),
        when=hours_minutes(row.when) if row.when else "",
        findings=tuple(shown(each) for each in row.findings),
        settles=tuple((each, tr(words.SETTLE, work=tr(each))) for each in works),
    )


def how_it_stands(found: Evidence) -> tuple[str, str]:
    """The decision that stands, else how much stands against one, as lines; and its shape."""
    said, shape = _state_said(found.state)
    if said:
        return said, shape
    if found.against:
        worst = "not met" if found.read_first.not_met else "not shown"
        return tr(words.AGAINST, counts=counted(found.against)), worst
    return (tr(words.ALL_MET), "met") if found.signed else (tr(words.NOT_SIGNED), "due")


def _state_said(state: ReleaseState) -> tuple[str, str]:
    """What the decision on concrete says, its conditions and remarks each on a line of its own."""
    if str(state.status) not in STATES:
        return "", ""
    template, shape = STATES[str(state.status)]
    until = day_and_time(state.until) if state.until is not None else ""
    parts = [tr(template, time=until, name=state.author, reason=tr(state.reason))]
    if state.conditions:
        parts.append(tr(words.UNDER, conditions=state.conditions))
    parts += [tr(each) for each in state.remarks]
    return "\n".join(each.strip() for each in parts), shape


def until_said(until: datetime, now: datetime) -> str:
    """Until when, with the day where it is not today."""
    return hours_minutes(until) if until.date() == now.date() else day_and_time(until)
