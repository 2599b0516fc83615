"""What became of one entry, ready for paper: lines with what no longer holds struck through.

Old values stay readable, every change names who made it, where and why, and nothing that was recorded is
left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from fieldapp.criteria.limits import Case, limit_for
from fieldapp.record.acceptance import AcceptanceSet
from fieldapp.record.decisions import Amend, Strike
from fieldapp.record.entry import Entry
from fieldapp.record.fold import Line
from fieldapp.record.kinds import Values
from fieldapp.record.reading import Reading
from reports.entry_text import Telling, entry_lines
from reports.fonts import BOLD, markup
from reports.quantities import span_text

# Used only where the acceptance set gives no time after which an entry is late (judgment).
_LATE_AFTER: Final = Reading("1", "h")


@dataclass(frozen=True, slots=True)
class ToldLine:
    """Markup of one entry: when, who, then paragraphs."""

    when: tuple[str, ...]
    who: tuple[str, ...]
    paragraphs: tuple[str, ...]


def told_line(line: Line[Values], telling: Telling, late_after: timedelta) -> ToldLine:
    """One entry with its changes, its lateness and what its author confirmed, as markup."""
    paragraphs = [_bold(line.original.kind), *_marks(line, late_after)]
    paragraphs += _values(line, telling)
    return ToldLine(tuple(_when(line, telling)), tuple(_who(line.original)), tuple(paragraphs))


def told_change(change: Entry, telling: Telling) -> ToldLine:
    """An amendment or strike of an entry that the journal does not hold."""
    lines = [
        _bold(change.kind),
        "waits for an entry that is not in the journal",
    ]
    lines += [markup(each) for each in entry_lines(change.values, telling)]
    at = change.draft.observed_at
    when = (telling.shown.day(at), telling.shown.clock(at))
    return ToldLine(when, tuple(_who(change)), tuple(lines))


def late_after(accepted: AcceptanceSet) -> timedelta:
    """How long after it was observed an entry counts as late; one hour when the set does not say."""
    found = limit_for(accepted, "late_entry_after", Case())
    reading = found.reading if found is not None and found.reading is not None else _LATE_AFTER
    return timedelta(seconds=float(reading.si))


def _when(line: Line[Values], telling: Telling) -> Iterator[str]:
    shown, at, first = telling.shown, line.observed_at, line.original.draft.observed_at
    text = [_bold(shown.clock(at)), shown.day(at)]
    yield from (_struck(each) for each in text) if line.struck else text
    if first != at:
        yield _struck(shown.moment(first))


def _who(entry: Entry) -> Iterator[str]:
    yield _flat(entry.draft.author)
    yield markup(place_of(entry))


def place_of(entry: Entry) -> str:
    """Where an entry stands: device and number."""
    return f"{entry.device} {entry.seq}"


def _marks(line: Line[Values], late: timedelta) -> Iterator[str]:
    draft = line.original.draft
    lag = draft.recorded_at - line.observed_at
    if lag > late:
        yield f"{_bold('late entry:')} recorded {span_text(lag)} after it was observed"
    if draft.confirmed:
        asked = ", ".join(each.replace("-", " ") for each in draft.confirmed)
        yield f"{_bold('unlikely,')} asked about and confirmed: {markup(asked)}"
    if line.contested:
        yield f"{_bold('contested:')} amended twice, each without the other; counts for nothing until settled"


def _values(line: Line[Values], telling: Telling) -> Iterator[str]:
    last = () if line.struck else entry_lines(line.values, telling)
    before = entry_lines(line.original.values, telling)
    for each in before:
        yield markup(each) if each in last or line.contested else _struck(markup(each))
    for change in line.changes:
        yield _by(change, telling)
        if isinstance(change.values, Amend):
            says = entry_lines(change.values.says, telling)
            for each in says:
                if each not in before:
                    kept = each in last or line.contested
                    word = "says" if line.contested else "now"
                    yield f"{word}: {markup(each)}" if kept else f"then: {_struck(markup(each))}"
            before = says


def _by(change: Entry, telling: Telling) -> str:
    done = "struck" if isinstance(change.values, Strike) else "amended"
    at = telling.shown.moment(change.draft.recorded_at)
    why = change.values.why if isinstance(change.values, Amend | Strike) else ""
    text = f"{_bold(done)} {at} by {_flat(change.draft.author)} "
    text += f"({markup(place_of(change))}): {_flat(why)}"
    moved = change.values.observed_at if isinstance(change.values, Amend) else None
    return text + (f"; observed at {telling.shown.moment(moved)}" if moved is not None else "")


def _bold(text: str) -> str:
    return f'<font name="{BOLD}">{markup(text)}</font>'


def _struck(text: str) -> str:
    return f"<strike>{text}</strike>"


def _flat(text: str) -> str:
    return markup(" ".join(text.split()))
