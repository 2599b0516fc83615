"""What a cleanout pass is worth and what an airlift needs, as facts beside the form of the pass.

Static figures from what the record holds; where an input is missing the figure is not shown and the
sentence says which.  The discharge is taken at the reference, where the record does not say.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from fieldapp.base.disk import BaseDisk
from fieldapp.base.pass_worth import NextPass, NoTrend, Trend, Worth
from fieldapp.criteria.finding import Outcome
from fieldapp.criteria.fluid_sets import sets_of
from fieldapp.criteria.look import Look
from fieldapp.desk.entry_forms.base_sheets import FLOW_OUT
from fieldapp.desk.entry_forms.filling import readable
from fieldapp.desk.entry_forms.form import EntryForm, FieldAnswer
from fieldapp.desk.entry_forms.limit_texts import required_level_m
from fieldapp.desk.entry_forms.values import value_of
from fieldapp.desk.looking import NotOpen
from fieldapp.desk.workplace import Workplace
from fieldapp.desk.worth.outlook import base_outlook
from fieldapp.fluid.airlift import Airlift, AirliftCheck, Enough, check_airlift, minutes_to_least_head
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.reading import Reading
from fieldapp.record.said import said, sayable
from fieldapp.record.words import CleanoutMethod, Fluid, UnitSystem
from fieldapp.units import OutOfRange, rounded_down, show

NEXT_PASS: Final = "next pass"
NEEDED_AIR: Final = "air_pressure"
SUBMERGENCE: Final = "submergence"
MAKE_UP: Final = "make-up"
FACT: Final = ""
_ENOUGH: Final = {
    Enough.YES: Outcome.MET,
    Enough.NO: Outcome.NOT_MET,
    Enough.PERHAPS: Outcome.NOT_SHOWN,
    Enough.UNKNOWN: Outcome.NOT_SHOWN,
}
_AIR_IS: Final = {
    Enough.YES: sayable("enough"),
    Enough.NO: sayable("too low"),
    Enough.PERHAPS: sayable("perhaps enough"),
}
# Sentences of the trend of passes, marked here because its own module knows no languages.
_TRENDS: Final = {
    Trend.LESS: sayable("later passes remove a smaller share"),
    Trend.ALIKE: sayable("passes remove a like share"),
    Trend.MORE: sayable("later passes remove a larger share"),
    Trend.NOT_TOLD: sayable("the readings do not tell"),
}
_REASONS: Final = (
    sayable("The soundings show nothing left to remove."),
    sayable("One pass has soundings before and after it; a trend needs two such passes."),
    sayable("No pass has soundings before and after it; a trend needs two such passes."),
)


def pass_answers(
    place: Workplace, look: Look, form: EntryForm, typed: Mapping[str, str]
) -> tuple[FieldAnswer, ...]:
    """Worth of the next pass, and the airlift check where the pass is one."""
    texts = readable(form, typed)
    found = (_next_pass(place, look),)
    if texts.get("method") != CleanoutMethod.AIRLIFT:
        return found
    read: dict[str, Reading] = {
        name: value_of(form.field(name), texts[name])
        for name in ("air_pressure", "injection_depth", FLOW_OUT)
        if name in texts
    }
    return (*found, *_airlift(look, read))


def _next_pass(place: Workplace, look: Look) -> FieldAnswer:
    try:
        worth = base_outlook(place, look.shaft.id, look.at).next_pass
    except (NotOpen, OutOfRange) as problem:
        return FieldAnswer(NEXT_PASS, str(Outcome.NOT_SHOWN), str(problem))
    return _worth(look, worth)


def _worth(look: Look, worth: Worth | None) -> FieldAnswer:
    if worth is None:
        says = said("The last round has an unread point: what a pass is worth is not shown.")
        return FieldAnswer(NEXT_PASS, str(Outcome.NOT_SHOWN), says)
    if isinstance(worth, NoTrend):
        reason = next((said(each) for each in _REASONS if each == worth.reason), worth.reason)
        return FieldAnswer(NEXT_PASS, str(Outcome.NOT_SHOWN), reason)
    return FieldAnswer(NEXT_PASS, FACT, _gain(look, worth))


def _gain(look: Look, worth: NextPass) -> str:
    unit, digits = ("in", 2) if look.setup.units is UnitSystem.US else ("mm", 0)
    gain, after = worth.gain_m, worth.after_m
    return said(
        "The next pass is likely to take off {best} ({low} to {high}) and to leave {after}; {trend}.",
        best=show(gain.best, unit, digits),
        low=show(gain.low, unit, digits),
        high=show(gain.high, unit, digits),
        after=show(after.best, unit, digits),
        trend=said(_TRENDS[worth.trend]),
    )


@dataclass(frozen=True, slots=True)
class Column:
    """The fluid column that an airlift stands in; None where the record does not hold it."""

    density: float | None
    level_m: float | None


def _column(look: Look) -> Column:
    """Density of the deepest sample of the latest set that has one, and the last fluid level."""
    sets = sets_of(look.lines(FluidTest))
    tested = [
        each.values.density for found in sets for each in found.samples if each.values.density is not None
    ]
    levels = look.lines(HeadReading)
    return Column(
        float(tested[-1].si) if tested else None,
        float(levels[-1].values.fluid_level.si) if levels else None,
    )


def _airlift(look: Look, read: Mapping[str, Reading]) -> tuple[FieldAnswer, ...]:
    if look.scheduled.fluid is Fluid.NONE:
        says = said("An airlift needs fluid in the hole; this shaft is dry.")
        return (FieldAnswer(NEEDED_AIR, str(Outcome.NOT_SHOWN), says),)
    column, injection = _column(look), read.get("injection_depth")
    if column.density is None or column.level_m is None or injection is None:
        return (FieldAnswer(NEEDED_AIR, str(Outcome.NOT_SHOWN), _missing(column, injection)),)
    air, flow = read.get("air_pressure"), read.get(FLOW_OUT)
    try:
        checked = check_airlift(
            Airlift(
                fluid_kg_per_m3=column.density,
                injection_below_fluid_m=float(injection.si) - column.level_m,
                lift_above_fluid_m=max(column.level_m, 0.0),
                air_pressure_kpa=None if air is None else float(air.si) * 1000,
                pump_out_m3_per_min=None if flow is None else float(flow.si),
            ),
            BaseDisk(float(look.scheduled.diameter.si)).area_m2,
        )
    except OutOfRange as problem:
        return (FieldAnswer(NEEDED_AIR, str(Outcome.NOT_SHOWN), f"{problem}."),)
    return (_air(look, checked, air), _submergence(checked), _make_up(look, checked, column.level_m))


def _missing(column: Column, injection: Reading | None) -> str:
    """The first thing that the check lacks, in a sentence."""
    if injection is None:
        return said("Airlift check: not shown without the air injection depth.")
    if column.density is None:
        return said("Airlift check: not shown without the density of the fluid.")
    return said("Airlift check: not shown without the fluid level.")


def _air(look: Look, checked: AirliftCheck, air: Reading | None) -> FieldAnswer:
    unit = "psi" if look.setup.units is UnitSystem.US else "kPa"
    low, high = (
        show(each / 1000, unit, 0).rsplit(" ", 1)[0]
        for each in (checked.needed_low_kpa, checked.needed_high_kpa)
    )
    values = {"low": low, "high": f"{high} {unit}", "air": str(air)}
    if air is None:
        says = said("Air needed at the injection: {low} to {high} with losses.", **values)
    else:
        word = said(_AIR_IS[checked.enough])
        says = said("Air {air} is {word}: {low} to {high} is needed with losses.", word=word, **values)
    return FieldAnswer(NEEDED_AIR, str(_ENOUGH[checked.enough]), says)


def _submergence(checked: AirliftCheck) -> FieldAnswer:
    says = said(
        "Submergence {share} with the discharge at the reference.",
        share=f"{checked.submergence_ratio:.0%}",
    )
    return FieldAnswer(SUBMERGENCE, FACT, says)


def _make_up(look: Look, checked: AirliftCheck, level_m: float) -> FieldAnswer:
    rate = checked.drawdown_m_per_min
    if rate is None:
        says = said("Head lost when make-up stops: not shown without the flow out of the hole.")
        return FieldAnswer(MAKE_UP, str(Outcome.NOT_SHOWN), says)
    unit, digits = ("ft", 2) if look.setup.units is UnitSystem.US else ("m", 2)
    fall = show(rate, unit, digits)
    required = required_level_m(look)
    spare_m = None if required is None else float(required) - level_m
    minutes = None if spare_m is None else minutes_to_least_head(spare_m, 0.0, rate)
    if minutes is None:
        return FieldAnswer(
            MAKE_UP, FACT, said("When make-up stops the level falls {fall} a minute.", fall=fall)
        )
    says = said(
        "When make-up stops the level falls {fall} a minute; the least head is reached in {minutes} min.",
        fall=fall,
        minutes=f"{rounded_down(minutes, 1):g}",
    )
    return FieldAnswer(MAKE_UP, FACT, says)
