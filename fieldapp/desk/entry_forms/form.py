"""What a form is: fields to be typed, each with its units, limit, plausible range and last value.

Everything typed is text.  A number may end in its unit (``18.75 m``); without one it is in the unit that
the field shows, or in feet and inches when it has their marks.  Moments are ISO 8601 with their offset,
yes and no are ``yes`` and ``no``, several words stand one a line, a place is ``25 in; 90 deg``.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

OBSERVED_AT: Final = "observed_at"
WHY: Final = "why"
SHAFT: Final = "shaft"


class Ask(StrEnum):
    """How a field is asked for."""

    READING = "reading"
    COUNT = "count"
    TEXT = "text"
    CHOICE = "choice"
    SEVERAL = "several"
    YES_NO = "yes or no"
    MOMENT = "moment"
    PICTURE = "picture"
    PLACE = "place"


@dataclass(frozen=True, slots=True)
class Option:
    """One word to choose: as it is kept, and as it is shown."""

    value: str
    caption: str


@dataclass(frozen=True, slots=True)
class FormField:
    """One thing to type.

    ``unit`` is the one shown and ``units`` are all it may be typed in, that one first.  ``limit`` is what
    the acceptance set asks of this very field, ``plausible`` the least and most likely value in ``unit``,
    ``last`` what was recorded of it last on this shaft, ``tells`` a hint.  Options of a text are suggestions.
    """

    name: str
    caption: str
    ask: Ask
    needed: bool = False
    unit: str = ""
    units: tuple[str, ...] = ()
    options: tuple[Option, ...] = ()
    limit: str = ""
    plausible: tuple[str, str] | None = None
    last: str = ""
    tells: str = ""
    long: bool = False


@dataclass(frozen=True, slots=True)
class EntryForm:
    """An entry to be made, or amended when it has a ``target``.

    ``timer`` names the two moments that a stopwatch fills (``started_at/ended_at``) or the one span of time
    (``window``).  ``given`` are texts that stand where nothing is typed, such as the number of the next pass.
    """

    kind: str
    title: str
    shaft: str | None
    fields: tuple[FormField, ...]
    caution: str = ""
    timer: str = ""
    target: str = ""
    parents: tuple[str, ...] = ()
    given: tuple[tuple[str, str], ...] = ()

    def field(self, name: str) -> FormField:
        """The field of this name.  Raises KeyError."""
        for each in self.fields:
            if each.name == name:
                return each
        raise KeyError(name)


@dataclass(frozen=True, slots=True)
class FieldAnswer:
    """What the limits say of what was typed so far: the field or fact it is about, outcome, one sentence.

    ``outcome`` is a word of findings; empty for a fact that no limit is held against.
    """

    name: str
    outcome: str
    says: str
