"""Three empty boxes for signatures, and where on paper they came to stand.

The boxes are drawn empty: what a signature shows is drawn into them when somebody signs.
"""

from __future__ import annotations

from typing import Any, Final

from reportlab.platypus import CallerMacro, Flowable, KeepTogether, Spacer

from reports.facts import Box, FieldPlace, ShaftLogFacts
from reports.fonts import REGULAR
from reports.sections import bookmark
from reports.style import BODY, CAPTION, HEADING, INK, SOFT, text_width, words

FIELDS: Final = (
    ("Inspector", "inspector: recorded as seen"),
    ("ResidentEngineer", "resident engineer: record reviewed"),
    ("Designer", "designer: record received"),
)
BOX_PT: Final = (170.0, 72.0)
_CAPTION_PT: Final = 7.5


def signatures(facts: ShaftLogFacts, places: list[FieldPlace]) -> list[Flowable]:
    """The boxes, kept together; drawing them writes their places into ``places``."""
    width = text_width(facts.setup.units)
    step = BOX_PT[0] + (width - len(FIELDS) * BOX_PT[0]) / (len(FIELDS) - 1)

    def draw(flowable: Any) -> None:
        for i, (name, caption) in enumerate(FIELDS):
            places.append(_box(flowable.canv, name, caption, i * step))

    says = "Signed in the file by digital signature; a box that shows nothing is not signed."
    room = Spacer(1, BOX_PT[1] + 14)
    block = [words("Signatures", HEADING), words(says, BODY), room, CallerMacro(draw)]
    return [KeepTogether([bookmark("Signatures"), *block, Spacer(1, 2), words("", CAPTION)])]


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
