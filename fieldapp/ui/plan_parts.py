"""A round on the base as the base plan draws it.  Pure; knows no window."""

from __future__ import annotations

from collections.abc import Container
from typing import TYPE_CHECKING

from fieldapp.ui.widgets.plan_geometry import PlanCell, PlanPoint
from fieldapp.ui.words import shaft as words

if TYPE_CHECKING:
    from fieldapp.desk.shaft_view import RoundView


def plan_parts(base: RoundView, answered: Container[str]) -> tuple[list[PlanCell], list[PlanPoint]]:
    """Cells of the points that show a thickness; the others as points, open or answered without one."""
    cells = [
        PlanCell(each.label, each.outline, each.at, each.text, each.thickness_class, each.over_limit)
        for each in base.cells
        if each.text
    ]
    points = [PlanPoint(each.label, each.at, each.label in answered) for each in base.cells if not each.text]
    return cells, points


def figures_of(base: RoundView) -> tuple[tuple[str, str], ...]:
    """Share, largest and mean, each with its caption."""
    share = words.SHARE.format(limit=base.share_asked) if base.share_asked else words.SHARE_PLAIN
    largest = words.LARGEST_AT.format(label=base.largest_at) if base.largest_at else words.LARGEST
    return (base.share, share), (base.largest, largest), (base.mean, words.MEAN)
