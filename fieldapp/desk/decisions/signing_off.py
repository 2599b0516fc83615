"""The inspector signs the log of a shaft: the entry, the chain, and the paper, in this order.

Before signing the inspector reads what is not met and what is not shown.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Final

from fieldapp.criteria.release_ground import AGAINST, counted
from fieldapp.desk.decisions.deciding import basis_now, checked_draft, decide, listed
from fieldapp.desk.inspector import refuse_or_ask
from fieldapp.desk.office import shaft_now
from fieldapp.desk.papers.paper import Paper, Pen
from fieldapp.desk.turning_point import TurningPoint
from fieldapp.desk.workplace import Workplace
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.decisions import LogSigned
from fieldapp.record.entry import Entry
from fieldapp.record.questions import Objection
from fieldapp.record.said import said
from fieldapp.record.words import Role

if TYPE_CHECKING:
    from fieldapp.identity.drawn import Drawing

SIGN_OPEN: Final = "sign-open"
STATEMENT: Final = "Recorded as seen."


@dataclass(frozen=True, slots=True)
class SignOffAsked:
    """A sign-off as the inspector asks for it, with the strokes drawn by hand, if any.

    Until the entry is written it can be stopped by ``turning``; from then on the paper is made as well.
    """

    statement: str = STATEMENT
    drawn: Drawing = ()
    confirmed: tuple[str, ...] = ()
    turning: TurningPoint = field(default_factory=TurningPoint)


def sign_off(
    place: Workplace, shaft_id: str, asked: SignOffAsked, author: str, key: UnlockedKey
) -> tuple[Entry, Paper]:
    """Sign the log of a shaft as it is, and write it on paper, certified.

    Returns
    -------
    The entry and the paper.  When the paper cannot be written the entry stands, and the paper can be made
    of it later.

    Raises
    ------
    Refused
        The author is no inspector, or the record rules it out.
    AskFirst
        ``sign-open``: something is not met or not shown; the question lists it.
    Stopped
        Somebody stopped it in time: there is neither an entry nor a paper.
    NotThisPerson, RevokedKey, OutsideValidity, DeviceKeyLost, UnknownShaft, Impossible, StoreProblem
        The key may not sign, or nothing can be written.
    """
    from fieldapp.desk.papers.logs import write_shaft_log  # noqa: PLC0415 - paper is slow to import

    values = LogSigned(basis_now(place, shaft_id), asked.statement)
    draft = checked_draft(place, shaft_id, values, author, key)
    found = _still_open(place, shaft_id, draft.observed_at)
    asked.turning.look()
    refuse_or_ask(found, asked.confirmed)
    asked.turning.go_through()
    entry = decide(place, draft, key, found, asked.confirmed)
    pen = Pen(key, Role.INSPECTOR, asked.drawn)
    return entry, write_shaft_log(place, shaft_id, draft.observed_at, author, pen)


def _still_open(place: Workplace, shaft_id: str, at: datetime) -> tuple[Objection, ...]:
    now = shaft_now(place, shaft_id, at)
    against = tuple(each for each in now.findings if each.outcome in AGAINST)
    if not against:
        return ()
    against = tuple(sorted(against, key=lambda each: -each.weight))
    says = said(
        "The log is to be signed with {counted}. {listed}",
        counted=counted(against),
        listed=listed(against),
    )
    expected = said("your word that you have read it")
    return (Objection(SIGN_OPEN, "statement", says, counted(against), expected),)
