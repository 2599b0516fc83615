"""Cells of long tables: paragraphs that break their lines once, shapes that are drawn once and referred to.

A table asks the height of a cell when it is measured, parted and drawn.  With hundreds of rows most of the
time of the layout would go there.
"""

from __future__ import annotations

from typing import Any, Final
from xml.sax.saxutils import escape

from reportlab.graphics import renderPDF
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph

from fieldapp.criteria.finding import Outcome
from reports.fonts import markup
from reports.marks import mark
from reports.style import CAPTION, CELL

_SIDE_PT: Final = 9.0


class Cell(Paragraph):  # type: ignore[misc]  # the library has no types
    """A paragraph that keeps how its lines were broken for a width."""

    _broken_at: float | None = None
    _size: tuple[float, float]

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Width and height [pt] that it takes in a width."""
        if self._broken_at != width:
            self._size = super().wrap(width, height)
            self._broken_at = width
        return self._size


class StateMark(Flowable):  # type: ignore[misc]  # the library has no types
    """The shape of a state; a document holds each shape once."""

    def __init__(self, state: str | Outcome) -> None:
        super().__init__()
        self.state = str(state)
        self.width = self.height = _SIDE_PT

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        """Width and height [pt], the same everywhere."""
        return self.width, self.height

    def draw(self) -> None:
        """Refer to the shape, and draw it where the document does not have it yet."""
        canvas, name = self.canv, f"mark {self.state}".replace(" ", "-")
        if not canvas.hasForm(name):
            canvas.beginForm(name, 0, 0, _SIDE_PT, _SIDE_PT)
            renderPDF.draw(mark(self.state, _SIDE_PT), canvas, 0, 0)
            canvas.endForm()
        canvas.doForm(name)


def cell(text: str, style: ParagraphStyle = CELL) -> Cell:
    """Plain text as a cell."""
    return Cell(marked(text), style)


def marked_cell(text: str, style: ParagraphStyle = CELL) -> Cell:
    """Paragraph markup as a cell."""
    return Cell(text, style)


def head(*names: str) -> list[Any]:
    """The head row of a table."""
    return [cell(name, CAPTION) for name in names]


def marked(text: str) -> str:
    """Paragraph markup of plain text; plain English needs no look at the fonts, letter by letter."""
    if text.isascii() and text.replace("\n", "").isprintable():
        return escape(text).replace("\n", "<br/>")
    return markup(text)
