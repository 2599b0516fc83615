"""Blocks of a plain log into entries, one after the other, with labels and times looked up.

A label can be meant by the lines below it only.  What a device records never goes back in time, except
where its clock was corrected: most often a ``day`` line is missing then.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Final

from fieldapp.exchange.plain_entry import PlainEntry
from fieldapp.exchange.plain_fields import NamedLine, named_lines
from fieldapp.exchange.plain_ids import plain_id
from fieldapp.exchange.plain_lines import Block
from fieldapp.exchange.plain_problem import Faults
from fieldapp.exchange.plain_says import (
    OF_EVERY_ENTRY,
    Marked,
    Says,
    amended,
    known_labels,
    names_for,
    says_of,
    struck,
    withdrawn,
)
from fieldapp.exchange.plain_times import read_moment
from fieldapp.exchange.plain_words import parts_of
from fieldapp.record.decisions import Amend, Strike, Withdrawal
from fieldapp.record.hole import Event
from fieldapp.record.kinds import PROJECT_KINDS
from fieldapp.record.reading import Impossible, check_text
from fieldapp.record.words import Happening

_CHANGES: Final = frozenset({Amend.KIND, Strike.KIND})


@dataclass(slots=True)
class Making:
    """Entries made so far, and what the next ones may refer to."""

    faults: Faults
    entries: list[PlainEntry] = field(default_factory=list)
    _marked: dict[str, Marked] = field(default_factory=dict)
    _alike: Counter[tuple[str, ...]] = field(default_factory=Counter)
    _latest: dict[str, datetime] = field(default_factory=dict)

    def take(self, block: Block) -> None:
        """Make the entry of a block, or note what is wrong with it."""
        self.faults.begin_entry()
        target = self._target(block)
        if block.kind in _CHANGES and target is None:
            return
        lines = named_lines(block.lines, names_for(block, target), self.faults)
        own = [each for each in lines if each.name in OF_EVERY_ENTRY]
        says = self._says(block, [each for each in lines if each.name not in OF_EVERY_ENTRY], target)
        shaft = self._shaft(block, target)
        if block.label in self._marked:
            self.faults.add(block.line, "label", f"#{block.label}", "a label that no entry above has")
        entry = self._entry(block, own, says, shaft) if says is not None else None
        if entry is not None:
            entry = replace(entry, places=tuple((_place_name(each), each.line) for each in lines))
        sound = entry is not None and not self.faults.of_entry
        if entry is not None and target is not None:
            entry = replace(entry, parents=(target.head,))
        self._mark(block, entry if sound else None)
        if entry is not None and sound:
            self.entries.append(entry)

    def _target(self, block: Block) -> Marked | None:
        if block.kind not in _CHANGES:
            return None
        target = self._marked.get(block.target)
        if target is None:
            expected = f"the label of an entry above, known are {known_labels(self._marked)}"
            self.faults.add(block.line, block.kind, f"#{block.target}", expected)
        elif target.struck:
            expected = "an entry that counts; this one was struck above, so write it anew"
            self.faults.add(block.line, block.kind, f"#{block.target}", expected)
        return target

    def _says(self, block: Block, lines: list[NamedLine], target: Marked | None) -> Says | None:
        if block.kind in _CHANGES:
            assert target is not None
            made = amended if block.kind == Amend.KIND else struck
            return made(block, lines, target, self.faults)
        if block.kind == Withdrawal.KIND:
            return withdrawn(block, lines, self._marked, self.faults)
        return says_of(block, lines, self.faults)

    def _shaft(self, block: Block, target: Marked | None) -> str | None:
        if block.kind in PROJECT_KINDS:
            return None
        if block.kind in _CHANGES:
            return target.shaft if target else None
        if block.shaft is None:
            expected = "a line 'shaft  ...' above, or 'shaft ...' before the kind of entry"
            self.faults.add(block.line, "shaft", "nothing", expected)
        return block.shaft

    def _entry(self, block: Block, own: list[NamedLine], says: Says, shaft: str | None) -> PlainEntry:
        heading = block.heading
        device, project = heading.device or "", heading.project or ""
        recorded_at = self._recorded(block, own, says)
        alike = (device, shaft or "", block.kind, block.at.isoformat())
        self._alike[alike] += 0 if block.label else 1
        apart = f"#{block.label}" if block.label else str(self._alike[alike])
        return PlainEntry(
            line=block.line,
            id=plain_id(block.at, (project, device, shaft or "", block.kind, apart)),
            label=block.label,
            device=device,
            author=self._author(own, heading.author or ""),
            shaft=shaft,
            kind=block.kind,
            observed_at=block.at,
            recorded_at=recorded_at,
            says=says,
            parents=(says.release,) if isinstance(says, Withdrawal) else (),
            confirmed=tuple(
                word.strip() for each in own if each.name == "confirmed" for word in each.value.split(",")
            ),
        )

    def _author(self, own: list[NamedLine], otherwise: str) -> str:
        for each in (line for line in own if line.name == "author"):
            try:
                check_text("author", each.value, 120)
            except Impossible as problem:
                self.faults.take(each.line, problem)
            return each.value
        return otherwise

    def _recorded(self, block: Block, own: list[NamedLine], says: Says) -> datetime:
        line, recorded_at = block.line, block.at
        for each in (other for other in own if other.name == "recorded"):
            line = each.line
            try:
                recorded_at = read_moment("recorded", each.value, block.ground)
            except Impossible as problem:
                self.faults.take(line, problem)
        if recorded_at < block.at:
            expected = f"a time not before {block.at:%Y-%m-%d %H:%M}, when it was observed"
            self.faults.add(line, "recorded", f"{recorded_at:%Y-%m-%d %H:%M}", expected)
        device = block.heading.device or ""
        latest = self._latest.get(device)
        corrected = isinstance(says, Event) and says.what is Happening.CLOCK_CORRECTED
        if latest is not None and recorded_at < latest and not corrected:
            expected = (
                f"a time not before {latest:%Y-%m-%d %H:%M} of an entry above; a 'day' line may be missing,"
                " or 'recorded  ...' for an entry written down later"
            )
            self.faults.add(line, "time", f"{recorded_at:%Y-%m-%d %H:%M}", expected)
        else:
            self._latest[device] = recorded_at
        return recorded_at

    def _mark(self, block: Block, entry: PlainEntry | None) -> None:
        if block.kind in _CHANGES:
            target = self._marked.get(block.target)
            if target is not None and entry is not None:
                says = entry.says.says if isinstance(entry.says, Amend) else target.says
                struck = block.kind == Strike.KIND
                self._marked[block.target] = replace(target, says=says, head=entry.id, struck=struck)
        elif block.label:
            shaft = None if block.kind in PROJECT_KINDS else block.shaft
            known = entry.id if entry is not None else ""
            self._marked[block.label] = Marked(known, block.kind, shaft, entry.says if entry else None, known)


def _place_name(line: NamedLine) -> str:
    """The field of a line; one of several points is told apart by its label."""
    if line.name == "points" and line.value:
        return f"point {parts_of(line.value)[0]}"
    return line.name.replace("_", " ")
