"""The words of a plain log: which names a field may be written by, and what was most likely meant.

Names come from the fields of the record itself (``from_depth`` is written ``from depth``), so a kind of
entry added there can be typed at once.  A list takes its singular too (``point``), and within a line a
name may be cut after its first word where only one field begins so (``first`` for ``first contact``).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import fields
from difflib import get_close_matches
from functools import lru_cache
from types import MappingProxyType
from typing import Final, get_origin

from fieldapp.record.codec import field_types
from fieldapp.record.reading import Impossible

_GAP: Final = re.compile(r"[ ]{2,}|[ ]*\t\s*")
_SINGULAR: Final = {"people": "person"}
# What a fluid is called on site by the mineral it is made of.
_OF_THE_TRADE: Final = {"bentonite": "mineral", "attapulgite": "mineral", "sepiolite": "mineral"}
_SHORTEST: Final = 3
_LONGEST_NAME_WORDS: Final = 4
EMPTY: Final = frozenset({"-", "...", "\N{HORIZONTAL ELLIPSIS}"})


class UnknownWord(ValueError):
    """A name that is none of those expected here."""

    def __init__(self, read: str, expected: str) -> None:
        self.read = read
        self.expected = expected
        super().__init__(f"read '{read}', expected {expected}")


@lru_cache(maxsize=128)
def names_in(made: type) -> Mapping[str, str]:
    """Every spelling under which a field of ``made`` may be written, with the field's own name."""
    hints = field_types(made)
    names = {each.name.replace("_", " "): each.name for each in fields(made)}
    for spelled, name in tuple(names.items()):
        if get_origin(hints[name]) is tuple:
            names.setdefault(_SINGULAR.get(spelled, spelled.removesuffix("s")), name)
    return MappingProxyType(names)


@lru_cache(maxsize=128)
def short_names_in(made: type) -> Mapping[str, str]:
    """As names_in, and cut after a word where only one field begins so; for pieces within a line."""
    full = names_in(made)
    names = dict(full)
    for short in {spelled.split()[0] for spelled in full} - full.keys():
        meant = {name for spelled, name in full.items() if spelled.startswith(f"{short} ")}
        if len(meant) == 1 and len(short) >= _SHORTEST:
            names[short] = meant.pop()
    return MappingProxyType(names)


def parts_of(text: str) -> list[str]:
    """Pieces of a line that stand two or more spaces, or a tab, apart."""
    return [each for each in _GAP.split(text.strip()) if each]


def split_field(text: str, names: Mapping[str, str]) -> tuple[str, str]:
    """Field and value of a line.  Raises UnknownWord for an unknown field, Impossible without a value."""
    head, *rest = _GAP.split(text.strip(), maxsplit=1)
    if _plain(head) in names:
        if not rest:
            raise Impossible(names[_plain(head)], "nothing", f"a value after '{head}'")
        return names[_plain(head)], rest[0].strip()
    found = split_words(text, names)
    if found is not None:
        return found
    known = one_of(_plain(head), names, shown=[name.replace("_", " ") for name in names.values()])
    raise UnknownWord(head, f"a field and its value with two spaces between; fields are {known}")


def split_words(text: str, names: Mapping[str, str]) -> tuple[str, str] | None:
    """Field and value where single spaces stand between them, or None when no field is named."""
    for count in range(_LONGEST_NAME_WORDS, 0, -1):
        pieces = text.split(maxsplit=count)
        spelled = _plain(" ".join(pieces[:count]))
        if len(pieces) > count and spelled in names:
            return names[spelled], pieces[count].strip()
    return None


def one_of(read: str, known: Iterable[str], shown: Iterable[str] | None = None) -> str:
    """The words known, and the one that was most likely meant."""
    words = list(known)
    meant = [_OF_THE_TRADE[each] for each in read.lower()[:60].split() if each in _OF_THE_TRADE]
    close = [each for each in meant if each in words] or get_close_matches(read.lower()[:60], words, n=1)
    hint = f"; did you mean '{close[0]}'?" if close else ""
    return ", ".join(dict.fromkeys(words if shown is None else shown)) + hint


def _plain(name: str) -> str:
    return " ".join(name.split()).lower().rstrip(":").rstrip()
