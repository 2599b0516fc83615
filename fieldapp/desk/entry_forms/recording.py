"""A typed form into the journal: a new entry, or an amendment with its reason."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from fieldapp.desk.entry_forms.form import OBSERVED_AT, SHAFT, WHY, EntryForm
from fieldapp.desk.entry_forms.values import values_of
from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.workplace import Workplace
from fieldapp.record.codec import read_time
from fieldapp.record.decisions import Amend
from fieldapp.record.entry import Entry, check_name
from fieldapp.record.kinds import PROJECT_KINDS
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said


def record_typed(  # noqa: PLR0913, PLR0917 - the screens know it by these names
    place: Workplace,
    shaft: str | None,
    form: EntryForm,
    typed: Mapping[str, str],
    author: str,
    confirmed: tuple[str, ...] = (),
    kept: str = "",
) -> Entry:
    """Record what was typed, durably, and return the entry; the form kept under the key ``kept`` is dropped.

    It was observed when the form says so, else when the work that it tells of ended, else now.  An
    amendment changes the time only where another one is typed.

    Raises Impossible naming a field, Refused, AskFirst for what is unlikely and not among ``confirmed``,
    StoreProblem; in each case nothing was written.
    """
    values = values_of(form, typed)
    about = _shaft(shaft, form, typed)
    if not form.target:
        seen = observed_at(typed)
        return record_entry(place, Saying(about, values, author, seen, confirmed, form=kept))
    why = typed.get(WHY, "").strip()
    if not why:
        raise Impossible(WHY, said("nothing"), said("why the entry is amended"))
    moment = typed.get(OBSERVED_AT, "").strip()
    seen = read_time(moment, OBSERVED_AT) if moment else None
    change = Amend(form.target, values, why, observed_at=None if seen == _now_says(place, form) else seen)
    return record_entry(place, Saying(about, change, author, None, confirmed, form.parents, kept))


def observed_at(typed: Mapping[str, str]) -> datetime | None:
    """When a typed entry was observed; None is now.  Raises Impossible."""
    for name in (OBSERVED_AT, "ended_at"):
        if typed.get(name, "").strip():
            return read_time(typed[name].strip(), name)
    return None


def _shaft(shaft: str | None, form: EntryForm, typed: Mapping[str, str]) -> str | None:
    if form.kind in PROJECT_KINDS:
        return None
    named = shaft or form.shaft or typed.get(SHAFT, "").strip()
    if not named:
        raise Impossible(SHAFT, said("nothing"), said("the name of the shaft"))
    check_name(SHAFT, named)
    return named


def _now_says(place: Workplace, form: EntryForm) -> datetime | None:
    """When the entry to be amended was observed, as the record says now."""
    lines = place.record().lines if form.shaft is None else place.shaft(form.shaft).lines
    return next((each.observed_at for each in lines if each.id == form.target), None)
