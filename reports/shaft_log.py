"""The shaft log: one shaft, one paper, everything that the record says of its base.

The same facts give the same bytes.  Signature boxes are left empty and their places handed back.
"""

from __future__ import annotations

from reportlab.platypus import Flowable, Spacer

from reports.base_plan import base_plan
from reports.cautions import cautions, integrity
from reports.charts import charts
from reports.entries_section import entries_section, instruments_section
from reports.facts import FieldPlace, Report, ShaftLogFacts
from reports.findings_table import findings_table, standing_block
from reports.fonts import register_fonts
from reports.identification import identification
from reports.marks import STANDING_MARK
from reports.pages import PageFrame, build
from reports.quantities import Shown, shown_by
from reports.signatures import signatures
from reports.worth_section import worth_section


def shaft_log(facts: ShaftLogFacts) -> Report:
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
    register_fonts()
    shown = shown_by(facts.setup)
    frame = _frame(facts, shown)
    _, pages = build(_story(facts, shown, []), frame, 0)
    places: list[FieldPlace] = []
    pdf, _ = build(_story(facts, shown, places), frame, pages)
    return Report(pdf, tuple(places))


def _story(facts: ShaftLogFacts, shown: Shown, places: list[FieldPlace]) -> list[Flowable]:
    return [
        *identification(facts, shown),
        *standing_block(facts, shown),
        *findings_table(facts, shown),
        *base_plan(facts, shown),
        *worth_section(facts, shown),
        *charts(facts, shown),
        *entries_section(facts, shown),
        *instruments_section(facts, shown),
        *cautions(facts),
        *integrity(facts, shown),
        Spacer(1, 6),
        *signatures(facts, places),
    ]


def _frame(facts: ShaftLogFacts, shown: Shown) -> PageFrame:
    shaft, standing = facts.record.id, facts.standing.standing
    return PageFrame(
        units=facts.setup.units,
        title=f"Shaft {shaft}: base cleanliness log",
        author=facts.printed_by,
        subject=f"{facts.setup.name}, shaft {shaft}: base standing {standing}",
        left=f"Shaft {shaft}, {facts.setup.name} ({facts.project_id})",
        state=STANDING_MARK[standing],
        word=str(standing).capitalize(),
        digest=facts.record_digest,
        printed=f"printed {shown.zoned(facts.printed_at)} by {facts.printed_by}; "
        "an unsigned copy unless the file carries a valid signature",
    )
