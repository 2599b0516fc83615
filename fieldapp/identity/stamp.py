"""What a signature shows on paper: plain black lines of text in the box of its field.

pyHanko draws them in Courier, whose letters are all 0.6 em wide, so the fit is exact; a text that would
be smaller than 6 pt is refused.  The font shows Western European letters: others lose their accents or
become "?", and then the stamp says that the certificate has the full text.
"""

from __future__ import annotations

import textwrap
import unicodedata

from pyhanko.pdf_utils.content import PdfContent, RawContent
from pyhanko.pdf_utils.layout import AxisAlignment, InnerScaling, Margins, SimpleBoxLayoutRule
from pyhanko.pdf_utils.text import TextBoxStyle
from pyhanko.stamp import TextStampStyle

from fieldapp.identity.drawn import WIDTH_SHARE, Drawing, strokes
from fieldapp.identity.errors import FieldProblem
from fieldapp.record.said import said

LETTER_WIDTH_EM = 0.6
DESCENT_EM = 0.25
MARGIN_PT = 3
LARGEST_PT = 11
SMALLEST_PT = 6
FULL_TEXT_ELSEWHERE = "(full text: see certificate)"
PLAIN = str.maketrans(
    {"‐": "-", "‑": "-", "–": "-", "—": "-", "−": "-", "‘": "'", "’": "'", "“": '"', "”": '"'}
)

UNACCENTED = {"Ł": "L", "ł": "l", "Đ": "D", "đ": "d", "Ħ": "H", "ħ": "h", "ı": "i", "Œ": "O", "œ": "o"}


def shown(line: str) -> str:
    """The line in the letters that the stamp's font has."""
    return "".join(_letter(each) for each in unicodedata.normalize("NFC", line).translate(PLAIN))


def stamp_lines(lines: tuple[str, ...]) -> tuple[str, ...]:
    """The lines as they can be shown, with a last one that says so when letters were lost."""
    seen = tuple(shown(line) for line in lines)
    plain = tuple(unicodedata.normalize("NFC", line).translate(PLAIN) for line in lines)
    return seen if seen == plain else (*seen, FULL_TEXT_ELSEWHERE)


def fit(lines: tuple[str, ...], width_pt: float, height_pt: float) -> tuple[int, tuple[str, ...]]:
    """The largest font size [pt], and the wrapped lines, with which the text fits the box [pt].

    Raises
    ------
    FieldProblem
        When the text would be smaller than 6 pt.
    """
    for size_pt in range(LARGEST_PT, SMALLEST_PT - 1, -1):
        columns = int((width_pt - 2 * MARGIN_PT) / (LETTER_WIDTH_EM * size_pt))
        if columns < 1:
            continue
        wrapped = tuple(part for line in lines for part in textwrap.wrap(line, columns))
        needed_pt = len(wrapped) * _leading_pt(size_pt) + DESCENT_EM * size_pt
        if needed_pt <= height_pt - 2 * MARGIN_PT:
            return size_pt, wrapped
    raise FieldProblem(
        said(
            "The signature box of {width_pt:.0f} by {height_pt:.0f} points is too small "
            "for what it must show. Nothing was signed; give the page a larger box.",
            width_pt=width_pt,
            height_pt=height_pt,
        )
    )


def text_width_pt(width_pt: float, drawing: Drawing) -> float:
    """How much of the width of the box [pt] the text has; a drawn signature takes the right of it."""
    return width_pt * (1 - WIDTH_SHARE) if drawing else width_pt


def drawn_content(drawing: Drawing, width_pt: float, height_pt: float) -> PdfContent | None:
    """The drawn signature as paths at the right of a box of this size [pt], or None without one."""
    if not drawing:
        return None
    room_pt = width_pt * WIDTH_SHARE - MARGIN_PT
    at = b"1 0 0 1 %.2f %d cm " % (width_pt - room_pt - MARGIN_PT, MARGIN_PT)
    return RawContent(at + strokes(drawing, room_pt, height_pt - 2 * MARGIN_PT))


def style(size_pt: int, background: PdfContent | None = None) -> TextStampStyle:
    """Black text at the left of the box, no frame, no picture; the text itself is the parameter `text`."""
    still = SimpleBoxLayoutRule(
        x_align=AxisAlignment.ALIGN_MIN,
        y_align=AxisAlignment.ALIGN_MIN,
        inner_content_scaling=InnerScaling.NO_SCALING,
    )
    placed = SimpleBoxLayoutRule(
        x_align=AxisAlignment.ALIGN_MIN,
        y_align=AxisAlignment.ALIGN_MAX,
        margins=Margins(MARGIN_PT, MARGIN_PT, MARGIN_PT, MARGIN_PT),
        inner_content_scaling=InnerScaling.NO_SCALING,
    )
    text = TextBoxStyle(font_size=size_pt, leading=_leading_pt(size_pt), box_layout_rule=still)
    return TextStampStyle(
        border_width=0,
        background=background,
        background_layout=SimpleBoxLayoutRule(
            x_align=AxisAlignment.ALIGN_MIN, y_align=AxisAlignment.ALIGN_MIN
        ),
        background_opacity=1.0,
        text_box_style=text,
        inner_content_layout=placed,
        stamp_text="%(text)s",
    )


def _leading_pt(size_pt: int) -> int:
    return size_pt + 1


def _letter(letter: str) -> str:
    if _in_font(letter):
        return letter
    base = UNACCENTED.get(letter) or unicodedata.normalize("NFKD", letter)[0]
    return base if _in_font(base) else "?"


def _in_font(letter: str) -> bool:
    # what PDFDocEncoding, in which pyHanko writes, and WinAnsiEncoding, in which it is drawn, share
    return " " <= letter <= "~" or ("\xa1" <= letter <= "\xff" and letter != "\xad")
