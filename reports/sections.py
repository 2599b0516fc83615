"""What every section starts with: a heading, a bookmark in the outline, room for its first lines."""

from __future__ import annotations

import re
from typing import Any

from reportlab.platypus import CallerMacro, CondPageBreak, Flowable, Paragraph

from reports.fonts import plain
from reports.style import HEADING, words


def heading(title: str, room_pt: float = 90.0) -> list[Flowable]:
    """A section heading; it moves to the next page when less than ``room_pt`` is left for what follows."""
    return [CondPageBreak(room_pt), bookmark(title), words(title, HEADING)]


def bookmark(title: str) -> CallerMacro:
    """A place in the outline of the document, without height."""
    key = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")

    def draw(flowable: Any) -> None:
        flowable.canv.bookmarkPage(key, fit="XYZ", top=flowable.canv.absolutePosition(0, 0)[1] + 14)
        flowable.canv.addOutlineEntry(plain(title), key, level=0)

    return CallerMacro(draw)


def stacked(*parts: Paragraph | None) -> list[Paragraph]:
    """Paragraphs of one cell, one below the other; None is left out."""
    return [each for each in parts if each is not None]
