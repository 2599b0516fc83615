"""What every page carries: project, shaft and standing above; digest, printing and page number below.

Pages are laid out once.  Their numbers are written last, when it is known how many there are.
"""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from typing import Any

from reportlab import rl_config
from reportlab.graphics.shapes import STATE_DEFAULTS
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate
from reportlab.platypus.tables import CellStyle

from fieldapp.record.words import UnitSystem
from reports.fonts import BOLD, MONO, REGULAR, fitted, text_width_pt
from reports.marks import StateMark
from reports.style import FOOTER_PT, HAIR, HEADER_PT, INK, MARGIN_PT, SOFT, page_size_pt

# Pages, drawings and cells of tables begin with a font, used or not.  The library's own would be named in
# every paper and is in none, so that a reader's program would have to find one.
STATE_DEFAULTS["fontName"] = CellStyle.fontname = REGULAR
rl_config.useA85 = 0  # base 85 over compressed pages only makes them larger and slower to read


@dataclass(frozen=True, slots=True)
class PageFrame:
    """The words of header and footer, and the document's own title, author and subject.

    Without a ``state`` no shape stands before the word; ``digest_name`` says of what the digest is.
    """

    units: UnitSystem
    title: str
    author: str
    subject: str
    left: str
    state: str
    word: str
    digest: str
    printed: str
    digest_name: str = "record digest"


class _NumberedCanvas(Canvas):  # type: ignore[misc]  # the library has no types
    """Writes on every page which it is of how many, once that is known."""

    _code: list[str]

    def save(self) -> None:
        if self._code:
            self.showPage()
        pages = self._doc.Pages.pages
        for number, page in enumerate(pages, 1):
            self.saveState()
            self.setFont(BOLD, 8)
            self.setFillColor(INK)
            right = self._pagesize[0] - MARGIN_PT
            self.drawRightString(right, MARGIN_PT - 4, f"page {number} of {len(pages)}")
            self.restoreState()
            page.stream += "\n".join(self._code) + "\n"
            self._code = []
        super().save()


def build(story: list[Flowable], frame: PageFrame) -> tuple[bytes, int]:
    """The document, and how many pages it has."""
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
        initialFontName=REGULAR,
        invariant=1,
        displayDocTitle=True,
        pageCompression=1,
    )

    def each_page(canvas: Any, _: Any) -> None:
        canvas.saveState()
        _header(canvas, frame)
        _footer(canvas, frame)
        canvas.restoreState()

    document.addPageTemplates(PageTemplate("page", [_room(width, height)], onPage=each_page))
    document.build(story, canvasmaker=_NumberedCanvas)
    return out.getvalue(), document.page


def _room(width: float, height: float) -> Frame:
    """What header, footer and margins leave of the page, without padding."""
    bottom = MARGIN_PT + FOOTER_PT - 10
    top = height - MARGIN_PT - HEADER_PT + 10
    return Frame(MARGIN_PT, bottom, width - 2 * MARGIN_PT, top - bottom, 0, 0, 0, 0)


def _header(canvas: Any, frame: PageFrame) -> None:
    width, height = page_size_pt(frame.units)
    base, right = height - MARGIN_PT, width - MARGIN_PT
    word_pt = text_width_pt(frame.word, BOLD, 9)
    canvas.setFillColor(INK)
    canvas.setFont(BOLD, 9)
    canvas.drawRightString(right, base, frame.word)
    if frame.state:
        StateMark(frame.state).drawOn(canvas, right - word_pt - 14, base - 1)
    canvas.setFont(REGULAR, 9)
    room = width - 2 * MARGIN_PT - word_pt - 30
    canvas.drawString(MARGIN_PT, base, fitted(frame.left, REGULAR, 9, room))
    _rule(canvas, base - 6, width, 1.2)


def _footer(canvas: Any, frame: PageFrame) -> None:
    width, _ = page_size_pt(frame.units)
    _rule(canvas, MARGIN_PT + 16, width, 0.5)
    canvas.setFillColor(SOFT)
    canvas.setFont(REGULAR, 7)
    canvas.drawString(MARGIN_PT, MARGIN_PT + 6, frame.digest_name)
    canvas.setFont(MONO, 6.5)
    canvas.drawString(MARGIN_PT + 46, MARGIN_PT + 6, frame.digest)
    canvas.setFont(REGULAR, 7)
    room = width - 2 * MARGIN_PT - 80
    canvas.drawString(MARGIN_PT, MARGIN_PT - 4, fitted(frame.printed, REGULAR, 7, room))


def _rule(canvas: Any, y: float, width: float, weight: float) -> None:
    canvas.setStrokeColor(INK if weight > 1 else HAIR)
    canvas.setLineWidth(weight)
    canvas.line(MARGIN_PT, y, width - MARGIN_PT, y)
