"""Charts over time: the head first, then the fluid."""

from __future__ import annotations

from reportlab.platypus import Flowable

from reports.facts import ShaftLogFacts
from reports.fluid_charts import fluid_section
from reports.head_chart import head_section
from reports.quantities import Shown
from reports.sections import heading


def charts(facts: ShaftLogFacts, shown: Shown) -> list[Flowable]:
    """Head and fluid through time; what was not read is said in words."""
    head = [*heading("Head", 225), *head_section(facts, shown)]
    return [*head, *heading("Fluid", 200), *fluid_section(facts, shown)]
