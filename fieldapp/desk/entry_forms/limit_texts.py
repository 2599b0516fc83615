"""What the acceptance set asks of the very field that is being typed, in the units of the project.

The rules themselves say it: an entry is tried on them that nobody made.  Only limits that concern this one
number are shown; what hangs on several entries together is told by the findings.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from fieldapp.criteria.finding import Finding, Outcome, Work
from fieldapp.criteria.fluid_sets import PROPERTIES, limits_of, salt_add
from fieldapp.criteria.head_rules import heads_of
from fieldapp.criteria.holding import limit_value
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import Quantity, at_least, at_most
from fieldapp.desk.entry_forms.as_if import IN_HAND, as_if
from fieldapp.desk.entry_forms.captions import LIMIT_TO_BE_ENTERED
from fieldapp.desk.entry_forms.rules_of import RELEASE, RULES, probe_of
from fieldapp.record.acceptance import Parameter
from fieldapp.record.column import FluidTest, HeadReading
from fieldapp.record.concrete import ConcreteStarted
from fieldapp.record.hole import ExcavationStage, GeometrySurvey, StandingWater
from fieldapp.record.kinds import Values
from fieldapp.record.words import Caution, Fluid, UnitSystem
from fieldapp.units import INCH_M


def limit_texts(look: Look, kind: str, present: Values | None = None) -> Mapping[str, str]:
    """Limits by field, of a new entry of a kind or of the ``present`` one; others are left out."""
    found = _probed(look, kind)
    if kind == StandingWater.KIND:
        found["window"] = _one(look.limit("seepage_window"), "rise" in found)
    if kind == ExcavationStage.KIND:
        found["drilled_depth"] = _deep_enough(look)
    if kind == GeometrySurvey.KIND:
        found["tip_elevation"] = _low_enough(look)
    if kind == HeadReading.KIND:
        found["fluid_level"] = _high_enough(look)
    if kind == ConcreteStarted.KIND:
        found["tremie_depth"] = _near_enough(look)
    if isinstance(present, FluidTest):
        found |= {each.field: _fluid(look, each.field, present) for each in PROPERTIES}
    return {name: text for name, text in found.items() if text}


def _probed(look: Look, kind: str) -> dict[str, str]:
    probe = probe_of(look, kind)
    if probe is None:
        return {}
    tried = as_if(look, probe, look.moment)
    answers = {each.field: _limit_of(each.rule(tried)) for each in RULES[kind] if each.field != RELEASE}
    return {name: text for name, text in answers.items() if text}


def _limit_of(found: Finding) -> str:
    if found.outcome is Outcome.NOT_ASKED:
        return ""
    return LIMIT_TO_BE_ENTERED if found.work is Work.ENTER_LIMIT else found.limit


def _one(asked: Parameter | None, applies: bool) -> str:
    """A limit said as it was written: minutes stay minutes."""
    if asked is None or not applies:
        return ""
    return LIMIT_TO_BE_ENTERED if asked.reading is None else at_least(str(asked.reading), asked.strict)


def _deep_enough(look: Look) -> str:
    asked = look.limit("tip_tol")
    if asked is None or asked.reading is None:
        return "" if asked is None else LIMIT_TO_BE_ENTERED
    depth = look.scheduled.plan_depth_m - asked.reading.si
    return at_least(look.phrases.say(Quantity.DEPTH, depth), asked.strict)


def _low_enough(look: Look) -> str:
    asked = look.limit("tip_tol")
    if asked is None or asked.reading is None:
        return "" if asked is None else LIMIT_TO_BE_ENTERED
    high = look.scheduled.tip_elevation.si + asked.reading.si
    return at_most(look.phrases.say(Quantity.ELEVATION, high), asked.strict)


def _high_enough(look: Look) -> str:
    """The deepest that the fluid level may be read; empty where no piezometric level is known."""
    asked, level = look.limit("min_head"), required_level_m(look)
    if asked is not None and asked.value is None and look.scheduled.fluid is not Fluid.NONE:
        return LIMIT_TO_BE_ENTERED
    if asked is None or level is None:
        return ""
    return at_most(look.phrases.say(Quantity.DEPTH, _shallower(look, level)), asked.strict)


def _shallower(look: Look, depth_m: Fraction) -> Fraction:
    """A depth on the safe side of its last digit, so that keeping to the text keeps the head."""
    step = INCH_M / 8 if look.setup.units is UnitSystem.US else Fraction(1, 100)
    return (depth_m // step) * step


def required_level_m(look: Look) -> Fraction | None:
    """Depth of the fluid level below the reference [m] that just keeps the least head; None if not known.

    Exact: head at a level of 0 less the least head, with what is added where the ground is artesian.
    """
    asked = look.limit("min_head")
    if asked is None or asked.reading is None or look.scheduled.fluid is Fluid.NONE:
        return None
    probe = probe_of(look, HeadReading.KIND)
    assert probe is not None
    heads = heads_of(as_if(look, probe, look.moment))
    full = next((each.head_m for each in heads if each.line.id == IN_HAND), None)
    if full is None:
        return None
    artesian = Caution.ARTESIAN in look.scheduled.cautions
    extra = (look.number("artesian_extra") or Fraction(0)) if artesian else Fraction(0)
    return full - asked.reading.si - extra


def _near_enough(look: Look) -> str:
    lift, base = look.limit("first_lift_max"), look.base_depth
    if lift is None or base is None or look.scheduled.fluid is Fluid.NONE:
        return ""
    if lift.reading is None:
        return LIMIT_TO_BE_ENTERED
    return at_least(look.phrases.say(Quantity.DEPTH, base - lift.reading.si), lift.strict)


def _fluid(look: Look, name: str, present: FluidTest) -> str:
    """Least and most of a property at the stage of the sample."""
    what = next(each for each in PROPERTIES if each.field == name)
    least, most = limits_of(look, what, present.stage)
    asked = [each for each in (least, most) if each is not None]
    if any(each.reading is None for each in asked):
        return LIMIT_TO_BE_ENTERED

    def say(each: Parameter) -> str:
        value = limit_value(each) + salt_add(look, what, each)
        text = look.phrases.apart(what.quantity, value, value)[1]
        return (at_least if each is least else at_most)(text, each.strict)

    return " and ".join(say(each) for each in asked)
