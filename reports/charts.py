"""Charts over time: the head first, then the fluid."""

from __future__ import annotations

from reportlab.platypus import Flowable

from reports.facts import ShaftFacts
from reports.fluid_charts import fluid_section
from reports.head_chart import head_section
from reports.quantities import Shown
from reports.sections import heading


def charts(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    """Head and fluid through time; what was not read is said in words."""
    parts: list[Flowable] = []
    for title, room_pt, body in (
        ("Head", 225, head_section(facts, shown)),
        ("Fluid", 200, fluid_section(facts, shown)),
    ):
        parts += [*heading(title, room_pt if len(body) > 1 else 40), *body]
    return parts
