"""A round on the base as the base plan draws it.  Pure; knows no window."""

from __future__ import annotations

from collections.abc import Container
from typing import TYPE_CHECKING, Final

from fieldapp.ui.widgets.plan_geometry import XY, PlanCell, PlanPoint
from fieldapp.ui.words import shaft as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.shaft.view import RoundView

NOT_SHOWN: Final = "not shown"


def plan_parts(base: RoundView, answered: Container[str]) -> tuple[list[PlanCell], list[PlanPoint]]:
    """Cells of the points that show a thickness; the others as points, open or answered without one."""
    cells = [
        PlanCell(
            each.label,
            each.outline,
            _middle_of(each.outline),
            each.text,
            each.thickness_class,
            each.over_limit,
        )
        for each in base.cells
        if each.text
    ]
    points = [PlanPoint(each.label, each.at, each.label in answered) for each in base.cells if not each.text]
    return cells, points


def _middle_of(outline: tuple[XY, ...]) -> XY:
    """Centroid of a cell, where its number has the most room: a rim point lies near the edge of its cell."""
    pairs = [
        (a, b, a[0] * b[1] - b[0] * a[1]) for a, b in zip(outline, (*outline[1:], outline[0]), strict=True)
    ]
    twice = sum(cross for *_, cross in pairs)
    x, y = (sum((a[axis] + b[axis]) * cross for a, b, cross in pairs) / (3 * twice) for axis in (0, 1))
    return x, y


def figures_of(base: RoundView) -> tuple[tuple[str, str], ...]:
    """Share, largest and mean, each with its caption."""
    share = tr(words.SHARE, limit=tr(base.share_asked)) if base.share_asked else tr(words.SHARE_PLAIN)
    known = base.largest_at and base.largest != NOT_SHOWN
    largest = tr(words.LARGEST_AT, label=base.largest_at) if known else tr(words.LARGEST)
    return (tr(base.share), share), (tr(base.largest), largest), (tr(base.mean), tr(words.MEAN))
