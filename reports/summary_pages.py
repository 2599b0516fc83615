"""Pages of the summary, laid out once: the total of pages is drawn at the end, where every page refers to it.

Papers of a shaft are laid out twice, to know how many pages there are; a summary of hundreds of shafts is
too long for that.
"""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from typing import Any, Final

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate

from fieldapp.record.words import UnitSystem
from reports.fonts import BOLD, MONO, REGULAR, fitted, text_width_pt
from reports.style import FOOTER_PT, HAIR, HEADER_PT, INK, MARGIN_PT, SOFT, page_size_pt

rl_config.useA85 = 0  # as every paper: base 85 only makes pages larger and slower to read

_TOTAL: Final = "total-of-pages"
_PAGE_PT: Final = 8


@dataclass(frozen=True, slots=True)
class SummaryFrame:
    """The words of header and footer, and the document's own title, author and subject."""

    units: UnitSystem
    title: str
    author: str
    subject: str
    left: str
    right: str
    digest: str
    printed: str


class _CountedCanvas(Canvas):  # type: ignore[misc]  # the library has no types
    """A canvas that says how many pages there are once it knows."""

    def save(self) -> None:
        pages = self.getPageNumber() - (0 if self._code else 1)
        self.beginForm(_TOTAL, 0, -4, 60, 12)
        self.setFont(BOLD, _PAGE_PT)
        self.setFillColor(INK)
        self.drawString(0, 0, f"of {pages}")
        self.endForm()
        super().save()


def build_summary(story: list[Flowable], frame: SummaryFrame) -> bytes:
    """The document, letter for US units and A4 for SI; the same bytes for the same story."""
    width, height = page_size_pt(frame.units)
    out = BytesIO()
    document = BaseDocTemplate(
        out,
        pagesize=(width, height),
        title=frame.title,
        author=frame.author,
        subject=frame.subject,
        creator="Basenote",
        lang="en-US",
        invariant=1,
        displayDocTitle=True,
        pageCompression=1,
    )

    def each_page(canvas: Any, _: Any) -> None:
        canvas.saveState()
        _header(canvas, frame)
        _footer(canvas, frame)
        canvas.restoreState()

    bottom, top = MARGIN_PT + FOOTER_PT - 10, height - MARGIN_PT - HEADER_PT + 10
    room = Frame(MARGIN_PT, bottom, width - 2 * MARGIN_PT, top - bottom, 0, 0, 0, 0)
    document.addPageTemplates(PageTemplate("page", [room], onPage=each_page))
    document.build(story, canvasmaker=_CountedCanvas)
    return out.getvalue()


def _header(canvas: Any, frame: SummaryFrame) -> None:
    width, height = page_size_pt(frame.units)
    base, right = height - MARGIN_PT, width - MARGIN_PT
    canvas.setFillColor(INK)
    canvas.setFont(BOLD, 9)
    canvas.drawRightString(right, base, frame.right)
    canvas.setFont(REGULAR, 9)
    room = width - 2 * MARGIN_PT - text_width_pt(frame.right, BOLD, 9) - 20
    canvas.drawString(MARGIN_PT, base, fitted(frame.left, REGULAR, 9, room))
    _rule(canvas, base - 6, width, 1.2)


def _footer(canvas: Any, frame: SummaryFrame) -> None:
    width, _ = page_size_pt(frame.units)
    right = width - MARGIN_PT
    _rule(canvas, MARGIN_PT + 16, width, 0.5)
    canvas.setFillColor(SOFT)
    canvas.setFont(REGULAR, 7)
    canvas.drawString(MARGIN_PT, MARGIN_PT + 6, "journal digest")
    canvas.setFont(MONO, 6.5)
    canvas.drawString(MARGIN_PT + 50, MARGIN_PT + 6, frame.digest)
    canvas.setFont(REGULAR, 7)
    canvas.drawString(MARGIN_PT, MARGIN_PT - 4, fitted(frame.printed, REGULAR, 7, width - 2 * MARGIN_PT - 90))
    canvas.setFont(BOLD, _PAGE_PT)
    canvas.setFillColor(INK)
    total = right - text_width_pt("of 0000", BOLD, _PAGE_PT)
    canvas.drawRightString(total - 2.2, MARGIN_PT - 4, f"page {canvas.getPageNumber()}")
    canvas.saveState()
    canvas.translate(total, MARGIN_PT - 4)
    canvas.doForm(_TOTAL)
    canvas.restoreState()


def _rule(canvas: Any, y: float, width: float, weight: float) -> None:
    canvas.setStrokeColor(INK if weight > 1 else HAIR)
    canvas.setLineWidth(weight)
    canvas.line(MARGIN_PT, y, width - MARGIN_PT, y)
