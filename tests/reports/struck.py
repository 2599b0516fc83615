"""Finds the words of a PDF that have a line drawn through them."""

from __future__ import annotations

import pypdfium2
from pypdfium2 import raw

TALLEST_LINE_PT = 2.1


def struck_words(pdf: bytes) -> str:
    """Text under every thin horizontal line that crosses the middle of letters."""
    document = pypdfium2.PdfDocument(pdf)
    found = []
    for page in document:
        words = page.get_textpage()
        for each in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
            left, bottom, right, top = each.get_bounds()
            if top - bottom <= TALLEST_LINE_PT and right - left > 5:
                middle = (bottom + top) / 2
                found.append(words.get_text_bounded(left, middle - 3, right, middle + 3))
    document.close()
    return "\n".join(found)
