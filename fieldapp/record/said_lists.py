"""Words of the record in a row, in English as everywhere, which a screen can say in another language."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from fieldapp.record.said import Said, said

_BEFORE_A_VOWEL: Final = re.compile(r"\b([Aa]) (?=[aeiou])")


def word(text: str, /) -> Said:
    """A word of the record that stands in a sentence; it is translated where a translation is known."""
    if isinstance(text, Said):
        return text
    return said(str(text).replace("{", "{{").replace("}", "}}"))


def listed(words: Iterable[str], /) -> Said:
    """Words with commas between them: ``a, b, c``; empty when there are none."""
    found: Said | None = None
    for each in words:
        found = word(each) if found is None else said("{first}, {then}", first=found, then=word(each))
    return found if found is not None else word("")


def first_few(names: Iterable[str], most: int = 12) -> Said:
    """The first names with commas between them, and how many more there are; ``none yet`` for none."""
    found = list(names)
    if not found:
        return said("none yet")
    shown = word(", ".join(found[:most]))
    if len(found) <= most:
        return shown
    return said("{names} and {count} more", names=shown, count=len(found) - most)


def either(words: Iterable[str], /) -> Said:
    """Words to choose from: ``a or b or c``; empty when there are none."""
    found: Said | None = None
    for each in words:
        found = word(each) if found is None else said("{first} or {other}", first=found, other=word(each))
    return found if found is not None else word("")


def sentences(said_before: Iterable[str], /) -> Said:
    """Whole sentences one after the other; empty when there are none."""
    found: Said | None = None
    for each in said_before:
        found = word(each) if found is None else said("{first} {then}", first=found, then=word(each))
    return found if found is not None else word("")


def with_an(sentence: Said, /) -> Said:
    """The same sentence with ``an`` before a vowel in its English: ``that takes an inspector``."""
    return sentence.written(_BEFORE_A_VOWEL.sub(r"\1n ", sentence))
