"""The evidence on a release sheet: what is not met and what is not shown whole, what is met in short.

The size of the letters and the number of columns are the sheet's to choose; nothing that is not met or not
shown is ever left out.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

from reportlab.platypus import Flowable, Paragraph, Spacer, Table

from fieldapp.criteria.finding import Finding, Outcome
from fieldapp.criteria.phrasing import clock
from reports.facts import ShaftFacts
from reports.findings_table import no_limit
from reports.marks import mark
from reports.quantities import Shown
from reports.style import CAPTION, CELL, CELL_STRONG, HAIR, STRONG, ruled_table, sized, words

_SHARES: Final = (0.25, 0.38, 0.18, 0.19)
_NARROW: Final = (0.30, 0.70)
_MET: Final = (0.34, 0.44, 0.22)
_LEAST_PT: Final = 6.0
_HEAD: Final = ("requirement", "measured", "limit", "where and when")
_GAP_PT: Final = 10.0
_SAYS: Final = {
    Outcome.NOT_MET: "Not met",
    Outcome.NOT_SHOWN: "Not shown: not observed, stale or one-sided, and so unknown",
}
_NONE: Final = {Outcome.NOT_MET: "Not met: none", Outcome.NOT_SHOWN: "Not shown: none"}
_PLAIN: Final = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 4),
    ("TOPPADDING", (0, 0), (-1, -1), 1),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
]
_ZERO: Final = [
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
]
_ROOMY_PT: Final = 7.6


@dataclass(frozen=True, slots=True)
class Fit:
    """How tightly a sheet is set: size of the rows [pt], columns of findings, met ones listed (None: all)."""

    size_pt: float
    columns: int = 1
    met: int | None = None


def against_block(facts: ShaftFacts, shown: Shown, fit: Fit, width: float) -> list[Flowable]:
    """Everything not met, then everything not shown, each with its sign, in order of weight."""
    parts: list[Flowable] = []
    for outcome in (Outcome.NOT_MET, Outcome.NOT_SHOWN):
        found = [each for each in facts.findings if each.outcome is outcome]
        if not found:
            parts += [_lead("met", _NONE[outcome], width), Spacer(1, 2)]
            continue
        parts.append(_lead(outcome, f"{_SAYS[outcome]} ({len(found)})", width))
        parts += [_rows(_grouped(found), shown, fit, width), Spacer(1, 4)]
    if not any(each.outcome is not Outcome.NOT_ASKED for each in facts.findings):
        parts = [_lead("not shown", "No requirement was held against this record.", width)]
    return parts


def _grouped(found: list[Finding]) -> list[Finding]:
    """In order of weight; requirements that are open for one and the same lack stand in one row."""
    groups: dict[object, list[Finding]] = {}
    for each in sorted(found, key=lambda each: -each.weight):
        bare = not (each.measured or each.limit)
        key = (each.says, each.where, each.when, no_limit(each)) if bare else each
        groups.setdefault(key, []).append(each)
    return [
        replace(same[0], requirement=", ".join(each.requirement for each in same)) for same in groups.values()
    ]


def _lead(state: str | Outcome, text: str, width: float) -> Table:
    return Table([[mark(state, 10), words(text, STRONG)]], colWidths=[15, width - 15], style=_PLAIN)


def _rows(found: list[Finding], shown: Shown, fit: Fit, width: float) -> Flowable:
    if fit.columns == 1:
        rows: list[list[Any]] = [[words(each, sized(CAPTION, fit.size_pt - 0.5)) for each in _HEAD]]
        rows += [_wide(each, shown, fit) for each in found]
        return ruled_table(rows, [width * share for share in _SHARES], *_tight(fit))
    column = (width - _GAP_PT) / 2
    half = (len(found) + 1) // 2
    parts = (found[:half], found[half:])
    cells = [[_narrow_table(part, shown, fit, column)] if part else [] for part in parts]
    return Table([cells], colWidths=[column + _GAP_PT, column], style=_PLAIN[:2] + _ZERO, splitInRow=1)


def _narrow_table(found: list[Finding], shown: Shown, fit: Fit, column: float) -> Table:
    rows = [
        [words(each.requirement, sized(CELL_STRONG, fit.size_pt)), _all_in_one(each, shown, fit)]
        for each in found
    ]
    style = [*_PLAIN, ("LINEBELOW", (0, 0), (-1, -1), 0.5, HAIR)]
    return Table(rows, colWidths=[column * share for share in _NARROW], style=style, hAlign="LEFT")


def _tight(fit: Fit) -> tuple[tuple[Any, ...], ...]:
    pad = 2.5 if fit.size_pt > _ROOMY_PT else 1.2
    return (
        ("LINEBELOW", (0, 1), (-1, -1), 0.5, HAIR),
        ("TOPPADDING", (0, 0), (-1, -1), pad),
        ("BOTTOMPADDING", (0, 0), (-1, -1), pad),
    )


def _wide(found: Finding, shown: Shown, fit: Fit) -> list[Any]:
    cell = sized(CELL, fit.size_pt)
    return [
        words(found.requirement, sized(CELL_STRONG, fit.size_pt)),
        words(_measured(found), cell),
        words(found.limit or no_limit(found), cell),
        words(_where(found, shown), cell),
    ]


def _all_in_one(found: Finding, shown: Shown, fit: Fit) -> Paragraph:
    parts = [_measured(found)]
    if found.limit:
        parts.append(f"asked {found.limit}")
    where = _where(found, shown)
    text = "; ".join(each.rstrip(".") for each in (*parts, where) if each)
    return words(f"{text}.", sized(CELL, fit.size_pt))


def _measured(found: Finding) -> str:
    """What was measured; where nothing was, or it is not enough, the sentence of the finding."""
    if found.outcome is Outcome.NOT_SHOWN or not found.measured:
        return f"{found.measured}. {found.says}" if found.measured else found.says
    return found.measured


def _where(found: Finding, shown: Shown) -> str:
    when = shown.moment(found.when) if found.when else ""
    return ", ".join(each for each in (found.where, when) if each)


def met_block(facts: ShaftFacts, shown: Shown, fit: Fit, width: float) -> list[Flowable]:
    """What is met, a line each, as many as the sheet has room for; the others are counted."""
    met = [each for each in facts.findings if each.outcome is Outcome.MET]
    if not met:
        return [_lead("not shown", "Nothing that is asked is shown to be met.", width)]
    listed = met if fit.met is None else met[: fit.met]
    parts: list[Flowable] = [_lead("met", f"Met ({len(met)})", width)]
    column = (width - _GAP_PT) / 2
    size_pt = max(_LEAST_PT, fit.size_pt - 0.8)
    half = (len(listed) + 1) // 2
    if listed:
        halves = [each for each in (listed[:half], listed[half:]) if each]
        cells: list[Any] = [_met_table(each, shown, size_pt, column) for each in halves]
        cells += [""] * (2 - len(cells))
        parts.append(Table([cells], colWidths=[column + _GAP_PT, column], style=_PLAIN[:2] + _ZERO))
    left = len(met) - len(listed)
    if left:
        text = f"and {left} more met, see the shaft log" if listed else f"{left} met, see the shaft log"
        parts.append(words(text, sized(CAPTION, 7)))
    return parts


def _met_table(met: list[Finding], shown: Shown, size_pt: float, column: float) -> Table:
    name, cell = sized(CELL_STRONG, size_pt), sized(CELL, size_pt)
    rows = [
        [words(each.requirement, name), words(_shown_met(each), cell), words(_short(each, shown), cell)]
        for each in met
    ]
    style = [*_PLAIN, ("LINEBELOW", (0, 0), (-1, -1), 0.3, HAIR), ("TOPPADDING", (0, 0), (-1, -1), 0.4)]
    style.append(("BOTTOMPADDING", (0, 0), (-1, -1), 0.4))
    return Table(rows, colWidths=[column * share for share in _MET], style=style, hAlign="LEFT")


def _shown_met(found: Finding) -> str:
    if not found.measured:
        return found.says.rstrip(".")
    return f"{found.measured} ({found.limit})" if found.limit else found.measured


def _short(found: Finding, shown: Shown) -> str:
    """Day and time without the year, which the sheet gives once."""
    return clock(shown.local(found.when)) if found.when else ""
