"""What the screen of a fluid test asks of the desk; everything here runs on the worker."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import TYPE_CHECKING

from fieldapp.ui.asks import By, Moment, ShaftPage, Texts, fluid_key, shaft_page, texts_of

if TYPE_CHECKING:
    from fieldapp.desk.entry_forms.fluid_form import FluidForm, SamplePlace
    from fieldapp.desk.entry_forms.form import FieldAnswer
    from fieldapp.desk.entry_forms.water_check import WaterForm
    from fieldapp.desk.workplace import Workplace
    from fieldapp.record.column import FluidTest
    from fieldapp.record.entry import Entry


@dataclass(slots=True)
class FluidTyped:
    """What was typed of a fluid sample: at which depth, and the text of each field.

    Beside it since when a stopwatch runs by field (ISO time), what was typed of a water check, and the
    instruments that were chosen for this sample.
    """

    set: int
    depth: str
    fields: Texts = field(default_factory=dict)
    watch: Texts = field(default_factory=dict)
    water: Texts = field(default_factory=dict)
    named: tuple[str, ...] = ()

    @property
    def begun(self) -> bool:
        """Whether there is anything to keep on disk."""
        return bool(any(self.fields.values()) or self.watch or any(self.water.values()) or self.named)


@dataclass(frozen=True, slots=True)
class FluidPage:
    """A fluid sample to be tested on a shaft, as far as it has come, and the check of its funnel."""

    page: ShaftPage
    form: FluidForm
    water: WaterForm
    typed: FluidTyped
    row: FieldAnswer | None
    zone: str
    kept: bool
    """Whether a form of it was on disk."""


@dataclass(frozen=True, slots=True)
class FluidHeld:
    """What the limits say of a sample so far by field, and of the sets in a row with it."""

    answers: dict[str, FieldAnswer]
    row: FieldAnswer | None
    kept_at: datetime


def fluid_page(place: Workplace, shaft: str, at: Moment) -> FluidPage:
    """The next fluid sample of a shaft with what was typed of it before.  Raises NotOpen."""
    from fieldapp.desk.entry_forms.fluid_form import fluid_form
    from fieldapp.desk.entry_forms.fluid_row import sets_so_far
    from fieldapp.desk.entry_forms.water_check import water_form
    from fieldapp.desk.inspector import kept_form

    body = kept_form(place, fluid_key(shaft)) or {}
    named = tuple(texts_of(body.get("named")).values())
    form = fluid_form(place, shaft, named)
    depths = [each.depth.read for each in form.places]
    typed = FluidTyped(form.set, depths[0], named=named)
    if body.get("depth") in depths and body.get("set") == form.set:
        fields, watch, water = (texts_of(body.get(name)) for name in ("fields", "watch", "water"))
        typed = FluidTyped(form.set, str(body["depth"]), fields, watch, water, named)
    return FluidPage(
        page=shaft_page(place, shaft, at),
        form=form,
        water=water_form(place, form),
        typed=typed,
        row=sets_so_far(place, shaft, form, None),
        zone=place.setup().time_zone,
        kept=bool(body),
    )


def keep_fluid(place: Workplace, shaft: str, typed: FluidTyped) -> datetime:
    """Keep a half-typed sample on disk, and say since when it is there."""
    from fieldapp.desk.inspector import keep_form

    body = {
        "set": typed.set,
        "depth": typed.depth,
        "fields": typed.fields,
        "watch": typed.watch,
        "water": typed.water,
        "named": {str(n): label for n, label in enumerate(typed.named)},
    }
    keep_form(place, fluid_key(shaft), shaft, body)
    return place.now()


def hold_fluid(place: Workplace, shaft: str, form: FluidForm, typed: FluidTyped) -> FluidHeld:
    """What the limits say of the sample so far, which is kept on disk.  Raises Impossible."""
    from fieldapp.desk.entry_forms.fluid_form import answers, fluid_entry
    from fieldapp.desk.entry_forms.fluid_row import sets_so_far

    kept_at = keep_fluid(place, shaft, typed)
    found: dict[str, FieldAnswer] = {}
    sample: FluidTest | None = None
    if any(text for name, text in typed.fields.items() if name != "temperature"):
        sample = fluid_entry(form, sample_place(form, typed), typed.fields)
        found = answers(place, shaft, sample)
    return FluidHeld(found, sets_so_far(place, shaft, form, sample), kept_at)


def hold_water(
    place: Workplace, shaft: str, form: WaterForm, typed: FluidTyped
) -> tuple[FieldAnswer | None, datetime]:
    """What the water check says so far, which is kept on disk with the sample."""
    from fieldapp.desk.entry_forms.water_check import water_answer

    return water_answer(form, typed.water), keep_fluid(place, shaft, typed)


def sample_place(form: FluidForm, typed: FluidTyped) -> SamplePlace:
    """The place of a typed sample."""
    return next(each for each in form.places if each.depth.read == typed.depth)


def record_fluid(place: Workplace, shaft: str, form: FluidForm, typed: FluidTyped, by: By) -> Entry:
    """Record a typed sample.  Raises Impossible, Refused, AskFirst, StoreProblem."""
    from fieldapp.desk.entry_forms.fluid_form import fluid_entry
    from fieldapp.desk.inspector import Saying, record_entry

    says = fluid_entry(form, sample_place(form, typed), typed.fields)
    saying = Saying(shaft, says, by.person, confirmed=by.confirmed, form=fluid_key(shaft))
    return record_entry(place, saying)


def record_water(place: Workplace, shaft: str, form: WaterForm, typed: FluidTyped, by: By) -> Entry:
    """Record the water check of a funnel; the half-typed sample stays.

    Raises Impossible, Refused, AskFirst, StoreProblem.
    """
    from fieldapp.desk.entry_forms.water_check import record_water as record
    from fieldapp.desk.inspector import drop_form

    entry = record(place, form, typed.water, by.person, by.confirmed)
    left = replace(typed, water={})
    if left.begun:
        keep_fluid(place, shaft, left)
    else:
        drop_form(place, fluid_key(shaft))
    return entry
