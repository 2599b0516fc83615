"""What the screen of an entry asks of the desk; everything here runs on the worker.

A half-typed entry is on disk after every field, under a key of its kind and shaft, or of the entry that it
amends.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Final

from fieldapp.ui.asks import By, Moment, ShaftPage, Texts, shaft_page, texts_of
from fieldapp.ui.entry_typing import EntryTyped

if TYPE_CHECKING:
    from fieldapp.desk.entry_forms.form import EntryForm, FieldAnswer
    from fieldapp.desk.shaft.head_line import HeadLine
    from fieldapp.desk.workplace import Workplace
    from fieldapp.record.entry import Entry

HEAD: Final = "head reading"


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be typed: a new entry of a kind, or an amendment.  Without a shaft it is the project's."""

    shaft: str
    kind: str = ""
    amend: str = ""

    @property
    def key(self) -> str:
        """Key of its half-typed form on disk."""
        return f"amend {self.amend}" if self.amend else f"entry {self.kind} {self.shaft}"

    @property
    def about(self) -> str | None:
        """The shaft, or None for an entry of the project."""
        return self.shaft or None


@dataclass(frozen=True, slots=True)
class EntryPage:
    """An entry to be typed, as far as it has come, with what stands beside the form."""

    page: ShaftPage | None
    form: EntryForm
    typed: EntryTyped
    before: Texts
    zone: str
    heads: HeadLine | None
    answers: tuple[FieldAnswer, ...]
    half_typed: bool = False
    """Whether a form of it was on disk."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """A number that looks as if it was typed in another unit: its field, text, sentence, units that fit."""

    name: str
    text: str
    says: str
    units: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Held:
    """What the desk says of an entry so far: answers, what cannot be, numbers that look like another unit."""

    answers: tuple[FieldAnswer, ...]
    refused: Exception | None
    doubts: tuple[Doubt, ...]
    kept_at: datetime


def entry_page(place: Workplace, wanted: Wanted, at: Moment) -> EntryPage:
    """The form with what was typed of it before.  Raises NotOpen, UnknownShaft, Impossible."""
    from fieldapp.desk.entry_forms.amending import form_to_amend
    from fieldapp.desk.entry_forms.answers import answers
    from fieldapp.desk.entry_forms.opening import form_for
    from fieldapp.desk.inspector import kept_form

    form, before = (
        form_to_amend(place, wanted.about, wanted.amend)
        if wanted.amend
        else (form_for(place, wanted.about, wanted.kind), {})
    )
    kept = kept_form(place, wanted.key)
    typed = EntryTyped(dict(before))
    if kept is not None:
        typed = EntryTyped(texts_of(kept.get("fields")), texts_of(kept.get("watch")))
    return EntryPage(
        page=shaft_page(place, wanted.shaft, at) if wanted.shaft else None,
        form=form,
        typed=typed,
        half_typed=kept is not None,
        before=dict(before),
        zone=place.setup().time_zone,
        heads=_heads(place, wanted.shaft) if form.kind == HEAD else None,
        answers=answers(place, wanted.about, form, typed.fields),
    )


def hold_entry(place: Workplace, wanted: Wanted, form: EntryForm, typed: EntryTyped, texts: Texts) -> Held:
    """Keep an entry on disk, then hold its ``texts``, as the desk reads them, against the limits."""
    from fieldapp.desk.entry_forms.answers import answers

    kept_at = keep_entry(place, wanted, typed)
    refused = _cannot_be(form, texts)
    found = () if refused is not None else answers(place, wanted.about, form, texts)
    return Held(found, refused, _doubts(form, texts), kept_at)


def _doubts(form: EntryForm, texts: Texts) -> tuple[Doubt, ...]:
    from fieldapp.desk.entry_forms.form import Ask
    from fieldapp.desk.entry_forms.wrong_unit import wrong_unit

    found = []
    for each in form.fields:
        if each.ask is not Ask.READING or each.name not in texts:
            continue
        says = wrong_unit(form, each.name, texts[each.name])
        if says:
            values = getattr(says, "values", {})
            units = tuple(str(values[name]) for name in ("other", "second") if name in values)
            found.append(Doubt(each.name, texts[each.name], says, units))
    return tuple(found)


def _cannot_be(form: EntryForm, texts: Texts) -> Exception | None:
    """What is impossible of the fields that are typed; a needed one that is still empty is not."""
    from fieldapp.desk.entry_forms.reading_typed import typed_value
    from fieldapp.desk.entry_forms.sheet import possible_of
    from fieldapp.desk.entry_forms.sheets import sheet_of
    from fieldapp.desk.entry_forms.values import values_of
    from fieldapp.record.reading import Impossible, Reading

    sheet = sheet_of(form.kind)
    try:
        for spec in sheet.specs:
            if spec.name in texts:
                value = typed_value(form.field(spec.name), texts[spec.name], spec.words)
                possible = possible_of(spec, sheet)
                if possible is not None and isinstance(value, Reading):
                    possible.check(spec.name, value)
        values_of(form, texts)
    except Impossible as problem:
        return problem if problem.field_name in texts else None
    return None


def keep_entry(place: Workplace, wanted: Wanted, typed: EntryTyped) -> datetime:
    """Keep a half-typed entry on disk, and say since when it is there."""
    from fieldapp.desk.inspector import keep_form

    keep_form(place, wanted.key, wanted.shaft, {"fields": typed.fields, "watch": typed.watch})
    return place.now()


def drop_entry(place: Workplace, wanted: Wanted) -> datetime:
    """Forget a half-typed entry."""
    from fieldapp.desk.inspector import drop_form

    drop_form(place, wanted.key)
    return place.now()


def record_entry(
    place: Workplace, wanted: Wanted, form: EntryForm, texts: Mapping[str, str], by: By
) -> Entry:
    """Record a typed entry or amendment.  Raises Impossible, Refused, AskFirst, StoreProblem."""
    from fieldapp.desk.entry_forms.recording import record_typed

    return record_typed(place, wanted.about, form, texts, by.person, by.confirmed, wanted.key)


def strike_entry(place: Workplace, wanted: Wanted, why: str, by: By) -> Entry:
    """Record that an entry should not count.  Raises Impossible, Refused, AskFirst, StoreProblem."""
    from fieldapp.desk.inspector import Saying, heads_of_line, record_entry
    from fieldapp.record.decisions import Strike
    from fieldapp.record.reading import Impossible

    lines = place.shaft(wanted.shaft).lines if wanted.shaft else place.record().lines
    line = next((each for each in lines if each.id == wanted.amend), None)
    if line is None:
        raise Impossible("entry", wanted.amend, "an entry of this record")
    change = Strike(target=line.id, why=why)
    parents = heads_of_line(line)
    saying = Saying(wanted.about, change, by.person, None, by.confirmed, parents, wanted.key)
    return record_entry(place, saying)


def _heads(place: Workplace, shaft: str) -> HeadLine | None:
    from fieldapp.desk.looking import NotOpen
    from fieldapp.desk.shaft.head_line import head_line

    try:
        return head_line(place, shaft, None)
    except NotOpen:
        return None
