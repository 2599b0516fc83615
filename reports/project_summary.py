"""The project summary: every shaft of the project on one paper, for the owner's file and for the designer.

The same facts give the same bytes.  It is laid out once, whatever its length.  The signature box is left
empty and its place handed back: the designer may sign it, and nobody has to.
"""

from __future__ import annotations

from typing import Final

from reportlab.platypus import Flowable

from reports.facts import FieldPlace, Report
from reports.fonts import register_fonts
from reports.pages import PageFrame, build
from reports.quantities import Shown, shown_by
from reports.signatures import SAYS, signatures
from reports.summary_counts import counts, identification
from reports.summary_facts import SummaryFacts
from reports.summary_first import look_first
from reports.summary_recleaned import recleaned_part
from reports.summary_record import acceptance, cautions, delays, digests, instruments
from reports.summary_table import shafts_table
from reports.summary_trends import trends

FIELDS: Final = (("Designer", "designer: summary reviewed"),)
MAY_SIGN: Final = f"The designer may sign this summary, and nobody has to. {SAYS}"


def project_summary(facts: SummaryFacts) -> Report:
    """The summary as PDF, US letter for US units and A4 for SI.

    Parameters
    ----------
    facts
        All that the summary shows; nothing else is read but the fonts.

    Returns
    -------
    Bytes of the PDF, and the field ``Designer``: page from 0, box in points from the lower left corner of
    the page.

    Raises
    ------
    FontsMissing
        When the fonts that come with Kivy are not there.
    """
    register_fonts()
    shown = shown_by(facts.setup)
    places: list[FieldPlace] = []
    pdf, _ = build(_story(facts, shown, places), _frame(facts, shown))
    return Report(pdf, tuple(places))


def _story(facts: SummaryFacts, shown: Shown, places: list[FieldPlace]) -> list[Flowable]:
    return [
        *identification(facts, shown, _title(facts)),
        *counts(facts),
        *look_first(facts, shown),
        *shafts_table(facts, shown),
        *recleaned_part(facts, shown),
        *trends(facts, shown),
        *delays(facts, shown),
        *instruments(facts, shown),
        *acceptance(facts),
        *cautions(facts),
        *signatures(facts.setup.units, places, FIELDS, MAY_SIGN),
        *digests(facts),
    ]


def _title(facts: SummaryFacts) -> str:
    return f"{facts.setup.name}: project summary"


def _frame(facts: SummaryFacts, shown: Shown) -> PageFrame:
    count = len(facts.shafts)
    return PageFrame(
        units=facts.setup.units,
        title=_title(facts),
        author=facts.printed_by,
        subject=f"Base cleanliness of {count} shafts as of {shown.zoned(facts.at)}",
        left=f"Project summary, {facts.setup.name} ({facts.project_id})",
        state="",
        word=f"{count} shaft{'' if count == 1 else 's'}, as of {shown.moment(facts.at)}",
        digest=facts.journal_digest,
        printed=f"printed {shown.zoned(facts.printed_at)} by {facts.printed_by}; "
        "an unsigned copy unless the file carries a valid signature",
        digest_name="journal digest",
    )
