"""Shape and place of the hole, where the acceptance set asks for them: latest survey that says it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from typing import Final

from fieldapp.base.geometry import stepped_plan_tolerance_m
from fieldapp.criteria.finding import Finding, Group, Work
from fieldapp.criteria.holding import is_within, limit_value
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import Quantity, at_least, at_most, sentence, source_of, term, unit_dimension
from fieldapp.criteria.requirement import Requirement
from fieldapp.record.acceptance import Parameter
from fieldapp.record.hole import GeometrySurvey
from fieldapp.record.said import said

PLAN: Final = Requirement("plan offset", Group.GEOMETRY, 9, "The shaft stands within this of its place.")
PLUMB: Final = Requirement("plumbness", Group.GEOMETRY, 8, "The shaft leans no more than this.")
TIP: Final = Requirement("tip elevation", Group.GEOMETRY, 7, "The tip is no higher than planned, less this.")
DIAMETER: Final = Requirement("least diameter", Group.GEOMETRY, 6, "The hole is nowhere narrower than this.")
SOCKET: Final = Requirement("socket length", Group.GEOMETRY, 5, "The socket is at least this long.")
REQUIREMENTS: Final = (PLAN, PLUMB, TIP, DIAMETER, SOCKET)


@dataclass(frozen=True, slots=True)
class Surveyed:
    """A value out of a survey or another entry, with what it rests on."""

    value: Fraction
    when: datetime
    entries: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Bound:
    """A limit as it applies to this shaft, on which side, and how it is said."""

    parameter: Parameter
    limit: Fraction
    quantity: Quantity
    upper: bool


def plan_offset(look: Look) -> Finding:
    """Offset in plan against a length, a share of the diameter, or the stepped rule."""
    asked, rule = look.limit("plan_tol"), look.limit("plan_tol_rule")
    if asked is None and look.words("plan_tol_rule") == ("stepped",) and rule is not None:
        limit = Fraction(stepped_plan_tolerance_m(look.scheduled.diameter.si))
        return _held(
            look, PLAN, Bound(rule, limit, Quantity.THICKNESS, upper=True), _survey(look, "plan_offset")
        )
    early = _early(PLAN, asked)
    if early or asked is None:
        return early or PLAN.not_asked()
    bound = Bound(asked, _length(look, asked), Quantity.THICKNESS, upper=True)
    return _held(look, PLAN, bound, _survey(look, "plan_offset"))


def plumbness(look: Look) -> Finding:
    """Slope off plumb; the tolerance in rock holds where more than half of the shaft is socket."""
    soil, rock = look.limit("plumb_tol"), look.limit("plumb_tol_rock")
    asked = rock if rock is not None and (soil is None or _mostly_socket(look)) else soil
    early = _early(PLUMB, asked)
    if early or asked is None:
        return early or PLUMB.not_asked()
    bound = Bound(asked, limit_value(asked), Quantity.SHARE, upper=True)
    return _held(look, PLUMB, bound, _survey(look, "plumbness"))


def tip_elevation(look: Look) -> Finding:
    """Height of the tip over the planned one: by survey, else by the drilled depth."""
    asked = look.limit("tip_tol")
    early = _early(TIP, asked)
    if early or asked is None:
        return early or TIP.not_asked()
    tip = _tip(look)
    high = Surveyed(tip.value - look.scheduled.tip_elevation.si, tip.when, tip.entries) if tip else None
    bound = Bound(asked, limit_value(asked), Quantity.THICKNESS, upper=True)
    return _held(look, TIP, bound, high)


def least_diameter(look: Look) -> Finding:
    """The narrowest diameter of the latest survey that has any."""
    asked = look.limit("diameter_min")
    early = _early(DIAMETER, asked)
    if early or asked is None:
        return early or DIAMETER.not_asked()
    found = [each for each in look.lines(GeometrySurvey) if each.values.diameters]
    least = None
    if found:
        narrowest = min(each.diameter.si for each in found[-1].values.diameters)
        least = Surveyed(narrowest, found[-1].observed_at, found[-1].entries)
    bound = Bound(asked, _length(look, asked), Quantity.DEPTH, upper=False)
    return _held(look, DIAMETER, bound, least)


def socket_length(look: Look) -> Finding:
    """Length of the socket: from its planned top to the tip."""
    asked = look.limit("socket_len_min")
    early = _early(SOCKET, asked)
    if early or asked is None:
        return early or SOCKET.not_asked()
    tip, top = _tip(look), look.scheduled.socket_top_elevation
    length = Surveyed(top.si - tip.value, tip.when, tip.entries) if tip and top else None
    return _held(look, SOCKET, Bound(asked, limit_value(asked), Quantity.DEPTH, upper=False), length)


def _early(requirement: Requirement, asked: Parameter | None) -> Finding | None:
    return requirement.not_asked() if asked is None else requirement.to_be_entered(asked)


def _held(look: Look, requirement: Requirement, bound: Bound, found: Surveyed | None) -> Finding:
    source = source_of(bound.parameter)
    if found is None:
        says = said("{requirement} was not measured.", requirement=term(requirement.name))
        return requirement.not_shown(sentence(says), Work.SURVEY, source=source)
    value, limit = look.phrases.apart(bound.quantity, found.value, bound.limit)
    asked = (at_most if bound.upper else at_least)(limit, bound.parameter.strict)
    rest = {
        "measured": value,
        "limit": asked,
        "when": found.when,
        "entries": found.entries,
        "source": source,
    }
    name = term(requirement.name)
    says = said("{requirement} {value}, asked {limit}.", requirement=name, value=value, limit=asked)
    if is_within(found.value, bound.limit, bound.parameter.strict, bound.upper):
        return requirement.met(sentence(says), **rest)
    return requirement.not_met(sentence(says), Work.ASK_ENGINEER, **rest)


def _survey(look: Look, field: str) -> Surveyed | None:
    found = [each for each in look.lines(GeometrySurvey) if getattr(each.values, field) is not None]
    if not found:
        return None
    return Surveyed(getattr(found[-1].values, field).si, found[-1].observed_at, found[-1].entries)


def _tip(look: Look) -> Surveyed | None:
    surveyed = _survey(look, "tip_elevation")
    if surveyed is not None:
        return surveyed
    line, depth = look.base_reached, look.base_depth
    if line is None or depth is None:
        return None
    return Surveyed(look.scheduled.reference_elevation.si - depth, line.observed_at, line.entries)


def _length(look: Look, asked: Parameter) -> Fraction:
    """The limit as a length [m]; a share is of the planned diameter."""
    value = limit_value(asked)
    return value * look.scheduled.diameter.si if unit_dimension(asked) == "ratio" else value


def _mostly_socket(look: Look) -> bool:
    plan, top = look.scheduled, look.scheduled.socket_top_elevation
    if top is None:
        return False
    return 2 * (top.si - plan.tip_elevation.si) > plan.reference_elevation.si - plan.tip_elevation.si
