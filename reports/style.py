"""The look of the paper: the noon tokens of the screens, sizes in points, paragraph and table styles.

State is a shape and a word before it is a colour, so every page reads in black and white.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from reportlab.lib.colors import Color, HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.pagesizes import A4, letter
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Paragraph, Table, TableStyle

from fieldapp.record.words import UnitSystem
from reports.fonts import BOLD, MONO, REGULAR, markup

GROUND: Final = HexColor("#FFFFFF")
WELL: Final = HexColor("#F1F3F4")
INK: Final = HexColor("#101214")
SOFT: Final = HexColor("#3C4248")
HAIR: Final = HexColor("#C9CED3")
ACT: Final = HexColor("#00578A")
MET: Final = HexColor("#009E73")
NOT_MET: Final = HexColor("#D55E00")
NOT_SHOWN: Final = HexColor("#B47A00")

MARGIN_PT: Final = 36.0
HEADER_PT: Final = 26.0
FOOTER_PT: Final = 38.0
# In the narrowest column, 600 of the widest letters fill most of a page.
_TALL_LETTERS: Final = 600
_LEADING: Final = 1.28


@dataclass(frozen=True, slots=True)
class ThicknessClass:
    """Fill of a cell of the base, and the ink that is read on it."""

    fill: Color
    ink: Color


# Samples 240, 204, 166, 70 and 12 of the 256 of cividis (Nunez, Anderton and Renslow 2018): thin is light.
CIVIDIS: Final = (
    ThicknessClass(HexColor("#F0D846"), INK),
    ThicknessClass(HexColor("#C9B866"), INK),
    ThicknessClass(HexColor("#A19875"), INK),
    ThicknessClass(HexColor("#49536C"), GROUND),
    ThicknessClass(HexColor("#002B62"), GROUND),
)


def _style(name: str, font: str, size_pt: float, **more: Any) -> ParagraphStyle:
    more.setdefault("leading", size_pt * _LEADING)
    more.setdefault("textColor", INK)
    return ParagraphStyle(name, fontName=font, fontSize=size_pt, splitLongWords=1, **more)


TITLE: Final = _style("title", BOLD, 20)
STANDING: Final = _style("standing", BOLD, 24)
HEADING: Final = _style("heading", BOLD, 13, spaceBefore=12, spaceAfter=5)
SUBHEADING: Final = _style("subheading", BOLD, 9.5, spaceBefore=5, spaceAfter=2)
BODY: Final = _style("body", REGULAR, 9)
STRONG: Final = _style("strong", BOLD, 9)
CELL: Final = _style("cell", REGULAR, 8)
CELL_STRONG: Final = _style("cell strong", BOLD, 8)
CELL_RIGHT: Final = _style("cell right", REGULAR, 8, alignment=TA_RIGHT)
CAPTION: Final = _style("caption", REGULAR, 7.5, textColor=SOFT)
SMALL: Final = _style("small", REGULAR, 6.8, textColor=SOFT)
NUMBER: Final = _style("number", BOLD, 15)
DIGEST: Final = _style("digest", MONO, 7)


def sized(style: ParagraphStyle, size_pt: float) -> ParagraphStyle:
    """The same style in another size [pt], for a page that has to hold more."""
    return ParagraphStyle(
        f"{style.name} {size_pt:g}", parent=style, fontSize=size_pt, leading=size_pt * _LEADING
    )


# Captions with their values in columns, ruled above and under each row.
FACT_GRID: Final[list[tuple[Any, ...]]] = [
    ("LINEABOVE", (0, 0), (-1, 0), 1.2, INK),
    ("LINEBELOW", (0, 0), (-1, -1), 0.5, HAIR),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 8),
    ("TOPPADDING", (0, 0), (-1, -1), 2),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
]


def page_size_pt(units: UnitSystem) -> tuple[float, float]:
    """US letter for US units, A4 for SI [pt]."""
    return letter if units is UnitSystem.US else A4  # type: ignore[no-any-return]  # the library has no types


def text_width(units: UnitSystem) -> float:
    """Width between the margins [pt]."""
    return page_size_pt(units)[0] - 2 * MARGIN_PT


class Passage(Paragraph):  # type: ignore[misc]  # the library has no types
    """A paragraph of markup that keeps how its lines were broken for a width.

    A page asks how high it is, and a table asks when it is measured, parted and drawn; with hundreds of rows
    most of the time of the layout would go there.
    """

    _broken_at: float | None = None
    _size: tuple[float, float]

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Width and height [pt] that it takes in a width."""
        if self._broken_at != width or not hasattr(self, "blPara"):  # `split` drops lines that do not fit
            self._size = super().wrap(width, height)
            self._broken_at = width
        return self._size


def words(text: str, style: ParagraphStyle = BODY) -> Passage:
    """Plain text as a paragraph."""
    return Passage(markup(text), style)


def ruled_table(rows: list[list[Any]], widths: list[float], *more: tuple[Any, ...]) -> Table:
    """A table with a black line under its repeated head row and a hairline under each row.

    Rows stay whole, unless a cell holds so much that a row could be taller than a page.
    """
    commands: list[tuple[Any, ...]] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 6),
        ("TOPPADDING", (0, 0), (-1, -1), 3),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
    ]
    commands.append(("LINEBELOW", (0, 0), (-1, 0), 1.2, INK))
    style = TableStyle([*commands, *(more or (("LINEBELOW", (0, 1), (-1, -1), 0.5, HAIR),))])
    tall = max((_letters(cell) for row in rows for cell in row), default=0) > _TALL_LETTERS
    return Table(rows, colWidths=widths, repeatRows=1, style=style, splitInRow=int(tall), hAlign="LEFT")


def _letters(cell: Any) -> int:
    """Letters in a cell."""
    if isinstance(cell, Paragraph):
        return len(cell.text)
    return sum(_letters(each) for each in cell) if isinstance(cell, list) else 0
