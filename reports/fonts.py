"""Fonts of the paper, embedded: Roboto for text, Roboto Mono for digests.

Both come with Kivy, which is found but not imported; Roboto is under the Apache License 2.0.  A letter that
Roboto lacks is set in DejaVu Sans (free licence, also with Kivy), and one that neither has is written as its
code point, so that nothing disappears.
"""

from __future__ import annotations

from functools import lru_cache
from importlib.util import find_spec
from itertools import groupby
from pathlib import Path
from typing import Final
from xml.sax.saxutils import escape

from reportlab.lib.fonts import addMapping
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

REGULAR: Final = "Basenote-Regular"
BOLD: Final = "Basenote-Bold"
ITALIC: Final = "Basenote-Italic"
MONO: Final = "Basenote-Mono"
SPARE: Final = "Basenote-Spare"
_FILES: Final = {
    REGULAR: "Roboto-Regular.ttf",
    BOLD: "Roboto-Bold.ttf",
    ITALIC: "Roboto-Italic.ttf",
    MONO: "RobotoMono-Regular.ttf",
    SPARE: "DejaVuSans.ttf",
}
_ELLIPSIS: Final = "..."


class FontsMissing(RuntimeError):
    """The fonts that come with Kivy were not found; no report can be made without them."""


@lru_cache(maxsize=1)
def register_fonts() -> None:
    """Make the fonts known to ReportLab, once.  Raises FontsMissing, naming the file."""
    folder = _font_folder()
    for name, file_name in _FILES.items():
        path = folder / file_name
        if not path.is_file():
            raise FontsMissing(
                f"The font {file_name} is not in {folder}. Nothing was made; install Kivy again."
            )
        pdfmetrics.registerFont(TTFont(name, path))
    for bold, italic, name in ((0, 0, REGULAR), (1, 0, BOLD), (0, 1, ITALIC), (1, 1, BOLD)):
        addMapping(REGULAR, bold, italic, name)
    for bold in (0, 1):
        for italic in (0, 1):
            addMapping(SPARE, bold, italic, SPARE)
            addMapping(MONO, bold, italic, MONO)


def markup(text: str) -> str:
    """Paragraph markup of plain text: escaped, line breaks kept, missing letters in the spare font."""
    if text.isascii() and text.replace("\n", "").isprintable():  # no need to look at each letter
        return escape(text).replace("\n", "<br/>")
    parts = []
    for spare, run in groupby(_visible(text), key=_needs_spare):
        words = escape("".join(run)).replace("\n", "<br/>").replace("\t", "    ")
        parts.append(f'<font name="{SPARE}">{words}</font>' if spare else words)
    return "".join(parts)


def plain(text: str) -> str:
    """Text for a single drawn line in Roboto: what Roboto lacks is written as its code point."""
    flat = " ".join(text.split())
    return "".join(_code(letter) if _needs_spare(letter) else letter for letter in flat)


def fitted(text: str, font: str, size_pt: float, width_pt: float) -> str:
    """The text as ``plain`` gives it, shortened with dots to the width [pt]."""
    whole = plain(text)
    if text_width_pt(whole, font, size_pt) <= width_pt:
        return whole
    kept = whole
    while kept and text_width_pt(kept + _ELLIPSIS, font, size_pt) > width_pt:
        kept = kept[:-1]
    return kept.rstrip() + _ELLIPSIS


def text_width_pt(text: str, font: str, size_pt: float) -> float:
    """Width of a drawn line [pt]."""
    return float(pdfmetrics.stringWidth(text, font, size_pt))


def _font_folder() -> Path:
    found = find_spec("kivy")
    places = list(found.submodule_search_locations or ()) if found is not None else []
    if not places:
        raise FontsMissing("Kivy is not installed, and its fonts with it. Nothing was made; install Kivy.")
    return Path(places[0]) / "data" / "fonts"


def _visible(text: str) -> str:
    return "".join(
        letter if letter in "\n\t" or _has(REGULAR, letter) or _has(SPARE, letter) else _code(letter)
        for letter in text
    )


def _needs_spare(letter: str) -> bool:
    return letter not in "\n\t" and not _has(REGULAR, letter)


def _has(font: str, letter: str) -> bool:
    return ord(letter) in pdfmetrics.getFont(font).face.charToGlyph


def _code(letter: str) -> str:
    return f"[U+{ord(letter):04X}]"
