"""An entry as its row and its page say it, in the chosen language.  Pure; knows no window."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from fieldapp.ui.moments import day_and_time, with_month
from fieldapp.ui.words import common
from fieldapp.ui.words import timeline as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.shaft.entry_told import Told
    from fieldapp.desk.shaft.timeline import TimelineEntry, Version

FIELDS_IN_A_ROW: Final = 4
LONGEST_IN_A_ROW: Final = 140
_NEEDS_NO_CAPTION: Final = ("text", "what", "caption", "statement", "decision", "method")


@dataclass(frozen=True, slots=True)
class Changed:
    """One field of an entry that was amended: its caption, what it said, what it says."""

    caption: str
    was: str
    now: str


def title_of(entry: TimelineEntry) -> str:
    """``Sounding round``."""
    return common.sentence(tr(entry.kind))


def summary_of(entry: TimelineEntry) -> str:
    """The first things that an entry says, on a line or two."""
    said = ", ".join(said_of(each) for each in entry.told[:FIELDS_IN_A_ROW])
    if len(said) <= LONGEST_IN_A_ROW:
        return said
    return f"{said[:LONGEST_IN_A_ROW].rsplit(' ', 1)[0]} ..."


def said_of(told: Told) -> str:
    """``density 66.4 pcf``."""
    text = text_of(told).replace("\n", ", ")
    return text if told.name in _NEEDS_NO_CAPTION else tr(words.SAID, caption=tr(told.caption), text=text)


def text_of(told: Told) -> str:
    """What one field says; a word of a closed list in the chosen language, a moment with its month."""
    if told.word:
        return "\n".join(tr(each) for each in told.text.split("\n"))
    return with_month(told.text)


def marks_of(entry: TimelineEntry, *, with_changes: bool = True) -> tuple[str, str]:
    """What is to be known of an entry beside what it says, and the state that its shape shows.

    ``with_changes`` is for a row: the page of an entry tells of each change by itself.
    """
    found = [*_state(entry), *(_change(entry) if with_changes else ()), *_making(entry)]
    shown = "not shown" if entry.contested or entry.waits else ""
    return "\n".join(found), shown


def _state(entry: TimelineEntry) -> Iterable[str]:
    if entry.waits:
        yield tr(words.WAITS)
    if entry.contested:
        yield tr(words.CONTESTED)


def _change(entry: TimelineEntry) -> Iterable[str]:
    if entry.struck:
        yield tr(words.STRUCK, why=entry.why)
    elif entry.amended and not entry.contested:
        yield tr(words.AMENDED, why=entry.why)


def _making(entry: TimelineEntry) -> Iterable[str]:
    if entry.late:
        yield tr(words.LATE, span=entry.late)
    if entry.confirmed:
        asked = (tr(words.QUESTIONS[each]) if each in words.QUESTIONS else each for each in entry.confirmed)
        yield tr(words.CONFIRMED, what=", ".join(asked))


def when_of(entry: TimelineEntry) -> str:
    """When it was observed."""
    return day_and_time(entry.observed_at)


def who_of(entry: TimelineEntry) -> str:
    """Author, device and number."""
    return tr(words.BY, author=entry.author, place=entry.place)


def changes_between(before: Version, after: Version) -> tuple[Changed, ...]:
    """The fields in which two versions differ, in the order of the form."""
    was, now = _texts(before), _texts(after)
    nothing = tr(words.NOTHING)
    return tuple(
        Changed(tr(caption), was.get(key, nothing), now.get(key, nothing))
        for key, caption in _captions(before, after).items()
        if was.get(key) != now.get(key)
    )


def _texts(version: Version) -> dict[str, str]:
    found = {each.name: text_of(each) for each in version.told}
    return {**found, "": day_and_time(version.observed_at)}


def _captions(before: Version, after: Version) -> dict[str, str]:
    found = {each.name: each.caption for each in (*before.told, *after.told)}
    return {**found, "": words.OBSERVED_CAPTION}
