"""The head of the summary: which project, how many shafts stand how, and what was decided on concrete.

Every shaft is counted once in each list.  What is not shown has its own line, and nothing is counted as
clean that was not shown to be.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any, Final

from reportlab.graphics.shapes import Drawing, Rect
from reportlab.platypus import Flowable, Spacer, Table

from fieldapp.criteria.finding import ReleaseStatus, Standing
from fieldapp.record.words import Decision
from reports.marks import RELEASE_MARK, STANDING_MARK, mark
from reports.quantities import Shown
from reports.sections import bookmark, heading
from reports.style import (
    BODY,
    CAPTION,
    CELL,
    CELL_STRONG,
    FACT_GRID,
    HAIR,
    INK,
    TITLE,
    WELL,
    text_width,
    words,
)
from reports.summary_facts import SummaryFacts, SummaryShaft

_BAR_PT: Final = (108.0, 8.0)
_GAP_PT: Final = 18.0
STANDINGS: Final = (
    Standing.CLEAN,
    Standing.REDUCED,
    Standing.REWORK,
    Standing.NOT_SHOWN,
    Standing.NOT_CREDITABLE,
)
_RELEASES: Final = (
    ReleaseStatus.RELEASED,
    ReleaseStatus.HELD,
    ReleaseStatus.LAPSED,
    ReleaseStatus.WITHDRAWN,
    ReleaseStatus.NONE,
)
_NO_DECISION: Final = "no decision"


def identification(facts: SummaryFacts, shown: Shown, title: str) -> list[Flowable]:
    """Title, and a grid of captions and values."""
    pairs = list(_pairs(facts, shown))
    width = text_width(facts.setup.units)
    cells: list[Any] = [[words(name, CAPTION), words(value, BODY)] for name, value in pairs]
    rows = [cells[i : i + 3] for i in range(0, len(cells), 3)]
    rows[-1] += [""] * (3 - len(rows[-1]))
    people = ", ".join(f"{each.name} ({', '.join(each.roles)})" for each in facts.setup.people)
    wide: list[list[Any]] = [
        [words("people", CAPTION), words(people or "nobody on the roster", BODY)],
        [words("times", CAPTION), words(shown.zone_note or f"local time of {shown.zone_name}", BODY)],
    ]
    return [
        bookmark("Identification"),
        words(title, TITLE),
        Spacer(1, 5),
        Table(rows, colWidths=[width / 3] * 3, style=FACT_GRID, splitInRow=1),
        Table(wide, colWidths=[74, width - 74], style=FACT_GRID[1:], splitInRow=1),
    ]


def _pairs(facts: SummaryFacts, shown: Shown) -> Iterator[tuple[str, str]]:
    drilled = sum(_reached(each) for each in facts.shafts)
    concreted = sum(each.concrete_started is not None for each in facts.shafts)
    accepted = facts.setup.acceptance
    yield "project", f"{facts.setup.name} ({facts.project_id})"
    yield "as of", shown.zoned(facts.at)
    yield "acceptance set", f"{accepted.title} ({accepted.id})"
    yield "shafts in the record", str(len(facts.shafts))
    yield "drilled to the base", f"{drilled} of {len(facts.shafts)}"
    yield "concrete started", f"{concreted} of {len(facts.shafts)}"


def _reached(shaft: SummaryShaft) -> bool:
    return shaft.base_reached is not None or shaft.concrete_started is not None


def counts(facts: SummaryFacts) -> list[Flowable]:
    """Base standings, decisions on concrete and decisions of the designer, side by side, with bars."""
    parts = heading("Standings and releases", 150)
    if not facts.shafts:
        return [*parts, words("The record has no shaft: nothing is shown of any base.", BODY)]
    standings = Counter(each.standing.standing for each in facts.shafts)
    releases = Counter(each.release.status for each in facts.shafts)
    total = len(facts.shafts)
    left = [_counted(STANDING_MARK[each], str(each), standings[each], total) for each in STANDINGS]
    right = [
        _counted(
            RELEASE_MARK[each],
            str(each) if each is not ReleaseStatus.NONE else _NO_DECISION,
            releases[each],
            total,
        )
        for each in _RELEASES
    ]
    width = (text_width(facts.setup.units) - _GAP_PT) / 2
    tables = [[_list("base standing", left, width), "", _list("concrete", right, width)]]
    style = [("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0)]
    side = Table(
        tables, colWidths=[width, _GAP_PT, width], style=[*style, ("VALIGN", (0, 0), (-1, -1), "TOP")]
    )
    return [*parts, side, Spacer(1, 3), words(_stated(facts), BODY)]


def _stated(facts: SummaryFacts) -> str:
    found = Counter(each.stated.line.values.decision for each in facts.shafts if each.stated is not None)
    told = ", ".join(f"{found[each]} {each}" for each in Decision if found[each])
    without = len(facts.shafts) - sum(found.values())
    later = [each.id for each in facts.shafts if each.stated is not None and not each.stated.saw_all]
    text = (
        f"The designer has stated: {told or 'nothing yet'}; no decision on {without} of {len(facts.shafts)}."
    )
    return text + (f" Evidence came after the decision on {', '.join(later)}." if later else "")


def _counted(shape: str, word: str, count: int, total: int) -> list[Any]:
    return [mark(shape, 9), words(word, CELL), words(str(count), CELL_STRONG), _bar(count / total)]


def _list(title: str, rows: list[list[Any]], width: float) -> Table:
    head: list[list[Any]] = [
        ["", words(title, CAPTION), words("shafts", CAPTION), words("share of all", CAPTION)]
    ]
    return Table([*head, *rows], colWidths=[15, width - 15 - 40 - _BAR_PT[0] - 4, 40, None], style=_ROWS)


def _bar(share: float) -> Drawing:
    width, height = _BAR_PT
    drawing = Drawing(width, height)
    drawing.add(Rect(0, 0, width, height, fillColor=WELL, strokeColor=HAIR, strokeWidth=0.5))
    if share > 0:
        drawing.add(Rect(0, 0, max(width * share, 1.0), height, fillColor=INK, strokeColor=None))
    return drawing


_ROWS: Final = [
    ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 3),
    ("TOPPADDING", (0, 0), (-1, -1), 1.5),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
    ("LINEBELOW", (0, 0), (-1, 0), 1.2, INK),
    ("LINEBELOW", (0, 1), (-1, -1), 0.5, HAIR),
]
