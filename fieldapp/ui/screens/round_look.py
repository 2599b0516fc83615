"""What the desk says of the round in hand, put on the screen: map, legend, numbers, strip."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from fieldapp.ui.plan_parts import NOT_SHOWN, figures_of, plan_parts
from fieldapp.ui.widgets.strip import Reason
from fieldapp.ui.words import round as words
from fieldapp.ui.words.tongue import tr, tr_count

if TYPE_CHECKING:
    from collections.abc import Container

    from fieldapp.desk.rounds.now import RoundNow
    from fieldapp.desk.shaft.view import RoundView
    from fieldapp.ui.screens.round_middle import RoundMiddle

MET: Final = "met"
NOT_MET: Final = "not met"
TO_POINT: Final = "point"
HOLDS: Final = "holds"
MOST_NAMED: Final = 6


def show_cells(middle: RoundMiddle, base: RoundView, answered: Container[str]) -> None:
    """The base as a saved point left it, at once: what takes longer to work out follows by ``show_now``."""
    middle.plan.cells, middle.plan.points = plan_parts(base, answered)


def show_now(middle: RoundMiddle, now: RoundNow, answered: Container[str]) -> None:
    """Map, legend, numbers, and where the next sounding tells most."""
    show_cells(middle, now.view, answered)
    legend, figures = middle.legend, middle.figures
    first, *others = now.classes
    legend.classes = [
        tr(words.TO_FIRST_CLASS, end=first, unit=now.unit),
        *(tr(words.TO_CLASS, end=each) for each in others),
        tr(words.OVER_CLASS, end=now.classes[-1]),
    ]
    legend.note = tr(words.UNDERLINED, limit=now.limit) if now.limit else ""
    count, every = len(now.unread), len(now.view.cells)
    figures.missing = tr_count(*words.NOT_SHOWN, count, all=every) if now.unread else ""
    shown = figures_of(now.view)
    assured = tr(words.ASSURED, confidence=now.confidence)
    texts = (shown[0], (tr(now.assured), assured), *shown[1:])
    for figure, (number, caption) in zip(("share", "assured", "largest", "mean"), texts, strict=True):
        figures.ids[figure].number, figures.ids[figure].caption = number, caption
    figures.over = over_text(now)
    figures.advice, figures.settled = advice(now), bool(now.settled)
    place = now.next_place
    middle.plan.suggested = place.at if place is not None and not place.point else None


def over_text(now: RoundNow) -> str:
    """Which points are over the limit, and where they lie; empty when none is."""
    if not now.over:
        return ""
    side = tr(words.SIDES[now.over_side])
    if len(now.over) > MOST_NAMED:
        return tr(words.OVER_MANY, count=len(now.over), limit=now.limit, side=side)
    return tr(words.OVER, labels=", ".join(now.over), limit=now.limit, side=side)


def advice(now: RoundNow) -> str:
    """Where the next sounding tells most, or that none can change the outcome."""
    if now.settled:
        said = words.SETTLED_HOLDS if now.settled == HOLDS else words.SETTLED_NOT
        return tr(said, chance=now.chance)
    place = now.next_place
    if place is None:
        return ""
    if place.point:
        return tr(words.TELLS_MOST_POINT, point=place.point)
    template = words.TELLS_MOST_NEAR if place.near else words.TELLS_MOST
    return tr(template, point=place.near, r=place.r, unit=now.place_unit, angle=place.angle)


def reasons_of(now: RoundNow) -> list[Reason]:
    """The round in hand as the strip says it: what is over and where, what is not read, what holds."""
    found = [
        Reason(each.outcome, tr(each.says), (TO_POINT, now.over[0] if now.over else ""))
        for each in now.held
        if each.outcome != NOT_SHOWN
    ]
    if now.over:
        found.append(Reason(NOT_MET, over_text(now), (TO_POINT, now.over[0])))
    if now.unread:
        said = tr_count(*words.POINTS_NOT_READ, len(now.unread), all=len(now.view.cells))
        found.append(Reason(NOT_SHOWN, said, (TO_POINT, now.unread[0])))
    order = (NOT_MET, NOT_SHOWN, MET)
    return sorted(found, key=lambda each: order.index(each.shown))
