"""The record as it would be with what is being typed: rules look at that, and nothing is recorded."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Final

from fieldapp.criteria.look import Look
from fieldapp.record.decisions import Amend
from fieldapp.record.entry import ChainHead, Draft, seal
from fieldapp.record.kinds import Values
from fieldapp.record.shaft import shaft_record, with_shaft

# An identifier that no device makes: the moment in it is 0.
IN_HAND: Final = "00000000-0000-7000-8000-000000000000"
_FORM: Final = "form"


def as_if(look: Look, values: Values, at: datetime, parents: tuple[str, ...] = (), target: str = "") -> Look:
    """The same look with one entry more, or one amended when there is a ``target``.  Raises Impossible."""
    says = Amend(target, values, _FORM, observed_at=at) if target else values
    draft = Draft(IN_HAND, look.project.id, look.shaft.id, says, at, at, _FORM, parents)
    stamp = max((each.stamp for each in look.shaft.entries), default=0) + 1
    entry = seal(draft, ChainHead(_FORM), stamp)
    shaft = shaft_record(look.shaft.id, (*look.shaft.entries, entry))
    project = with_shaft(look.project, shaft)
    scheduled = shaft.scheduled or look.scheduled
    return replace(look, project=project, shaft=shaft, scheduled=scheduled, release=None, kept={})
