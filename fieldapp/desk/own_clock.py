"""The clock of this device beside its own chain: what it has recorded it cannot have recorded later.

Rules look at one shaft, since paper logs are typed shaft by shaft.  A clock that is set back between two
shafts shows in no single one of them; this device sees it in its own chain, asks, and keeps the answer.
"""

from __future__ import annotations

from datetime import datetime
from typing import Final

from fieldapp.criteria.evidence_rules import CLOCK_SLACK
from fieldapp.desk.device import kept_name
from fieldapp.desk.workplace import Workplace
from fieldapp.record.attesting import Revocation
from fieldapp.record.entry import Draft
from fieldapp.record.hole import Event
from fieldapp.record.kinds import Values
from fieldapp.record.questions import CLOCK_BACK, Objection
from fieldapp.record.said import said
from fieldapp.record.words import Happening

# A clock set back longer ago has its question in many entries since.
_LOOKED_AT: Final = 200


def latest_recorded(place: Workplace) -> datetime | None:
    """The latest moment that this device has recorded since its clock was last corrected; None before any."""
    device = place.device or kept_name()
    moments: list[datetime] = []
    for each in place.last_of(device, _LOOKED_AT):
        moments.append(each.draft.recorded_at)
        if _corrects(each.values):
            break
    return max(moments, default=None)


def present(place: Workplace) -> datetime:
    """The moment to judge a shaft from: now, or what this device has recorded anywhere where that is later.

    So a clock that is set back makes nothing fresh again, and no release hold longer.
    """
    at, latest = place.now(), latest_recorded(place)
    if latest is None or latest - at <= CLOCK_SLACK:
        return at
    return latest.astimezone(at.tzinfo)


def clock_question(place: Workplace, draft: Draft) -> tuple[Objection, ...]:
    """What to ask before something is recorded by a clock that is behind what this device has recorded.

    A key is revoked by any clock, and the event that corrects the clock is recorded by it.
    """
    latest, now = latest_recorded(place), draft.recorded_at
    at_once = isinstance(draft.values, Revocation) or _corrects(draft.values)
    if latest is None or at_once or latest - now <= CLOCK_SLACK:
        return ()
    read, before = f"{now:%Y-%m-%d %H:%M}", f"{latest.astimezone(now.tzinfo):%Y-%m-%d %H:%M}"
    says = said(
        "The clock of this device says {now}, and it has recorded up to {latest}. Put the clock right; if it "
        "is right now, record the event 'clock corrected' first.",
        now=read,
        latest=before,
    )
    return (Objection(CLOCK_BACK, "recorded_at", says, read, said("a time not before {at}", at=before)),)


def _corrects(values: Values) -> bool:
    return isinstance(values, Event) and values.what is Happening.CLOCK_CORRECTED
