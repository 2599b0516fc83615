"""The shaft log: one shaft, one paper, everything that the record says of its base.

The same facts give the same bytes.  Signature boxes are left empty and their places handed back.
"""

from __future__ import annotations

from typing import Final

from reportlab.platypus import Flowable, Spacer

from reports.base_plan import base_plan
from reports.cautions import cautions, integrity
from reports.charts import charts
from reports.entries_section import entries_section, instruments_section
from reports.facts import FieldPlace, Report, ShaftFacts
from reports.findings_table import findings_table, standing_block
from reports.identification import identification
from reports.quantities import Shown
from reports.shaft_paper import Kind, shaft_paper
from reports.signatures import signatures
from reports.worth_section import worth_section

KIND: Final = Kind("base cleanliness log")
FIELDS: Final = (
    ("Inspector", "inspector: recorded as seen"),
    ("ResidentEngineer", "resident engineer: record reviewed"),
    ("Designer", "designer: record received"),
)


def shaft_log(facts: ShaftFacts) -> Report:
    """The log of a shaft as PDF, US letter for US units and A4 for SI, with three signature places.

    Parameters
    ----------
    facts
        All that the log shows; nothing else is read but the fonts.

    Returns
    -------
    Bytes of the PDF, and the fields ``Inspector``, ``ResidentEngineer`` and ``Designer``: page from 0,
    box in points from the lower left corner of the page.

    Raises
    ------
    FontsMissing
        When the fonts that come with Kivy are not there.
    """

    def story(shown: Shown, places: list[FieldPlace]) -> list[Flowable]:
        return [
            *identification(facts, shown, KIND.title(facts)),
            *standing_block(facts, shown),
            *findings_table(facts, shown),
            *base_plan(facts, shown),
            *worth_section(facts, shown),
            *charts(facts, shown),
            *entries_section(facts, shown),
            *instruments_section(facts, shown),
            *cautions(facts),
            *integrity(facts),
            Spacer(1, 6),
            *signatures(facts.setup.units, places, FIELDS),
        ]

    return shaft_paper(facts, KIND, story)
