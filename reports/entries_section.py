"""Every entry of the shaft in order of observation, as it was read, with what became of it."""

from __future__ import annotations

from typing import Any, Final

from reportlab.platypus import Flowable, Spacer

from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.fold import waiting_changes
from fieldapp.record.setup import Instrument
from reports.entry_text import Telling
from reports.facts import ShaftFacts
from reports.quantities import Shown
from reports.sections import heading
from reports.style import BODY, CAPTION, CELL, HAIR, Passage, ruled_table, text_width, words
from reports.told_line import ToldLine, late_after, place_of, told_change, told_line

_WHEN_PT: Final = 62.0
_WHO_PT: Final = 104.0
_TOLD_FIRST: Final = 2
# Entries up to this many letters and paragraphs stay on one page; longer ones may break.
_KEPT_WHOLE: Final = 2000
_KEPT_ROWS: Final = 20


def entries_section(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    """A table of all entries; times are local to the project, and rows break over pages."""
    parts = heading("Entries", 110)
    entries = facts.record.entries
    if not entries:
        return [*parts, words("No entry is in the record of this shaft.", BODY)]
    telling = Telling(shown, {each.id: place_of(each) for each in entries})
    late = late_after(facts.setup.acceptance)
    lines = sorted(facts.record.lines, key=lambda each: (each.observed_at, each.original.order))
    told = [told_line(each, telling, late) for each in lines]
    told += [told_change(each, telling) for each in waiting_changes(entries)]
    says = f"{_count(facts)}, in order of observation; times of {shown.zone_name}, values as read."
    parts += [words(says, CAPTION), Spacer(1, 3)]
    return [*parts, _table(told, text_width(facts.setup.units))]


def instruments_section(facts: ShaftFacts, shown: Shown) -> list[Flowable]:
    """Checks of the instruments that the record names; nothing when none was handed in."""
    named = " ".join(each.sealed.decode() for each in facts.record.entries)
    used = [each for each in facts.instruments if f'"{each.values.label}"' in named]
    if not used:
        return []
    names = ("instrument", "type", "check", "result", "checked", "by")
    rows: list[list[Any]] = [[words(each, CAPTION) for each in names]]
    for each in used:
        values: Instrument = each.values
        offset = f"; zero offset {shown.reading(values.zero_offset)}" if values.zero_offset else ""
        cells = (
            values.label,
            str(values.type),
            values.check + offset,
            "passed" if values.passed else "failed",
            shown.moment(each.observed_at),
            each.original.draft.author,
        )
        rows.append([words(cell, CELL) for cell in cells])
    width = text_width(facts.setup.units)
    shares = (0.15, 0.13, 0.30, 0.09, 0.16, 0.17)
    return [*heading("Instruments"), ruled_table(rows, [width * share for share in shares])]


def _count(facts: ShaftFacts) -> str:
    entries = facts.record.entries
    kinds = ((Amend, "amendment"), (Strike, "strike"))
    counts = [(sum(isinstance(each.values, kind) for each in entries), name) for kind, name in kinds]
    among = [_number(count, name) for count, name in counts if count]
    contested = len(facts.record.contested)
    among += [f"{contested} contested and not counted until settled"] if contested else []
    return _number(len(entries), "entry") + (f" ({', '.join(among)})" if among else "")


def _number(count: int, name: str) -> str:
    return f"{count} {name if count == 1 else name.replace('entry', 'entrie') + 's'}"


def _table(told: list[ToldLine], width: float) -> Flowable:
    """One row a paragraph, so that an entry of any length can break over pages."""
    rows: list[list[Any]] = [
        [words(name, CAPTION) for name in ("observed", "entry", "author, device, number")]
    ]
    commands: list[tuple[Any, ...]] = [
        ("TOPPADDING", (0, 1), (-1, -1), 0),
        ("BOTTOMPADDING", (0, 1), (-1, -1), 1),
        ("FONTSIZE", (0, 1), (-1, -1), 1),
        ("LEADING", (0, 1), (-1, -1), 1),
    ]
    for each in told:
        first = len(rows)
        head = [Passage(text, CELL) for text in each.paragraphs[:_TOLD_FIRST]]
        when, who = ([Passage(text, CELL) for text in column] for column in (each.when, each.who))
        rows.append([when, head, who])
        rows += [["", Passage(text, CELL), ""] for text in each.paragraphs[_TOLD_FIRST:]]
        last = len(rows) - 1
        commands.append(("TOPPADDING", (0, first), (-1, first), 4))
        commands.append(("BOTTOMPADDING", (0, last), (-1, last), 4))
        commands.append(("LINEBELOW", (0, last), (-1, last), 0.5, HAIR))
        if sum(map(len, each.paragraphs)) <= _KEPT_WHOLE and len(each.paragraphs) <= _KEPT_ROWS:
            commands.append(("NOSPLIT", (0, first), (-1, last)))
    table = ruled_table(rows, [_WHEN_PT, width - _WHEN_PT - _WHO_PT, _WHO_PT], *commands)
    table.splitInRow = 0
    return table
