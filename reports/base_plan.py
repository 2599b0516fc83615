"""The base as it was sounded: the latest round large, the earlier ones small beside it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any, Final

from reportlab.platypus import Flowable, Paragraph, Spacer, Table

from fieldapp.base.cleanliness import Cleanliness
from fieldapp.record.cleaning import SoundingRound
from fieldapp.record.setup import ShaftScheduled
from reports.base_drawing import PlanLook, base_drawing, legend
from reports.base_round import PlanLimit, RoundOnBase, class_edges_m, plan_limit, rounds_on_base
from reports.facts import ShaftFacts
from reports.quantities import Shown
from reports.sections import heading
from reports.share_held import UNKNOWN, ShareHeld, share_held
from reports.style import BODY, CAPTION, NUMBER, STRONG, text_width, words

_LARGE_PT: Final = 230.0
_SMALL_PT: Final = 92.0
_BESIDE: Final = 3
_BELOW: Final = 5
_UNIT_WORDS: Final = {"in": "inches", "mm": "mm"}


def base_plan(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    """Plans of all rounds that count, with area share, largest and mean of the latest."""
    plan = facts.record.scheduled
    lines = facts.record.of(SoundingRound)
    parts = heading("Base plan", 330 if lines and plan else 40)
    if not lines or plan is None:
        why = "No round of soundings is in the record" if plan else "The shaft is not scheduled"
        return [*parts, words(f"{why}: the base is not shown.", BODY)]
    rounds, left_out = rounds_on_base(facts.record, facts.setup, plan)
    parts += [words(f"{each.title} is not drawn: {each.why}.", BODY) for each in left_out]
    if rounds:
        parts += _drawn(rounds, facts, plan, shown)
    return parts


def _drawn(
    rounds: Sequence[RoundOnBase], facts: ShaftFacts, plan: ShaftScheduled, shown: Shown
) -> list[Flowable]:
    limit = plan_limit(facts.setup, plan)
    edges = class_edges_m(limit, facts.setup.units)
    look = PlanLook(_LARGE_PT, float(plan.diameter.si) / 2, edges, limit, shown)
    width = text_width(facts.setup.units)
    right = width - _LARGE_PT - 20
    latest, earlier = rounds[-1], rounds[-2::-1]
    held = share_held(facts.setup, plan, shown)
    beside: list[Any] = [
        words(f"{latest.title}, {shown.moment(latest.at)}", STRONG),
        Spacer(1, 4),
        _figures(latest, held, right),
        Spacer(1, 6),
        legend(look, right),
        words(_key(latest, limit, shown), CAPTION),
    ]
    if earlier:
        beside += [Spacer(1, 6), words("earlier rounds, latest first", CAPTION)]
        beside.append(_small(earlier[:_BESIDE], look, held, right, _BESIDE))
    style = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)]
    both = Table([[base_drawing(latest, look), beside]], colWidths=[_LARGE_PT + 20, right], style=style)
    below = [
        _small(earlier[i : i + _BELOW], look, held, width, _BELOW)
        for i in range(_BESIDE, len(earlier), _BELOW)
    ]
    return [both, *below]


def _figures(base: RoundOnBase, held: ShareHeld, width: float) -> Table:
    clean, shown = base.cleanliness(held.limit), held.shown
    row = [
        _figure(held.share(clean.share), held.caption(base, clean)),
        _figure(_thickness(clean.largest_m, shown), _largest_caption(base, clean, shown)),
        _figure(_thickness(clean.mean_m, shown), "mean" if base.equal_weights else "mean over the area"),
    ]
    style = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)]
    return Table([row], colWidths=[width * 0.36, width * 0.33, width * 0.31], style=style)


def _figure(number: str, caption: str) -> list[Paragraph]:
    return [words(number, NUMBER), words(caption, CAPTION)]


def _largest_caption(base: RoundOnBase, clean: Cleanliness, shown: Shown) -> str:
    if clean.largest_m is None and clean.largest_known_m is not None:
        return f"largest; of the points read {shown.thickness(clean.largest_known_m)} at {base.largest_at}"
    return f"largest, at {base.largest_at}" if base.largest_at else "largest"


def _thickness(value_m: Fraction | None, shown: Shown) -> str:
    return UNKNOWN if value_m is None else shown.thickness(value_m)


def _key(base: RoundOnBase, limit: PlanLimit | None, shown: Shown) -> str:
    unit = _UNIT_WORDS[shown.unit_of("short length")[0]]
    parts = [
        f"Numbers: sediment thickness in {unit}; each cell is the part of the base nearest to its point."
    ]
    if limit is not None:
        parts.append(f"A bar under a number: {limit.over}.")
    unread = sum(each is None for each in base.thickness_m)
    ring = f"A broken ring: no thickness read ({unread} of {len(base.labels)} points)."
    return " ".join([*parts, ring])


def _small(
    rounds: Sequence[RoundOnBase], look: PlanLook, held: ShareHeld, width: float, columns: int
) -> Table:
    small = PlanLook(_SMALL_PT, look.radius_m, look.edges_m, look.limit, look.shown)
    cells: list[Any] = []
    for each in rounds:
        clean = each.cleanliness(look.limit)
        figures = f"share {held.share(clean.share)}, largest {_thickness(clean.largest_m, look.shown)}"
        when = look.shown.moment(each.at)
        cells.append([base_drawing(each, small), *(words(t, CAPTION) for t in (each.title, when, figures))])
    cells += [""] * (columns - len(cells))
    style = [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)]
    return Table([cells], colWidths=[width / columns] * columns, style=style, hAlign="LEFT")
