"""What every paper of a shaft is built with.

The same facts give the same bytes.  Signature boxes are left empty and their places handed back.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from reportlab.platypus import Flowable

from reports.facts import FieldPlace, Report, ShaftFacts
from reports.fonts import register_fonts
from reports.marks import STANDING_MARK
from reports.pages import PageFrame, build
from reports.quantities import Shown, shown_by

Story = Callable[[Shown, list[FieldPlace]], list[Flowable]]


@dataclass(frozen=True, slots=True)
class Kind:
    """What a kind of paper calls itself (``base cleanliness log``), in title and header."""

    name: str

    def title(self, facts: ShaftFacts) -> str:
        """The title of the document: which shaft, and what."""
        return f"Shaft {facts.record.id}: {self.name}"


def shaft_paper(facts: ShaftFacts, kind: Kind, story: Story) -> Report:
    """The pages of a story, US letter for US units and A4 for SI, with the places of its signatures.

    Raises FontsMissing when the fonts that come with Kivy are not there.
    """
    places: list[FieldPlace] = []
    pdf, _ = _built(facts, kind, story, places)
    return Report(pdf, tuple(places))


def page_count(facts: ShaftFacts, kind: Kind, story: Story) -> int:
    """How many pages a story takes.  Raises FontsMissing."""
    return _built(facts, kind, story, [])[1]


def _built(facts: ShaftFacts, kind: Kind, story: Story, places: list[FieldPlace]) -> tuple[bytes, int]:
    register_fonts()
    shown = shown_by(facts.setup)
    return build(story(shown, places), _frame(facts, shown, kind))


def _frame(facts: ShaftFacts, shown: Shown, kind: Kind) -> PageFrame:
    shaft, standing = facts.record.id, facts.standing.standing
    return PageFrame(
        units=facts.setup.units,
        title=kind.title(facts),
        author=facts.printed_by,
        subject=f"{facts.setup.name}, shaft {shaft}: base standing {standing}",
        left=f"Shaft {shaft}, {facts.setup.name} ({facts.project_id})",
        state=STANDING_MARK[standing],
        word=str(standing).capitalize(),
        digest=facts.record_digest,
        printed=f"printed {shown.zoned(facts.printed_at)} by {facts.printed_by}; "
        "an unsigned copy unless the file carries a valid signature",
    )
