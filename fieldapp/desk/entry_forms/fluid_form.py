"""The form of one fluid sample: what to ask, the limit beside each field, and the entry made of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from dataclasses import fields as dataclass_fields
from fractions import Fraction
from typing import Final

from fieldapp.criteria.fluid_sets import (
    DENSITY,
    FUNNEL,
    PH,
    SAND,
    Property,
    limits_of,
    sets_since_cleaning,
)
from fieldapp.criteria.holding import limit_value
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import Quantity, at_least, at_most
from fieldapp.desk.entry_forms.fluid_answers import sample_answers
from fieldapp.desk.entry_forms.fluid_kit import choices, funnel_check, read_with
from fieldapp.desk.entry_forms.fluid_kit import cup as cup_of_funnel
from fieldapp.desk.entry_forms.form import FieldAnswer
from fieldapp.desk.looking import NotOpen, look_at
from fieldapp.desk.workplace import Workplace
from fieldapp.record.column import FluidTest
from fieldapp.record.entry import ChainHead, Draft, seal
from fieldapp.record.fold import Line
from fieldapp.record.reading import Reading
from fieldapp.record.said import said, sayable
from fieldapp.record.setup import Instrument
from fieldapp.record.words import Fluid, FluidStage, UnitSystem
from fieldapp.units import from_si, show, with_point

STAGE: Final = FluidStage.BEFORE_CONCRETE
_UNITS: Final = {
    UnitSystem.US: {"density": "pcf", "funnel_time": "s", "sand": "%", "ph": "pH", "temperature": "degF"},
    UnitSystem.SI: {"density": "g/cm3", "funnel_time": "s", "sand": "%", "ph": "pH", "temperature": "degC"},
}
_CAPTIONS: Final = {
    "density": sayable("density"),
    "sand": sayable("sand, by volume"),
    "ph": sayable("pH"),
    "temperature": sayable("temperature"),
}
_PROPERTIES: Final[dict[str, Property]] = {each.field: each for each in (DENSITY, FUNNEL, SAND, PH)}


@dataclass(frozen=True, slots=True)
class FluidField:
    """One number to type: its field, caption, unit, the limit beside it, and the last value typed.

    ``watched_s`` are the least and most seconds that a stopwatch can give it, where one can.
    """

    name: str
    caption: str
    unit: str
    limit: str
    last: str
    watched_s: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class SamplePlace:
    """A depth at which the acceptance set wants a sample."""

    caption: str
    depth: Reading


@dataclass(frozen=True, slots=True)
class FluidForm:
    """A sample to be tested: stage, set number, places still to be sampled in this set, fields."""

    stage: FluidStage
    set: int
    cup_volume: Reading
    places: tuple[SamplePlace, ...]
    fields: tuple[FluidField, ...]
    instruments: tuple[tuple[str, str], ...] = ()
    """Field and label of what it is read with, as far as such an instrument was ever checked here."""
    choices: tuple[tuple[str, str], ...] = ()
    """Label and type of everything that it could be read with."""
    funnel_check: FieldAnswer | None = None

    @property
    def funnel(self) -> str:
        """Label of the funnel in hand; empty while none is known."""
        return dict(self.instruments).get(FUNNEL.field, "")


def fluid_form(place: Workplace, shaft_id: str, named: Sequence[str] = ()) -> FluidForm:
    """The form for the next sample before concrete, read with the instruments ``named``.

    Where none is named, the shaft's last sample names them.  Raises NotOpen where there is nothing to test.
    """
    look = look_at(place, shaft_id)
    if look.scheduled.fluid is Fluid.NONE:
        raise NotOpen(said("Shaft {shaft} is dry: there is no fluid to test.", shaft=shaft_id))
    if look.base_depth is None:
        raise NotOpen(
            said(
                "Shaft {shaft} has not reached its base yet: a test before concrete comes later.",
                shaft=shaft_id,
            )
        )
    number, places = _next_sample(look, look.base_depth)
    units = _UNITS[look.setup.units]
    last = look.shaft.last(FluidTest)
    instruments = read_with(look, (*named, *(last.values.instruments if last else ())))
    funnel = dict(instruments).get(FUNNEL.field, "")
    cup = cup_of_funnel(look, funnel)
    fields = tuple(
        FluidField(
            name,
            said("funnel, cup of {cup}", cup=cup) if name == "funnel_time" else _CAPTIONS[name],
            unit,
            _limit(look, name),
            _last(last, name, unit),
            watched_s(FluidTest) if name == "funnel_time" else None,
        )
        for name, unit in units.items()
    )
    return FluidForm(
        STAGE, number, cup, places, fields, instruments, choices(look), funnel_check(look, funnel)
    )


def watched_s(kind: type[FluidTest | Instrument]) -> tuple[float, float]:
    """Least and most seconds that the record takes for a time of the funnel."""
    name = "funnel_time" if kind is FluidTest else "water_time"
    possible = next(each for each in dataclass_fields(kind) if each.name == name).metadata["possible"]
    return float(possible.least.si), float(possible.most.si)


def fluid_entry(form: FluidForm, where: SamplePlace, typed: Mapping[str, str]) -> FluidTest:
    """The entry of a typed form; what was left empty was not tested.  Raises Impossible."""
    units = {each.name: each.unit for each in form.fields}
    read = {name: Reading(with_point(text), units[name]) for name, text in typed.items() if text}
    cup = form.cup_volume if "funnel_time" in read else None
    return FluidTest(
        stage=form.stage,
        set=form.set,
        sample_depth=where.depth,
        density=read.get("density"),
        funnel_time=read.get("funnel_time"),
        cup_volume=cup,
        temperature=read.get("temperature"),
        sand=read.get("sand"),
        ph=read.get("ph"),
        instruments=tuple(label for name, label in form.instruments if name in read),
    )


def answers(place: Workplace, shaft_id: str, sample: FluidTest) -> dict[str, FieldAnswer]:
    """What the limits say of every tested field of a sample, nothing where met; nothing is recorded."""
    found = sample_answers(look_at(place, shaft_id), _as_if_recorded(place, shaft_id, sample))
    return {each.name: replace(each, says="") if each.outcome == "met" else each for each in found}


def _as_if_recorded(place: Workplace, shaft_id: str, sample: FluidTest) -> Line[FluidTest]:
    now = place.now()
    draft = Draft(place.clock.new_id(), place.project_id, shaft_id, sample, now, now, "form")
    return Line(seal(draft, ChainHead("form"), 1), sample, now)


def _next_sample(look: Look, base_m: Fraction) -> tuple[int, tuple[SamplePlace, ...]]:
    """The set in hand and its depths without a sample yet; a whole set begins the next one."""
    wanted = _depths(look, base_m)
    sets = sets_since_cleaning(look)
    everything = [each.values.set for each in look.shaft.of(FluidTest) if each.values.stage is STAGE]
    following = max(everything, default=0) + 1
    if not sets:
        return following, wanted
    near = look.number("sample_bottom_within") or Fraction(3, 5)
    taken = [each.values.sample_depth.si for each in sets[-1].samples]
    left = tuple(each for each in wanted if all(abs(each.depth.si - depth) > near for depth in taken))
    return (sets[-1].number, left) if left else (following, wanted)


def _depths(look: Look, base_m: Fraction) -> tuple[SamplePlace, ...]:
    """Near the base, then up the column at the interval asked for, or at mid-height."""
    above = look.number("sample_bottom_within") or Fraction(3, 5)
    step = look.number("sample_interval_max")
    found = [(sayable("near the base"), base_m - above / 2)]
    if step is not None:
        count = int((base_m - above / 2) / step)
        found += [(sayable("up the column"), base_m - above / 2 - step * n) for n in range(1, count + 1)]
    elif look.words("include_midheight") == ("yes",):
        found.append((sayable("mid-height"), base_m / 2))
    us = look.setup.units is UnitSystem.US
    return tuple(SamplePlace(caption, _depth_reading(depth, us)) for caption, depth in found if depth > 0)


def _depth_reading(depth_m: Fraction, us: bool) -> Reading:
    if us:
        return Reading(show(round(depth_m / Fraction(3048, 10000)), "count", 0) + "'", "ft-in")
    return Reading(f"{float(depth_m):.1f}", "m")


def _limit(look: Look, name: str) -> str:
    if name == "temperature":
        coldest = look.limit("temp_min_test", look.case.at(STAGE))
        if coldest is None or coldest.reading is None:
            return ""
        return at_least(look.phrases.say(Quantity.TEMPERATURE, coldest.reading.si), coldest.strict)
    what = _PROPERTIES[name]
    least, most = limits_of(look, what, STAGE)
    if (least and least.reading is None) or (most and most.reading is None):
        return said("limit still to be entered")
    if least and most:
        low, high = (look.phrases.say(what.quantity, limit_value(each)) for each in (least, most))
        return said("{low} to {high}", low=low.rsplit(" ", 1)[0] if " " in low else low, high=high)
    if most:
        return at_most(look.phrases.say(what.quantity, limit_value(most)), most.strict)
    return at_least(look.phrases.say(what.quantity, limit_value(least)), least.strict) if least else ""


def _last(line: Line[FluidTest] | None, name: str, unit: str) -> str:
    reading: Reading | None = getattr(line.values, name) if line else None
    if reading is None:
        return ""
    return reading.read if reading.unit == unit else f"{from_si(reading.si, unit):.4g}"
