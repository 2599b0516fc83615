"""What the designer has decided on the base, or that nothing is decided yet; and what a standing means."""

from __future__ import annotations

from typing import Final

from reportlab.platypus import Flowable

from fieldapp.criteria.finding import Standing
from fieldapp.record.words import Decision
from reports.facts import ShaftFacts
from reports.fonts import BOLD, markup
from reports.quantities import Shown
from reports.sections import heading
from reports.style import BODY, NUMBER, Passage, words

STANDING_MEANS: Final = {
    Standing.CLEAN: "Every asked finding is met. Meeting a limit is not the same as full stiffness: the "
    "estimate of the credit stands beside it.",
    Standing.REWORK: "The hole is open, and a finding is not met that work on the hole can mend. Until then "
    "the base is not accepted as it is.",
    Standing.REDUCED: "A finding is not met and no more work can mend it; the evidence is enough to quantify "
    "what the base carries, and the credit is the designer's to state.",
    Standing.NOT_SHOWN: "Something that is asked was not observed, is stale or is one-sided. What the base "
    "is like is unknown, and unknown is not clean.",
    Standing.NOT_CREDITABLE: "The evidence or the ground excludes base resistance, whatever else is met.",
}
_DIGEST_SHOWN: Final = 16


def disposition_part(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    """The disposition with who and when, what it rests on and why; "none yet" before there is one."""
    parts = heading("Disposition", 60)
    line = facts.stated
    if line is None:
        says = "No disposition by a designer on the roster is in the record."
        return [*parts, words("None yet", NUMBER), words(says, BODY)]
    stated, entry = line.values, line.original
    word = str(stated.decision).capitalize()
    if stated.decision is Decision.REDUCED_CREDIT:
        word += f": {stated.credit} at {stated.displacement} of base displacement"
    elif stated.displacement is not None:
        word += f", at {stated.displacement} of base displacement"
    parts.append(words(word, NUMBER))
    by = f"{entry.draft.author}, {shown.zoned(line.observed_at)} (entry {entry.seq} of {entry.device})"
    rests = f"record {stated.basis.record_digest[:_DIGEST_SHOWN]}, as it was when deciding"
    for label, text in (("by", by), ("why", stated.why), ("rests on", rests)):
        parts.append(Passage(f'<font name="{BOLD}">{label}:</font> {markup(text)}', BODY))
    return parts
