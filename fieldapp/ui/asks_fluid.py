"""What the screen of a fluid test asks of the desk; everything here runs on the worker."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from fieldapp.ui.asks import By, Moment, ShaftPage, Texts, fluid_key, shaft_page, texts_of

if TYPE_CHECKING:
    from fieldapp.desk.entry_forms.fluid_form import FieldAnswer, FluidForm, SamplePlace
    from fieldapp.desk.workplace import Workplace
    from fieldapp.record.entry import Entry


@dataclass(slots=True)
class FluidTyped:
    """What was typed of a fluid sample: at which depth, and the text of each field."""

    set: int
    depth: str
    fields: Texts = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class FluidPage:
    """A fluid sample to be tested on a shaft, as far as it has come."""

    page: ShaftPage
    form: FluidForm
    typed: FluidTyped


def fluid_page(place: Workplace, shaft: str, at: Moment) -> FluidPage:
    """The next fluid sample of a shaft with what was typed of it before.  Raises NotOpen."""
    from fieldapp.desk.entry_forms.fluid_form import fluid_form
    from fieldapp.desk.inspector import kept_form

    form = fluid_form(place, shaft)
    body = kept_form(place, fluid_key(shaft))
    depths = [each.depth.read for each in form.places]
    typed = FluidTyped(form.set, depths[0])
    if body is not None and body.get("depth") in depths and body.get("set") == form.set:
        typed = FluidTyped(form.set, str(body["depth"]), texts_of(body.get("fields")))
    return FluidPage(shaft_page(place, shaft, at), form, typed)


def keep_fluid(place: Workplace, shaft: str, typed: FluidTyped) -> datetime:
    """Keep a half-typed sample on disk, and say since when it is there."""
    from fieldapp.desk.inspector import keep_form

    keep_form(
        place,
        fluid_key(shaft),
        shaft,
        {"set": typed.set, "depth": typed.depth, "fields": typed.fields},
    )
    return place.now()


def fluid_answers(
    place: Workplace, shaft: str, form: FluidForm, typed: FluidTyped
) -> tuple[dict[str, FieldAnswer], datetime]:
    """What the limits say of the sample so far, which is kept on disk.  Raises Impossible."""
    from fieldapp.desk.entry_forms.fluid_form import answers, fluid_entry

    found: dict[str, FieldAnswer] = {}
    if any(text for name, text in typed.fields.items() if name != "temperature"):
        found = answers(place, shaft, fluid_entry(form, sample_place(form, typed), typed.fields))
    return found, keep_fluid(place, shaft, typed)


def sample_place(form: FluidForm, typed: FluidTyped) -> SamplePlace:
    """The place of a typed sample."""
    return next(each for each in form.places if each.depth.read == typed.depth)


def record_fluid(place: Workplace, shaft: str, form: FluidForm, typed: FluidTyped, by: By) -> Entry:
    """Record a typed sample.  Raises Impossible, Refused, AskFirst, StoreProblem."""
    from fieldapp.desk.entry_forms.fluid_form import fluid_entry
    from fieldapp.desk.inspector import Saying, drop_form, record_entry

    says = fluid_entry(form, sample_place(form, typed), typed.fields)
    entry = record_entry(place, Saying(shaft, says, by.person, confirmed=by.confirmed))
    drop_form(place, fluid_key(shaft))
    return entry
