"""The sediment map with its doubt, the share of the base that is assured, and where to sound next."""

from __future__ import annotations

from typing import Any, Final

from reportlab.platypus import CondPageBreak, Flowable, Spacer, Table

from fieldapp.base.assured import AskedOfBase, AssuredShare, ShareByMap
from fieldapp.base.next_sounding import NextSounding, Settled
from fieldapp.base.sediment_map import NoMap, SedimentMap
from fieldapp.units import from_si
from reports.base_drawing import PlanLook, legend
from reports.base_round import PlanLimit, class_edges_m, plan_limit
from reports.facts import ShaftFacts
from reports.map_drawing import MapLook, map_drawing, with_points
from reports.quantities import Shown
from reports.style import BODY, CAPTION, NUMBER, SUBHEADING, text_width, words
from reports.worth_facts import WorthFacts
from reports.worth_words import NO_BREAK, WorthWords, least_share

_MAP_PT: Final = 122.0
_GAP_PT: Final = 9.0
_ROOM_PT: Final = 205.0
_REASON: Final = {
    "decision": "it tells most of whether the requirement holds",
    "entropy": "the limit is most in doubt there",
    "variance": "the thickness is most in doubt there",
}
_PLAIN: Final = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0),
]


def map_part(worth: WorthFacts, facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    """Three plans of the map and what is assured, or why there is no map; the next sounding."""
    say, sediment = WorthWords(facts.setup.units), worth.sediment
    title = words(
        f"Sediment over the base, {worth.round_title[:1].lower()}{worth.round_title[1:]}", SUBHEADING
    )
    if sediment is None:
        return []
    assured = _assured(worth, facts)
    if isinstance(sediment, NoMap):
        parts = [CondPageBreak(70), title, words(sediment.why, BODY)]
        return [
            *parts,
            *(words(_said(*each), BODY) for each in assured),
            *_next(worth, facts, say),
        ]
    width = text_width(facts.setup.units)
    plans = 3 * (_MAP_PT + _GAP_PT)
    beside: list[Any] = []
    for number, caption in assured:
        beside += [words(number, NUMBER)] if number else []
        beside += [words(caption, CAPTION), Spacer(1, 3)]
    drawn = _plans(worth, sediment, facts, shown)
    both = Table([[drawn, beside]], colWidths=[plans + _GAP_PT, width - plans - _GAP_PT], style=_PLAIN)
    note = words(_note(sediment, facts), CAPTION)
    return [CondPageBreak(_ROOM_PT), title, Spacer(1, 2), both, note, *_next(worth, facts, say)]


def _said(number: str, caption: str) -> str:
    """A figure and its caption as one sentence."""
    text = f"{caption[:1].upper()}{caption[1:]}"
    return f"{text}: {number}." if number else f"{text}."


def _plans(worth: WorthFacts, sediment: SedimentMap, facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    say, limit = WorthWords(facts.setup.units), _limit(facts)
    edges = class_edges_m(limit, facts.setup.units)
    look = MapLook(_MAP_PT, tuple(float(each) for each in edges), limit)
    place = worth.next_place
    next_xy = (place.x_m, place.y_m) if isinstance(place, NextSounding) else None
    plans = (
        (sediment.low_m, "as thin as this (5 %)"),
        (sediment.mean_m, "mean of the map"),
        (sediment.high_m, "as thick as this (95 %)"),
    )
    cells: list[Any] = []
    for thickness_m, caption in plans:
        plan = map_drawing(sediment, thickness_m, look)
        if thickness_m is sediment.mean_m:
            plan = with_points(plan, sediment, look, next_xy)
        span = f"{say.short(float(thickness_m.min()))} to {say.short(float(thickness_m.max()))}"
        cells.append([plan, words(caption, CAPTION), words(span, CAPTION)])
    row = Table([cells], colWidths=[_MAP_PT + _GAP_PT] * 3, style=_PLAIN, hAlign="LEFT")
    plan_look = PlanLook(_MAP_PT, sediment.grid.disk.radius_m, edges, limit, shown)
    return [row, legend(plan_look, 3 * (_MAP_PT + _GAP_PT))]


def _limit(facts: ShaftFacts) -> PlanLimit | None:
    plan = facts.record.scheduled
    return None if plan is None else plan_limit(facts.setup, plan)


def _note(sediment: SedimentMap, facts: ShaftFacts) -> str:
    limit = _limit(facts)
    text = ""
    if limit is not None and _crosses(sediment, limit):
        text = f"Heavy line: where the thickness passes the limit, {limit}. "
    text += f"Dots: points read ({len(sediment.soundings.known[1])})"
    text += f"; broken rings: not read ({sediment.soundings.unread}). " if sediment.soundings.unread else ". "
    how = {"prior": "assumed", "given": "given", "fitted": "fitted to the soundings"}[sediment.length_from]
    text += f"Correlation length {sediment.length_over_radius:.2f} of the radius, {how}. "
    return text + "5 % and 95 % hold cell by cell, not for the base as a whole."


def _crosses(sediment: SedimentMap, limit: PlanLimit) -> bool:
    """Whether any of the plans has cells within the limit and cells over it."""
    limit_m = float(limit.reading.si)
    return any(
        float(each.min()) <= limit_m <= float(each.max())
        for each in (sediment.low_m, sediment.mean_m, sediment.high_m)
    )


def _assured(worth: WorthFacts, facts: ShaftFacts) -> list[tuple[str, str]]:
    """Number and words for each way in which the share of the base within the limit is known."""
    assured, asked = worth.assured, worth.asked
    if assured is None or asked is None:
        return [("", "no share of the base area within a limit is asked by this acceptance set")]
    measured = assured.measured.share
    said = [
        (
            "not shown" if measured is None else least_share(measured),
            f"of the base {_within(asked, facts)} as measured, {_least(asked)} asked",
        )
    ]
    return [*said, *_bounds(assured)]


def _bounds(assured: AssuredShare) -> list[tuple[str, str]]:
    said = []
    if isinstance(assured.by_map, ShareByMap):
        found = assured.by_map
        holds = round(found.chance * found.draws.simulations)
        said.append(
            (
                least_share(found.assured_share),
                f"assured by the map at {100 * found.confidence:g}{NO_BREAK}% confidence; the "
                f"requirement holds in {holds} of {found.draws.simulations} simulated maps",
            )
        )
    said.append((least_share(assured.share_by_counting), "assured by counting points alone, indicative"))
    return said


def _within(asked: AskedOfBase, facts: ShaftFacts) -> str:
    limit = _limit(facts)
    if limit is not None and limit.reading.si == asked.limit_m:
        return str(limit)
    say = WorthWords(facts.setup.units)
    return f"{'under' if asked.strict else 'at most'} {say.short(asked.limit_m)}"


def _least(asked: AskedOfBase) -> str:
    return f"{float(from_si(asked.share_min, '%')):g}{NO_BREAK}%"


def _next(worth: WorthFacts, facts: ShaftFacts, say: WorthWords) -> list[Flowable]:
    """Where the next sounding tells most; nothing once concrete is in."""
    place = worth.next_place
    if isinstance(place, Settled):
        text = "More soundings cannot change whether the requirement on the sediment is met: by the map it is"
        return [Spacer(1, 2), words(f"{text}{'' if place.holds else ' not'}.", BODY)]
    if not isinstance(place, NextSounding) or facts.record.concrete_started_at is not None:
        return []
    where = "at the centre"
    if place.r_m > 0:
        where = (
            f"{say.short(place.r_m)} from the centre at {place.angle_deg:.0f} deg, clockwise from upstation"
        )
    return [Spacer(1, 2), words(f"The next sounding tells most {where}: {_REASON[place.reason]}.", BODY)]
