"""What an inspector reads before signing, and what a resident engineer decides on: findings by stage.

Everything is as of now: a decision rests on the record as it is, whatever moment other screens show.
Nothing here judges; the outcomes are those of the findings, and no row is left out for being good.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Final

from fieldapp.criteria.finding import Finding, Outcome, ReleaseState
from fieldapp.criteria.phrasing import clock
from fieldapp.criteria.release_ground import AGAINST
from fieldapp.criteria.standing import log_is_signed
from fieldapp.desk.decisions.engineer import ReleaseUntil, release_until
from fieldapp.desk.looking import NotOpen
from fieldapp.desk.office import shaft_now
from fieldapp.desk.own_clock import present
from fieldapp.desk.shaft.view import ShaftView, shaft_view
from fieldapp.desk.workplace import Workplace
from fieldapp.record.decisions import LogSigned
from fieldapp.record.said import Said, said, said_of

_ORDER: Final = (Outcome.NOT_MET, Outcome.NOT_SHOWN, Outcome.MET)


@dataclass(frozen=True, slots=True)
class EvidenceRow:
    """A stage in one line: its outcome, what decides it, what is asked, when, and all its findings."""

    stage: str
    outcome: str
    shown: str
    asked: str
    when: datetime | None
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class ReadFirst:
    """What is read before a log is signed, the weightiest first in each group."""

    not_met: tuple[Finding, ...]
    not_shown: tuple[Finding, ...]
    met: tuple[Finding, ...]
    not_asked: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Evidence:
    """A shaft as it stands for a decision made now."""

    view: ShaftView
    now: datetime
    zone: str
    rows: tuple[EvidenceRow, ...]
    read_first: ReadFirst
    signed: str
    state: ReleaseState
    until: ReleaseUntil

    @property
    def against(self) -> tuple[Finding, ...]:
        """What is not met or not shown, the weightiest first."""
        both = (*self.read_first.not_met, *self.read_first.not_shown)
        return tuple(sorted(both, key=lambda each: -each.weight))

    @property
    def preset(self) -> datetime | None:
        """The earliest time that ends a release, still to come: by the acceptance set or the forecast."""
        ends = (self.until.accepted, self.until.forecast)
        return min((each.until for each in ends if each is not None and each.until > self.now), default=None)


def evidence(place: Workplace, shaft_id: str) -> Evidence:
    """A shaft as of now, for a decision.  Raises UnknownShaft."""
    at = present(place)
    view, now = shaft_view(place, shaft_id, at), shaft_now(place, shaft_id, at)
    rows = [_row(each.name, each.findings) for each in view.stages]
    log, signed = _log(place, shaft_id)
    return Evidence(
        view=view,
        now=at,
        zone=place.setup().time_zone,
        rows=(*(each for each in rows if each is not None), log),
        read_first=_read_first(now.findings),
        signed=signed,
        state=now.release,
        until=_until(place, shaft_id, at),
    )


def _until(place: Workplace, shaft_id: str, at: datetime) -> ReleaseUntil:
    try:
        return release_until(place, shaft_id, at)
    except NotOpen as problem:
        return ReleaseUntil((), (said_of(problem),))


def _read_first(found: tuple[Finding, ...]) -> ReadFirst:
    by_weight = sorted(found, key=lambda each: -each.weight)

    def of(outcome: Outcome) -> tuple[Finding, ...]:
        return tuple(each for each in by_weight if each.outcome is outcome)

    asked_not = tuple(each.requirement for each in of(Outcome.NOT_ASKED))
    return ReadFirst(of(Outcome.NOT_MET), of(Outcome.NOT_SHOWN), of(Outcome.MET), asked_not)


def _row(stage: str, findings: tuple[Finding, ...]) -> EvidenceRow | None:
    """One line of a stage, by its weightiest finding of the worst outcome; None where nothing is asked."""
    asked = sorted(
        (each for each in findings if each.outcome in _ORDER),
        key=lambda each: (_ORDER.index(each.outcome), -each.weight),
    )
    if not asked:
        return None
    first = next((each for each in asked if each.outcome is asked[0].outcome and each.limit), asked[0])
    first = asked[0] if asked[0].outcome in AGAINST else first
    times = [each.when for each in asked if each.when is not None]
    when = first.when or max(times, default=None)
    shown = first.says
    if first.measured:
        shown = said(
            "{requirement}: {measured}", requirement=Said(first.requirement), measured=first.measured
        )
    return EvidenceRow(stage, str(first.outcome), shown, first.limit, when, tuple(asked))


def _log(place: Workplace, shaft_id: str) -> tuple[EvidenceRow, str]:
    """Whether enough people signed the log after the last entry, and what the last of them did."""
    shaft = place.shaft(shaft_id)
    last = shaft.last(LogSigned)
    whole = log_is_signed(place.record(), shaft)
    name = said("Log")
    if last is None:
        return EvidenceRow(name, str(Outcome.NOT_SHOWN), said("The log is not signed."), "", None, ()), ""
    at = last.observed_at.astimezone(place.now().tzinfo)
    who, when = last.original.draft.author, clock(at)
    if whole:
        says = said("Signed by {name}, {time}.", name=who, time=when)
        return EvidenceRow(name, str(Outcome.MET), says, "", at, ()), says
    says = said("Signed by {name}, {time}; more is recorded or asked for since.", name=who, time=when)
    return EvidenceRow(name, str(Outcome.NOT_SHOWN), says, "", at, ()), says
