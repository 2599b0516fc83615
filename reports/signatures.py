"""Empty boxes for signatures, and where on paper they came to stand.

The boxes are drawn empty: what a signature shows is drawn into them when somebody signs.
"""

from __future__ import annotations

from typing import Any, Final

from reportlab.platypus import CallerMacro, Flowable, KeepTogether, Spacer

from fieldapp.record.words import UnitSystem
from reports.facts import Box, FieldPlace
from reports.fonts import REGULAR
from reports.sections import bookmark
from reports.style import BODY, CAPTION, HEADING, INK, SOFT, text_width, words

Fields = tuple[tuple[str, str], ...]
"""Names of signature fields, each with the words under its box."""
BOX_PT: Final = (170.0, 72.0)
SAYS: Final = "Signed in the file by digital signature; a box that shows nothing is not signed."
_CAPTION_PT: Final = 7.5


def signatures(
    units: UnitSystem, places: list[FieldPlace], fields: Fields, says: str = SAYS
) -> list[Flowable]:
    """The boxes of at most three fields, kept together; drawing them writes their places into ``places``."""
    step = (text_width(units) - BOX_PT[0]) / 2
    title = "Signatures" if len(fields) > 1 else "Signature"
    block = [words(title, HEADING), words(says, BODY), *boxes(places, fields, step)]
    return [KeepTogether([bookmark(title), *block, Spacer(1, 2), words("", CAPTION)])]


def boxes(places: list[FieldPlace], fields: Fields, step_pt: float = 0.0) -> list[Flowable]:
    """The boxes alone, side by side a step apart."""

    def draw(flowable: Any) -> None:
        for i, (name, caption) in enumerate(fields):
            places.append(_box(flowable.canv, name, caption, i * step_pt))

    return [Spacer(1, BOX_PT[1] + 14), CallerMacro(draw)]


def _box(canvas: Any, name: str, caption: str, left: float) -> FieldPlace:
    width, height = BOX_PT
    bottom = _CAPTION_PT + 3
    canvas.setStrokeColor(INK)
    canvas.setLineWidth(0.8)
    canvas.rect(left, bottom, width, height, stroke=1, fill=0)
    canvas.setFont(REGULAR, _CAPTION_PT)
    canvas.setFillColor(SOFT)
    canvas.drawString(left, 1, caption)
    x, y = canvas.absolutePosition(left, bottom)
    box: Box = (round(x, 2), round(y, 2), round(x + width, 2), round(y + height, 2))
    return FieldPlace(name, canvas.getPageNumber() - 1, box)
