"""Properties of the fluid before concrete, on the last set since the last cleanout pass.

A passing fluid never proves a passing base: these findings stand beside those of the base.
"""

from __future__ import annotations

from typing import Final

from fieldapp.criteria.finding import Finding, Group, Outcome, Work
from fieldapp.criteria.fluid_sets import (
    DENSITY,
    FUNNEL,
    PH,
    PROPERTIES,
    SAND,
    FluidSet,
    Property,
    SampleAnswer,
    answer_of,
    limits_of,
    samples_that_count,
    sets_since_cleaning,
)
from fieldapp.criteria.holding import held_over
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import Quantity, clock, joined, parameter_name, sentence, source_of, term
from fieldapp.criteria.requirement import Requirement
from fieldapp.record.acceptance import Parameter
from fieldapp.record.said import said
from fieldapp.record.words import Fluid, FluidStage, Salinity

_BY_PROPERTY: Final = {
    SAND: Requirement("fluid sand", Group.FLUID, 9, "Sand content is within its limit at every depth."),
    DENSITY: Requirement("fluid density", Group.FLUID, 8, "Density is within its limits at every depth."),
    FUNNEL: Requirement("fluid funnel time", Group.FLUID, 7, "Funnel time is within its limits."),
    PH: Requirement("fluid pH", Group.FLUID, 6, "pH is within its limits."),
}
TEMPERATURE: Final = Requirement(
    "fluid test temperature", Group.FLUID, 2, "No sample was tested colder than a test allows."
)
PRESS: Final = Requirement(
    "fluid press and gel", Group.FLUID, 1, "Fluid loss, filter cake and gel strength, where asked."
)
ADOPTED: Final = Requirement(
    "fluid limits adopted", Group.FLUID, 0, "The acceptance set has limits for the fluid in the hole."
)
REQUIREMENTS: Final = (ADOPTED, *_BY_PROPERTY.values(), TEMPERATURE, PRESS)
_NOT_KEPT: Final = ("fluid_loss_max", "cake_max", "gel_min", "gel_max")
_STAGE: Final = FluidStage.BEFORE_CONCRETE
DRY_HOLE: Final = said("There is no fluid in a dry hole.")
NO_SET: Final = said("No fluid test before concrete since the last cleaning.")


def fluid_properties(look: Look) -> tuple[Finding, ...]:
    """One finding for each of sand, density, funnel time and pH."""
    return tuple(_property(look, each) for each in PROPERTIES)


def limits_adopted(look: Look) -> Finding:
    """Whether the acceptance set has any limit for the fluid that stands in this hole."""
    if look.scheduled.fluid is Fluid.NONE:
        return ADOPTED.not_asked(DRY_HOLE)
    limits = [each for what in PROPERTIES for each in limits_of(look, what, _STAGE) if each is not None]
    if limits:
        says = said("The set has limits for {fluid} fluid before concrete.", fluid=look.scheduled.fluid)
        return ADOPTED.met(says)
    says = said(
        "The acceptance set has no limits for {fluid} fluid before concrete.", fluid=look.scheduled.fluid
    )
    return ADOPTED.not_shown(says, Work.ENTER_LIMIT)


def last_set(look: Look) -> FluidSet | None:
    """The last set before concrete that no cleanout pass has overtaken, or None."""
    sets = sets_since_cleaning(look)
    return sets[-1] if sets else None


def _property(look: Look, what: Property) -> Finding:
    requirement = _BY_PROPERTY[what]
    limits = limits_of(look, what, _STAGE)
    if look.scheduled.fluid is Fluid.NONE:
        return requirement.not_asked(DRY_HOLE)
    if limits == (None, None):
        return requirement.not_asked()
    to_be_entered = requirement.to_be_entered(*limits, *_beside(look, what))
    if to_be_entered:
        return to_be_entered
    found = last_set(look)
    if found is None:
        return requirement.not_shown(NO_SET, Work.TEST_FLUID, source=source_of(*limits))
    answers = [answer_of(look, sample, what) for sample in samples_that_count(look, found)]
    return _combined(look, what, found, answers)


def _beside(look: Look, what: Property) -> tuple[Parameter | None, ...]:
    """Further parameters that a property needs."""
    case = look.case.at(_STAGE)
    if what is FUNNEL:
        return look.limit("viscosity_cup", case), look.limit("product_range", case)
    salty = what is DENSITY and look.setup.salinity is Salinity.SALT
    return (look.limit("salt_density_add", case),) if salty else ()


def _combined(look: Look, what: Property, found: FluidSet, answers: list[SampleAnswer]) -> Finding:
    requirement = _BY_PROPERTY[what]
    when = found.last[0]
    source = source_of(*limits_of(look, what, _STAGE))
    broken = [each for each in answers if each.outcome is Outcome.NOT_MET]
    if broken:
        rest = _about(look, broken[-1]) | {"source": source, "entries": found.entries}
        return requirement.not_met(_held_said(what, rest), Work.EXCHANGE_FLUID, **rest)
    silent = [each for each in answers if each.outcome is Outcome.NOT_SHOWN]
    if silent:
        where = _where(look, silent[-1])
        says = said("{name} at {where} {why}.", name=term(what.name), where=where, why=silent[-1].why)
        rest = {"where": where, "when": when, "source": source, "entries": found.entries}
        return requirement.not_shown(sentence(says), Work.TEST_FLUID, **rest)
    rest = _about(look, answers[-1]) | {"source": source, "entries": found.entries}
    return requirement.met(_held_said(what, rest), **rest)


def _held_said(what: Property, about: dict[str, object]) -> str:
    return sentence(
        said(
            "{name} {measured} at {where}, asked {limit}.",
            name=term(what.name),
            measured=about["measured"],
            where=about["where"],
            limit=about["limit"],
        )
    )


def _about(look: Look, answer: SampleAnswer) -> dict[str, object]:
    assert answer.held is not None
    return {
        "measured": answer.held.value,
        "limit": answer.held.limit,
        "where": _where(look, answer),
        "when": answer.sample.observed_at,
    }


def _where(look: Look, answer: SampleAnswer) -> str:
    depth = look.phrases.say(Quantity.DEPTH, answer.sample.values.sample_depth.si)
    return said("{depth} depth", depth=depth)


def temperature_of_tests(look: Look) -> Finding:
    """Temperature of the samples of the last set; a colder one is an invalid test, not a failure."""
    coldest = look.limit("temp_min_test", look.case.at(_STAGE))
    if look.scheduled.fluid is Fluid.NONE:
        return TEMPERATURE.not_asked(DRY_HOLE)
    if coldest is None:
        return TEMPERATURE.not_asked()
    found = last_set(look)
    to_be_entered = TEMPERATURE.to_be_entered(coldest)
    if to_be_entered or found is None:
        return to_be_entered or TEMPERATURE.not_shown(NO_SET, Work.TEST_FLUID, source=source_of(coldest))
    rest = {"when": found.last[0], "entries": found.entries, "source": source_of(coldest)}
    read = [each.values.temperature.si for each in found.samples if each.values.temperature is not None]
    if len(read) < len(found.samples):
        time = clock(found.last[0])
        says = said("A sample of set {number} has no temperature ({time}).", number=found.number, time=time)
        return TEMPERATURE.not_shown(says, Work.TEST_FLUID, **rest)
    held = held_over(look.phrases, Quantity.TEMPERATURE, min(read), coldest)
    rest |= {"measured": held.value, "limit": held.limit}
    if held.within:
        says = said("Tested at {temperature}, asked {limit}.", temperature=held.value, limit=held.limit)
        return TEMPERATURE.met(says, **rest)
    says = said(
        "Tested at {temperature}, asked {limit}: an invalid test.", temperature=held.value, limit=held.limit
    )
    return TEMPERATURE.not_shown(says, Work.TEST_FLUID, **rest)


def press_and_gel(look: Look) -> Finding:
    """Fluid loss, filter cake and gel: no entry carries them, so where asked they are not shown."""
    asked = [look.limit(name, look.case.at(_STAGE)) for name in _NOT_KEPT]
    found = [each for each in asked if each is not None]
    if look.scheduled.fluid is Fluid.NONE:
        return PRESS.not_asked(DRY_HOLE)
    if not found:
        return PRESS.not_asked()
    names = joined(parameter_name(each.name) for each in found)
    says = said("Asked, but no entry of this record carries it: {names}.", names=names)
    return PRESS.not_shown(says, Work.ASK_ENGINEER, source=source_of(*found))
