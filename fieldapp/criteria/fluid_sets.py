"""Fluid samples as rules see them: sets of samples, and one property of one sample against its limits.

A sample that was too cold, or a funnel time from another cup, is an invalid test: it neither meets nor
breaks a limit.  What was not tested is not shown.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from fieldapp.criteria.finding import Outcome
from fieldapp.criteria.holding import Held, held_over, held_under, is_within
from fieldapp.criteria.limits import Case, limits_in
from fieldapp.criteria.look import Look, Moment, pass_end, seen
from fieldapp.criteria.phrasing import Quantity
from fieldapp.fluid.funnel import cup_of
from fieldapp.record.acceptance import Parameter
from fieldapp.record.cleaning import CleanoutPass
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.fold import Line
from fieldapp.record.reading import Reading
from fieldapp.record.said import said, sayable
from fieldapp.record.words import FluidStage, InstrumentType, Salinity
from fieldapp.units import OutOfRange


@dataclass(frozen=True, slots=True)
class Property:
    """A property of the fluid: its field in a sample, its two limits, and what it is read with."""

    name: str
    field: str
    quantity: Quantity
    least: str
    most: str
    instrument: InstrumentType

    def read(self, sample: FluidTest) -> Reading | None:
        """What was read of it in a sample, or None."""
        reading: Reading | None = getattr(sample, self.field)
        return reading


DENSITY: Final = Property(
    sayable("density"), "density", Quantity.DENSITY, "density_min", "density_max", InstrumentType.BALANCE
)
FUNNEL: Final = Property(
    sayable("funnel time"),
    "funnel_time",
    Quantity.FUNNEL,
    "viscosity_min",
    "viscosity_max",
    InstrumentType.FUNNEL,
)
PH: Final = Property(sayable("pH"), "ph", Quantity.ACIDITY, "ph_min", "ph_max", InstrumentType.PH_METER)
SAND: Final = Property(
    sayable("sand"), "sand", Quantity.SHARE, "sand_min", "sand_max", InstrumentType.SAND_TUBE
)
PROPERTIES: Final = (SAND, DENSITY, FUNNEL, PH)


@dataclass(frozen=True, slots=True)
class FluidSet:
    """Samples taken together, by depth."""

    stage: FluidStage
    number: int
    samples: tuple[Line[FluidTest], ...]

    @property
    def first(self) -> Moment:
        """When its first sample was taken."""
        return min(seen(each) for each in self.samples)

    @property
    def last(self) -> Moment:
        """When its last sample was taken."""
        return max(seen(each) for each in self.samples)

    @property
    def entries(self) -> tuple[str, ...]:
        """Identifiers of the entries of its samples."""
        return tuple(each for sample in self.samples for each in sample.entries)


@dataclass(frozen=True, slots=True)
class SampleAnswer:
    """What one sample says of one property; ``why`` when it does not say it."""

    outcome: Outcome
    sample: Line[FluidTest]
    held: Held | None = None
    why: str = ""


def samples_before_concrete(look: Look) -> tuple[Line[FluidTest], ...]:
    """Samples of the stage before concrete, by the time they were taken."""
    return look.once("samples before concrete", lambda: _samples_before_concrete(look))


def _samples_before_concrete(look: Look) -> tuple[Line[FluidTest], ...]:
    lines = look.lines(FluidTest)
    return tuple(each for each in lines if each.values.stage is FluidStage.BEFORE_CONCRETE)


def sets_of(samples: Iterable[Line[FluidTest]]) -> tuple[FluidSet, ...]:
    """Samples grouped into sets, the set that was finished first first."""
    groups: dict[tuple[FluidStage, int], list[Line[FluidTest]]] = defaultdict(list)
    for each in samples:
        groups[each.values.stage, each.values.set].append(each)
    made = [
        FluidSet(stage, number, tuple(sorted(found, key=lambda each: each.values.sample_depth.si)))
        for (stage, number), found in groups.items()
    ]
    return tuple(sorted(made, key=lambda each: each.last))


def sets_since_cleaning(look: Look) -> tuple[FluidSet, ...]:
    """Sets before concrete of which no sample is older than the end of the last cleanout pass.

    A pass moves the whole column, so an earlier sample no longer describes it (judgment).
    """
    return look.once("sets since cleaning", lambda: _sets_since_cleaning(look))


def _sets_since_cleaning(look: Look) -> tuple[FluidSet, ...]:
    ends = max((pass_end(each) for each in look.lines(CleanoutPass)), default=None)
    sets = sets_of(samples_before_concrete(look))
    return tuple(each for each in sets if ends is None or each.first > ends)


def samples_that_count(look: Look, found: FluidSet) -> tuple[Line[FluidTest], ...]:
    """All samples of a set, or only the deepest where the acceptance set does not ask all depths to pass."""
    return found.samples[-1:] if look.words("all_depths_must_pass") == ("no",) else found.samples


def case_at(look: Look, stage: FluidStage) -> Case:
    """The case of the shaft at a stage."""
    return look.once(("case", stage), lambda: look.case.at(stage))


def limit_at(look: Look, name: str, stage: FluidStage) -> Parameter | None:
    """The parameter of this name for the shaft at a stage, or None when it is not asked."""
    limits = look.once(("limits at", stage), lambda: limits_in(look.setup.acceptance, case_at(look, stage)))
    return limits.limit(name)


def limits_of(look: Look, each: Property, stage: FluidStage) -> tuple[Parameter | None, Parameter | None]:
    """Least and most of a property at a stage; None where it is not asked."""
    return limit_at(look, each.least, stage), limit_at(look, each.most, stage)


def answer_of(look: Look, sample: Line[FluidTest], what: Property) -> SampleAnswer:
    """Hold one property of one sample against the limits of its stage."""
    return look.once(("answer", sample.id, what.name), lambda: _answer(look, sample, what))


def _answer(look: Look, sample: Line[FluidTest], what: Property) -> SampleAnswer:
    stage = sample.values.stage
    limits = [each for each in limits_of(look, what, stage) if each is not None]
    if not limits:
        return SampleAnswer(Outcome.NOT_ASKED, sample)
    if any(each.value is None for each in limits):
        return SampleAnswer(Outcome.NOT_SHOWN, sample, why=said("the limit is still to be entered"))
    reading = what.read(sample.values)
    if reading is None:
        return SampleAnswer(Outcome.NOT_SHOWN, sample, why=said("was not tested"))
    invalid = _why_invalid(look, sample.values, what)
    if invalid:
        return SampleAnswer(Outcome.NOT_SHOWN, sample, why=invalid)
    held = _held(look, what, reading.si, stage)
    return SampleAnswer(Outcome.MET if held.within else Outcome.NOT_MET, sample, held)


def _why_invalid(look: Look, sample: FluidTest, what: Property) -> str:
    if too_cold(look, sample):
        assert sample.temperature is not None
        temperature = look.phrases.say(Quantity.TEMPERATURE, sample.temperature.si)
        return said("was tested at {temperature}, too cold", temperature=temperature)
    asked = limit_at(look, "viscosity_cup", sample.stage)
    if what is not FUNNEL or asked is None:
        return ""
    if asked.reading is None:
        return said("cannot be held: the cup of the limit is still to be entered")
    if sample.cup_volume is None or not same_cup(sample.cup_volume.si, asked.reading.si):
        cup = look.phrases.say(Quantity.VOLUME, asked.reading.si)
        return said(
            "was read with a cup of {read}; the limit is for {cup}, not comparable",
            read=str(sample.cup_volume),
            cup=cup,
        )
    return ""


def too_cold(look: Look, sample: FluidTest) -> bool:
    """Whether a sample is known to have been colder than a test allows."""
    coldest = coldest_at(look, sample)
    if coldest is None or coldest.reading is None or sample.temperature is None:
        return False
    return not is_within(sample.temperature.si, coldest.reading.si, coldest.strict, upper=False)


def coldest_at(look: Look, sample: FluidTest) -> Parameter | None:
    """The limit on how cold a sample of its stage may be tested, or None where it is not asked."""
    return limit_at(look, "temp_min_test", sample.stage)


def temperature_held(look: Look, sample: FluidTest) -> Held | None:
    """The temperature of a sample beside the coldest that may be tested; None where one is not known."""
    coldest = coldest_at(look, sample)
    if coldest is None or coldest.reading is None or sample.temperature is None:
        return None
    return held_over(look.phrases, Quantity.TEMPERATURE, sample.temperature.si, coldest)


def _temperature_missing(look: Look, sample: FluidTest) -> bool:
    return sample.temperature is None and coldest_at(look, sample) is not None


def same_cup(volume_m3: Fraction, other_m3: Fraction) -> bool:
    """Whether two cup volumes mean the same cup, to 1 mL."""
    try:
        return cup_of(volume_m3) is cup_of(other_m3)
    except OutOfRange:
        return volume_m3 == other_m3


def salt_add(look: Look, what: Property, limit: Parameter) -> Fraction:
    """What salt water adds to a density limit that was not itself written for salt water [kg/m3]."""
    if what is not DENSITY or look.setup.salinity is not Salinity.SALT or limit.applies.salinity:
        return Fraction(0)
    return look.number("salt_density_add") or Fraction(0)


def _held(look: Look, what: Property, value: Fraction, stage: FluidStage) -> Held:
    """The limit that is broken, or else the upper one (the lower where there is no upper)."""
    least, most = limits_of(look, what, stage)
    found = []
    if most is not None:
        found.append(held_under(look.phrases, what.quantity, value, most, salt_add(look, what, most)))
    if least is not None:
        found.append(held_over(look.phrases, what.quantity, value, least, salt_add(look, what, least)))
    return next((each for each in found if not each.within), found[0])


def set_outcome(look: Look, found: FluidSet) -> Outcome:
    """What a whole set says: not met, not shown, or met at every depth that counts."""
    samples = samples_that_count(look, found)
    answers = {answer_of(look, sample, what).outcome for sample in samples for what in PROPERTIES}
    if any(_temperature_missing(look, each.values) for each in samples):
        answers.add(Outcome.NOT_SHOWN)
    for outcome in (Outcome.NOT_MET, Outcome.NOT_SHOWN):
        if outcome in answers:
            return outcome
    return Outcome.MET if Outcome.MET in answers else Outcome.NOT_ASKED


def breaks_sand_or_density(look: Look, sample: Line[FluidTest]) -> bool:
    """Whether a sample is known to break a limit of sand or density."""
    return any(answer_of(look, sample, what).outcome is Outcome.NOT_MET for what in (SAND, DENSITY))


def fluid_top_m(look: Look) -> Fraction:
    """Depth of the fluid level below the reference [m], by the last head reading; 0 without one."""
    found = look.lines(HeadReading)
    return max(found[-1].values.fluid_level.si, Fraction(0)) if found else Fraction(0)
