"""The page of one entry: what it says, and every change of it with who made it, where and why."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from kivy.properties import BooleanProperty, NumericProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from fieldapp.ui import entry_rows
from fieldapp.ui.moments import day_and_time
from fieldapp.ui.screens.shaft_rows import ListHead
from fieldapp.ui.widgets.boxed import Hairline
from fieldapp.ui.widgets.notice import Notice
from fieldapp.ui.widgets.text import Caption, Title, Words
from fieldapp.ui.words import timeline as words
from fieldapp.ui.words.tongue import tr

if TYPE_CHECKING:
    from fieldapp.desk.shaft.timeline import TimelineEntry, Version


class Sentence(Words):
    """What is to be done in the place of an amendment."""


class FieldRow(BoxLayout):
    """Caption and text; ``was`` stands struck through before what holds."""

    em = NumericProperty("20sp")
    caption = StringProperty("")
    was = StringProperty("")
    text = StringProperty("")
    struck = BooleanProperty(False)


def page_rows(entry: TimelineEntry) -> Iterator[Widget]:
    """Everything about one entry, as rows of the middle."""
    yield Title(text=entry_rows.title_of(entry), strikethrough=entry.struck)
    yield Caption(text=entry_rows.who_of(entry))
    yield Caption(
        text=", ".join(
            (
                tr(words.OBSERVED, time=day_and_time(entry.observed_at)),
                tr(words.RECORDED, time=day_and_time(entry.recorded_at)),
            )
        )
    )
    marks, shown = entry_rows.marks_of(entry, with_changes=False)
    if marks:
        yield Notice(shown=shown, text=marks) if shown else Words(text=marks)
    if entry.contested:
        yield from _each_version(entry)
    else:
        yield from _changes(entry)
        yield from _fields(entry)
    if entry.instead:
        yield Sentence(text=tr(entry.instead))


def _fields(entry: TimelineEntry) -> Iterator[Widget]:
    yield Hairline()
    if len(entry.versions) > 1:
        yield ListHead(text=tr(words.SAID_LAST if entry.struck else words.SAYS_NOW))
    for each in entry.told:
        text = entry_rows.text_of(each)
        yield FieldRow(caption=tr(each.caption), text=text, struck=entry.struck)


def _changes(entry: TimelineEntry) -> Iterator[Widget]:
    """Was and is of every change, the latest first."""
    for before, after in reversed(list(pairwise(entry.versions))):
        yield Hairline()
        yield ListHead(text=_by(after))
        yield Words(text=tr(words.WHY, why=after.why))
        if not after.strikes:
            for each in entry_rows.changes_between(before, after):
                yield FieldRow(caption=each.caption, was=each.was, text=each.now)


def _each_version(entry: TimelineEntry) -> Iterator[Widget]:
    """All that is said of a contested entry, against what was said first; none of it holds."""
    first = entry.versions[0]
    yield Hairline()
    yield ListHead(text=tr(words.AS_MADE))
    for told in first.told:
        yield FieldRow(caption=tr(told.caption), text=entry_rows.text_of(told))
    for each in entry.versions[1:]:
        yield Hairline()
        yield ListHead(text=_by(each))
        yield Words(text=tr(words.WHY, why=each.why))
        if not each.strikes:
            for changed in entry_rows.changes_between(first, each):
                yield FieldRow(caption=changed.caption, text=changed.now)


def _by(version: Version) -> str:
    template = words.STRUCK_BY if version.strikes else words.CHANGED_BY
    return tr(template, author=version.author, place=version.place, time=day_and_time(version.recorded_at))
