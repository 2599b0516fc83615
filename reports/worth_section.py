"""What the base is worth: credit and curves first, then the map behind them, then what time does to it.

An estimate for the engineer to accept.  What is not quantified says why; nothing is drawn for it.
"""

from __future__ import annotations

from typing import Final

from reportlab.platypus import Flowable, KeepTogether, Spacer, Table

from fieldapp.base.bounds import COUNTING_CAVEAT
from fieldapp.base.sediment_map import MAP_CAVEAT, SedimentMap
from reports.credit_part import credit_part
from reports.facts import ShaftFacts
from reports.forecast_part import forecast_part
from reports.map_part import map_part
from reports.marks import mark
from reports.quantities import Shown
from reports.sections import heading
from reports.stake_part import stake_said
from reports.style import BODY, CAPTION, STRONG, SUBHEADING, text_width, words
from reports.worth_facts import WorthFacts

ESTIMATE: Final = (
    "A mechanical estimate for the engineer to accept: its parameters are judgment and no load test has "
    "calibrated it. A credit belongs to its base displacement; it never exceeds 1.00 and never raises a "
    "design value. Licensed engineers decide."
)
_CREDIT_ROOM_PT: Final = 330.0
_WORDS_ROOM_PT: Final = 90.0


def worth_section(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    """The section, or nothing when neither worth nor outlook was handed in."""
    worth, outlook = facts.worth, facts.outlook
    if worth is None and outlook is None:
        return []
    drawn = worth is not None and worth.credit is not None
    parts = heading("What the base is worth", _CREDIT_ROOM_PT if drawn else _WORDS_ROOM_PT)
    parts.append(words(ESTIMATE, BODY))
    if worth is not None:
        parts += credit_part(worth, facts.setup.units)
        for each in stake_said(worth, facts.setup.units):
            parts += [Spacer(1, 2), words(each, BODY)]
        parts += missing_part(worth, text_width(facts.setup.units))
        parts += map_part(worth, facts, shown)
        parts += caveats_part(worth)
    if outlook is not None:
        parts += forecast_part(outlook, facts, shown)
    return parts


def missing_part(worth: WorthFacts, width: float) -> list[Flowable]:
    """What the record lacks, with the sign of what is not shown; the credit says so in its own words."""
    if not worth.missing and worth.credit is not None:
        return []
    lead = (
        "Not shown, for want of" if worth.credit is not None else "The credit is not quantified, for want of"
    )
    body = [words(f"{lead}:", STRONG), *(words(f"– {each.rstrip('.')}", BODY) for each in worth.missing)]
    if not worth.missing:
        body = [words("The credit is not quantified.", STRONG)]
    style = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (0, 0), 4),
    ]
    return [Table([[mark("not shown", 9), body]], colWidths=[16, width - 16], style=style, splitInRow=1)]


def caveats_part(worth: WorthFacts) -> list[Flowable]:
    """The caveats of the models that were used here, once each."""
    said = list(worth.credit.caveats) if worth.credit is not None else []
    if worth.assured is not None:
        said.append(COUNTING_CAVEAT)
    if isinstance(worth.sediment, SedimentMap):
        said.append(MAP_CAVEAT)
    if not said:
        return []
    text = " ".join(said)
    title = words("What the estimate rests on", SUBHEADING)
    return [Spacer(1, 3), KeepTogether([title, words(text, CAPTION)])]
