"""The base condition report: what the designer needs to decide on a base, weeks later and from paper alone.

The same facts give the same bytes.  The signature box is left empty and its place handed back.
"""

from __future__ import annotations

from typing import Final

from reportlab.platypus import Flowable, Spacer

from reports.as_built_part import as_built_part
from reports.assumptions_part import assumptions_part
from reports.base_plan import base_plan
from reports.cautions import cautions, integrity
from reports.credit_part import credit_part
from reports.disposition_part import STANDING_MEANS, disposition_part
from reports.facts import FieldPlace, Report, ShaftFacts
from reports.findings_table import findings_table, standing_block
from reports.forecast_part import forecast_part
from reports.identification import identification
from reports.map_part import map_part
from reports.quantities import Shown
from reports.rounds_part import rounds_part
from reports.sections import heading
from reports.shaft_paper import Kind, shaft_paper
from reports.signatures import signatures
from reports.stake_part import stake_said, stake_table
from reports.style import BODY, text_width, words
from reports.worth_section import ESTIMATE, caveats_part, missing_part

KIND: Final = Kind("base condition report")
FIELDS: Final = (("Designer", "designer: base condition reviewed"),)
_CREDIT_ROOM_PT: Final = 330.0
_WORDS_ROOM_PT: Final = 90.0
_MAP_ROOM_PT: Final = 240.0
_STAKE_ROOM_PT: Final = 215.0


def base_condition(facts: ShaftFacts) -> Report:
    """The base condition report of a shaft as PDF, US letter for US units and A4 for SI.

    Parameters
    ----------
    facts
        All that the report shows; nothing else is read but the fonts.

    Returns
    -------
    Bytes of the PDF, and the field ``Designer``: page from 0, box in points from the lower left corner of
    the page.

    Raises
    ------
    FontsMissing
        When the fonts that come with Kivy are not there.
    """

    def story(shown: Shown, places: list[FieldPlace]) -> list[Flowable]:
        return [
            *identification(facts, shown, KIND.title(facts)),
            *standing_block(facts, shown, STANDING_MEANS[facts.standing.standing]),
            *disposition_part(facts, shown),
            *as_built_part(facts, shown),
            *base_plan(facts, shown),
            *rounds_part(facts, shown),
            *_map(facts, shown),
            *_forecast(facts, shown),
            *_credit(facts),
            *_stake(facts),
            *findings_table(facts, shown),
            *assumptions_part(facts),
            *cautions(facts),
            *signatures(facts.setup.units, places, FIELDS),
            *integrity(facts),
        ]

    return shaft_paper(facts, KIND, story)


def _map(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    drawn = facts.worth is not None and facts.worth.sediment is not None
    parts = heading("Sediment map and assured share", _MAP_ROOM_PT if drawn else _WORDS_ROOM_PT)
    if facts.worth is None or not drawn:
        return [*parts, words("Without a round of soundings there is no map; no share is assured.", BODY)]
    return [*parts, *map_part(facts.worth, facts, shown)]


def _forecast(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    parts = heading("Forecast against measured", _WORDS_ROOM_PT)
    if facts.outlook is None:
        return [*parts, words("Without a round of soundings nothing is forecast.", BODY)]
    told = forecast_part(facts.outlook, facts, shown)
    if not told:
        return [*parts, words("Not forecast.", BODY)]
    pairs = len(facts.outlook.held)
    says = (
        "No round followed another with no pass between, so no forecast can be held against one."
        if not pairs
        else f"Rounds that followed another with no pass between, held against its forecast: {pairs}."
    )
    return [*parts, words(says, BODY), *told]


def _credit(facts: ShaftFacts) -> list[Flowable]:
    worth = facts.worth
    drawn = worth is not None and worth.credit is not None
    parts = heading("Base credit", _CREDIT_ROOM_PT if drawn else _WORDS_ROOM_PT)
    parts.append(words(ESTIMATE, BODY))
    if worth is None:
        return [*parts, words("The credit is not quantified: the shaft is not scheduled.", BODY)]
    width = text_width(facts.setup.units)
    return [
        *parts,
        *credit_part(worth, facts.setup.units),
        *missing_part(worth, width),
        *caveats_part(worth),
    ]


def _stake(facts: ShaftFacts) -> list[Flowable]:
    worth, units = facts.worth, facts.setup.units
    told = worth is not None and worth.stake is not None
    parts = heading("At stake", _STAKE_ROOM_PT if told else _WORDS_ROOM_PT)
    if worth is None or not told:
        says = "Not told: it takes a credit, side resistance and resistance factors from the designer."
        return [*parts, words(says, BODY)]
    said: list[Flowable] = []
    for each in stake_said(worth, units):
        said += [Spacer(1, 2), words(each, BODY)]
    return [*parts, *stake_table(worth, units), *said]
