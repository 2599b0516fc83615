"""A round of soundings while it is typed: what the limits say of it so far, and where to sound next.

One answer after every saved point: cells, measured and assured share, largest, mean, next place.  Rules judge
it as if it were recorded, and nothing is.  A point without a thickness leaves share, largest, mean and
assured share not shown.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import atan2, degrees, dist, hypot
from typing import Final

import numpy as np

from fieldapp.base.assured import share_by_map
from fieldapp.base.disk import BaseDisk
from fieldapp.base.next_sounding import NextSounding, Settled, next_sounding
from fieldapp.base.sediment_map import Draws, NoMap, Soundings, sediment_map, simulate
from fieldapp.criteria.base_rules import area_share, flat_cap, largest_thickness, mean_thickness
from fieldapp.criteria.finding import Outcome
from fieldapp.criteria.look import Look
from fieldapp.criteria.phrasing import Quantity
from fieldapp.criteria.spread import place_m
from fieldapp.desk.entry_forms.as_if import as_if
from fieldapp.desk.looking import look_at
from fieldapp.desk.rounds.entry import Typed, line_so_far
from fieldapp.desk.rounds.form import RoundForm
from fieldapp.desk.shaft.view import RoundView, rounds_of
from fieldapp.desk.workplace import Workplace
from fieldapp.desk.worth.inputs import SIMULATIONS, USUAL_CONFIDENCE, asked_of_base
from fieldapp.record.cleaning import SoundingPoint, SoundingRound
from fieldapp.record.fold import Line
from fieldapp.units import OutOfRange, show
from reports.base_round import PlanLimit, class_edges_m, plan_limit

NOT_SHOWN: Final = "not shown"
# Fewer maps than the assured share has: the next place is a proposal, and the finger waits for it.
PLACING: Final = 200
_RULES: Final = (area_share, largest_thickness, flat_cap, mean_thickness)
# A place this near to a point, as a share of the radius, is that point; it is near one up to the second.
_SAME: Final = 0.15
_NEAR: Final = 0.5
_ONE_SIDED: Final = 0.25


class Side(StrEnum):
    """Where on the base something is: an eighth of it, its middle, or all around."""

    UP = "upstation"
    UP_RIGHT = "upstation right"
    RIGHT = "right"
    DOWN_RIGHT = "downstation right"
    DOWN = "downstation"
    DOWN_LEFT = "downstation left"
    LEFT = "left"
    UP_LEFT = "upstation left"
    MIDDLE = "middle"
    AROUND = "all around"


@dataclass(frozen=True, slots=True)
class HeldNow:
    """What one limit says of the round so far."""

    requirement: str
    outcome: str
    says: str


@dataclass(frozen=True, slots=True)
class NextPlace:
    """Where the next sounding tells most: on a base of radius 1, and as ``r`` and ``angle`` are typed.

    ``point`` is the point of the round that stands there, ``near`` the nearest one; empty when there is none.
    """

    at: tuple[float, float]
    r: str
    angle: str
    point: str
    near: str


@dataclass(frozen=True, slots=True)
class RoundNow:
    """A round so far.

    ``over`` are the points over the limit of a point, ``over_side`` where they lie.  ``settled`` is ``holds``
    or ``does not hold`` when by the map no sounding can change it.  ``classes`` are the upper ends of the
    classes of thickness, in ``unit``; places are said in ``place_unit``.
    """

    view: RoundView
    unread: tuple[str, ...]
    held: tuple[HeldNow, ...]
    over: tuple[str, ...]
    over_side: str
    limit: str
    assured: str
    confidence: str
    chance: str
    next_place: NextPlace | None
    settled: str
    classes: tuple[str, ...]
    unit: str
    place_unit: str


def round_now(place: Workplace, shaft: str, form: RoundForm, typed: Typed) -> RoundNow:
    """A round as far as it was typed, with its points where ``form`` has them.  Nothing is recorded.

    Raises Impossible for depths that contradict each other, UnknownShaft, NotOpen.
    """
    look = look_at(place, shaft)
    line = line_so_far(place, shaft, form, typed)
    (view,) = rounds_of(look.setup, look.scheduled, (line,))
    limit = plan_limit(look.setup, look.scheduled)
    points = line.values.points
    over = tuple(
        each
        for each in points
        if each.thickness_m is not None and limit and limit.passed_by(each.thickness_m)
    )
    unread = tuple(each.label for each in points if each.thickness_m is None)
    assured, chance, following = _by_map(look, form, points)
    settled = following if isinstance(following, Settled) else None
    edges = [look.phrases.say(Quantity.THICKNESS, each) for each in class_edges_m(limit, look.setup.units)]
    return RoundNow(
        view=view,
        unread=unread,
        held=_held(look, form, line),
        over=tuple(each.label for each in over),
        over_side=str(side_of([place_m(each) for each in over], float(form.radius_m))) if over else "",
        limit=str(limit.reading) if limit else "",
        assured=NOT_SHOWN if unread else assured,
        confidence=show(_confidence(look), "%", 1),
        chance=chance,
        next_place=_next_place(form, points, following) if isinstance(following, NextSounding) else None,
        settled=("holds" if settled.holds else "does not hold") if settled else "",
        classes=tuple(each.rsplit(" ", 1)[0] for each in edges),
        unit=edges[0].rsplit(" ", 1)[1],
        place_unit=form.place_unit,
    )


def _is_over(point: SoundingPoint, limit: PlanLimit | None) -> bool:
    return limit is not None and point.thickness_m is not None and limit.passed_by(point.thickness_m)


def side_of(places_m: list[tuple[float, float]], radius_m: float) -> Side:
    """Where places [m] lie on the base: in which eighth of it, in its middle, or all around (judgment)."""
    x, y = (sum(each[axis] for each in places_m) / len(places_m) / radius_m for axis in (0, 1))
    if hypot(x, y) < _ONE_SIDED:
        alone = all(hypot(*each) < _ONE_SIDED * radius_m for each in places_m)
        return Side.MIDDLE if alone else Side.AROUND
    return tuple(Side)[round(degrees(atan2(x, y)) % 360 / 45) % 8]


def _held(look: Look, form: RoundForm, line: Line[SoundingRound]) -> tuple[HeldNow, ...]:
    if form.target:
        now = next((each.observed_at for each in look.shaft.lines if each.id == form.target), look.at)
        tried = as_if(look, line.values, now, form.parents, form.target)
    else:
        tried = as_if(look, line.values, line.observed_at)
    found = [rule(tried) for rule in _RULES]
    return tuple(
        HeldNow(each.requirement, str(each.outcome), each.says)
        for each in found
        if each.outcome is not Outcome.NOT_ASKED
    )


def _confidence(look: Look) -> float:
    return float(look.setup.confidence.si) if look.setup.confidence else USUAL_CONFIDENCE


def _by_map(
    look: Look, form: RoundForm, points: tuple[SoundingPoint, ...]
) -> tuple[str, str, NextSounding | Settled | None]:
    """Assured share, chance that the requirement holds, next place; nothing with a point off the base."""
    places = np.array([place_m(each) for each in points])
    try:
        soundings = Soundings(
            BaseDisk(2 * float(form.radius_m)), places, [each.thickness_m for each in points]
        )
    except OutOfRange:
        return NOT_SHOWN, "", None
    asked, seed = asked_of_base(look), soundings.seed
    sediment = sediment_map(soundings)
    following = next_sounding(soundings, asked, Draws(PLACING, seed), sediment=sediment)
    chance = "" if following.chance is None else show(following.chance, "%", 0)
    if soundings.unread or asked is None or isinstance(sediment, NoMap):
        return NOT_SHOWN, chance, following
    share = share_by_map(sediment, simulate(sediment, Draws(SIMULATIONS, seed)), asked, _confidence(look))
    return show(share.assured_share, "%", 1), chance, following


def _next_place(form: RoundForm, points: tuple[SoundingPoint, ...], following: NextSounding) -> NextPlace:
    radius = float(form.radius_m)
    here = following.x_m, following.y_m
    gaps = [(dist(place_m(each), here) / radius, each.label) for each in points]
    gap, label = min(gaps)
    us = form.place_unit == "in"
    r = show(following.r_m, form.place_unit, 0).split(" ")[0].replace(",", "")
    return NextPlace(
        at=(here[0] / radius, here[1] / radius),
        r=r if us else str(round(int(r), -1)),
        angle=str(round(following.angle_deg / 5) * 5 % 360),
        point=label if gap <= _SAME else "",
        near=label if gap <= _NEAR else "",
    )
