"""What a reader has to know: cautions handed in, what the digest means, what paper cannot say."""

from __future__ import annotations

from typing import Any, Final

from reportlab.platypus import Flowable, Spacer

from reports.facts import ShaftFacts
from reports.fonts import MONO, markup
from reports.sections import heading
from reports.style import BODY, CAPTION, CELL, DIGEST, SUBHEADING, Passage, ruled_table, text_width, words

DECIDES: Final = (
    "Contract documents, local codes and licensed engineers decide. This paper shows what was recorded and "
    "how it stands against the adopted limits; it is an aid to their judgment and never replaces it."
)
_ENGINEERS: Final = "licensed engineers decide"
UNSIGNED: Final = (
    "A page without a valid digital signature is an unsigned copy. Check signatures in the file itself; "
    "a printed signature proves nothing."
)
CLOCKS: Final = (
    "Times come from the clocks of the devices and are claims of the people who recorded them. The order of "
    "the journal does not rest on them."
)
DIGEST_MEANS: Final = (
    "The record digest is the SHA-256 over the hashes of all entries of this shaft in the order of folding. "
    "The same digest means the very same entries; any entry, amendment or strike made afterwards gives "
    "another one. It does not say who made the entries or whether they are true."
)
HEADS_MEAN: Final = (
    "Every device chains its entries by hash, so that none can be changed or left out unseen up to its "
    "last one:"
)


def cautions(facts: ShaftFacts) -> list[Flowable]:
    """The caution texts of the caller, then what holds for every paper."""
    return caution_texts(facts.cautions)


def caution_texts(handed_in: tuple[str, ...]) -> list[Flowable]:
    """The section of cautions; that licensed engineers decide stands in it once."""
    parts = heading("Cautions", 120)
    decides = () if any(_ENGINEERS in each for each in handed_in) else (DECIDES,)
    for text in (*handed_in, *decides, UNSIGNED, CLOCKS):
        parts += [words(text, BODY), Spacer(1, 3)]
    return parts


def integrity(facts: ShaftFacts) -> list[Flowable]:
    """The digest in full with its meaning, and the heads of the journal that the paper was made from."""
    parts = heading("Record digest and journal", 120)
    parts += [words(facts.record_digest, DIGEST), Spacer(1, 3), words(DIGEST_MEANS, BODY)]
    if facts.record.digest != facts.record_digest:
        says = "The digest handed in is not that of the entries shown here; do not rely on this copy."
        parts += [Spacer(1, 3), words(says, SUBHEADING)]
    parts += [Spacer(1, 4), words(HEADS_MEAN, BODY), Spacer(1, 3)]
    if not facts.heads:
        return [
            *parts,
            words("No journal head was handed in: completeness of the journal is not shown.", BODY),
        ]
    rows: list[list[Any]] = [[words(name, CAPTION) for name in ("device", "last entry", "hash")]]
    for each in sorted(facts.heads, key=lambda each: each.device):
        hash_text = Passage(f'<font name="{MONO}" size="7">{markup(each.hash)}</font>', CELL)
        rows.append([words(each.device, CELL), words(str(each.seq), CELL), hash_text])
    width = text_width(facts.setup.units)
    return [*parts, ruled_table(rows, [150, 60, width - 210])]
