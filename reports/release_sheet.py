"""The release sheet: one page from which the resident engineer decides on concrete, in minutes.

What is not met and what is not shown stands first and whole.  Met requirements are listed as far as the page
reaches and then counted.  Where even the tightest page does not hold what speaks against, a second one
follows and the sheet says so.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from reportlab.platypus import Flowable, Spacer

from fieldapp.criteria.finding import Outcome
from reports.facts import FieldPlace, Report, ShaftFacts
from reports.quantities import Shown
from reports.release_findings import Fit, against_block, met_block
from reports.release_parts import foot, stands_and_release, which_shaft
from reports.sections import bookmark
from reports.shaft_paper import Kind, page_count, shaft_paper
from reports.style import STRONG, TITLE, sized, text_width, words

KIND: Final = Kind("release sheet")
FIELDS: Final = (("ResidentEngineer", "resident engineer: decided on this record"),)
_WHOLE: Final = (Fit(9.0), Fit(8.0), Fit(7.2))
_TIGHT: Final = (Fit(8.0), Fit(7.2), Fit(6.6), Fit(6.6, columns=2), Fit(6.0, columns=2))
_TWO_PAGES: Final = (
    "This sheet has more than one page: what is not met or not shown does not fit on one. Read to its end."
)


def release_sheet(facts: ShaftFacts) -> Report:
    """The release sheet of a shaft as PDF, US letter for US units and A4 for SI, with one signature place.

    Parameters
    ----------
    facts
        All that the sheet shows; nothing else is read but the fonts.

    Returns
    -------
    Bytes of the PDF, and the field ``ResidentEngineer``: page from 0, box in points from the lower left
    corner of the page.

    Raises
    ------
    FontsMissing
        When the fonts that come with Kivy are not there.
    """
    fit, pages = _fitting(facts)
    return shaft_paper(facts, KIND, lambda shown, places: _story(facts, shown, places, (fit, pages)))


def _fitting(facts: ShaftFacts) -> tuple[Fit, int]:
    """The roomiest setting that keeps to one page with all that is met, else with as much of it as fits.

    With 2 what speaks against does not fit on one page in any setting.
    """

    def pages(fit: Fit) -> int:
        return page_count(facts, KIND, lambda shown, places: _story(facts, shown, places, (fit, 1)))

    whole = next((each for each in _WHOLE if pages(each) == 1), None)
    if whole is not None:
        return whole, 1
    tight = next((each for each in _TIGHT if pages(replace(each, met=0)) == 1), None)
    if tight is not None:
        met = sum(each.outcome is Outcome.MET for each in facts.findings)
        return replace(tight, met=_most_met(tight, met, pages)), 1
    return _WHOLE[0], 2


def _most_met(fit: Fit, met: int, pages: Callable[[Fit], int]) -> int:
    """How many of the met ones the page holds, by halving: none of them fits, all of them do not."""
    holds, over = 0, met
    while over - holds > 1:
        middle = (holds + over) // 2
        if pages(replace(fit, met=middle)) == 1:
            holds = middle
        else:
            over = middle
    return holds


def _story(
    facts: ShaftFacts, shown: Shown, places: list[FieldPlace], fitting: tuple[Fit, int]
) -> list[Flowable]:
    fit, pages = fitting
    width = text_width(facts.setup.units)
    parts: list[Flowable] = [bookmark("Release sheet"), words(KIND.title(facts), sized(TITLE, 16))]
    if pages > 1:
        parts += [Spacer(1, 2), words(_TWO_PAGES, STRONG)]
    parts += [Spacer(1, 3), which_shaft(facts, shown, width), Spacer(1, 6)]
    parts += [*stands_and_release(facts, shown, width), Spacer(1, 8), bookmark("Evidence")]
    parts += [*against_block(facts, shown, fit, width), *met_block(facts, shown, fit, width), Spacer(1, 2)]
    return [*parts, bookmark("Clocks, cautions, signature"), foot(facts, shown, places, FIELDS, width)]
