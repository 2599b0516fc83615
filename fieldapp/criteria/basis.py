"""What a decision rests on: whether the journal has it, and what of the record it had seen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from fieldapp.record.decisions import Basis, Position
from fieldapp.record.entry import ChainHead, Entry
from fieldapp.record.said import said
from fieldapp.record.shaft import ProjectRecord, ShaftRecord, digest_of


def basis_on(heads: Mapping[str, ChainHead], entries: Iterable[Entry]) -> Basis:
    """What a decision on a shaft rests on when it is made: the heads of all chains, the shaft's digest.

    ``entries`` are those of the shaft, in the order of folding.

    Raises Impossible when there is no chain yet.
    """
    positions = tuple(Position(each.device, each.seq) for _, each in sorted(heads.items()))
    return Basis(positions, digest_of(entries))


def entries_for(project: ProjectRecord, shaft: ShaftRecord) -> Iterator[Entry]:
    """Everything that bears on a shaft: the entries of the project as a whole, and its own."""
    for line in project.lines:
        yield line.original
        yield from line.changes
    yield from shaft.entries


def seen_by(basis: Basis, entries: Iterable[Entry]) -> list[Entry]:
    """The entries that a decision had seen when it was made, in their order."""
    reach: dict[str, int] = {}
    for each in basis.positions:
        reach[each.device] = max(each.seq, reach.get(each.device, 0))
    return [each for each in entries if each.seq <= reach.get(each.device, 0)]


def saw_all(basis: Basis, entries: Iterable[Entry]) -> bool:
    """Whether a decision had seen all of these entries when it was made."""
    asked = list(entries)
    return len(seen_by(basis, asked)) == len(asked)


def not_in_journal(project: ProjectRecord, basis: Basis) -> str:
    """A position of the basis that the journal does not reach, in words; empty when there is none."""
    for each in basis.positions:
        if not project.reach.reaches(each):
            return said("entry {number} of device {device}", number=each.seq, device=each.device)
    return ""
