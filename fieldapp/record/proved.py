"""Which of many sealed bytes, found anywhere, prove themselves as entries of a chain.

Sealed bytes are one entry when something beside them names their hash: the entry after them, the row that
they stood in, the head of the chain, a signature of it.  Damage cannot make both agree.  Proved entries are
a chain from its first entry up to the first gap; what stands after a gap is proved too, and follows
nothing that is here.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TypeAlias

from fieldapp.record.attesting import StretchSigned
from fieldapp.record.codec import UnknownKind
from fieldapp.record.decisions import DECISIONS, Withdrawal
from fieldapp.record.entry import NO_ENTRY_BEFORE, DamagedEntry, Entry, open_sealed
from fieldapp.record.reading import Impossible

# Device, number, hash: something says that this entry has this hash.
Named: TypeAlias = tuple[str, int, str]


@dataclass(frozen=True, slots=True)
class ProvedChain:
    """What is proved of one device's chain.

    Attributes
    ----------
    entries
        From the first on, each following the one before.
    after_gap
        Proved, but an entry before them is not here.
    unproved
        Bytes that open as an entry and whose hash nothing names, at places where nothing is proved.
    lost
        Numbers that are known of and are not proved, as (first, last).
    ends
        Whether the end of the chain is known, so that nothing can have followed it unseen.
    """

    device: str
    entries: tuple[Entry, ...]
    after_gap: tuple[Entry, ...]
    unproved: tuple[Entry, ...]
    lost: tuple[tuple[int, int], ...]
    ends: bool

    @property
    def whole(self) -> bool:
        """Whether nothing of it is missing, as far as anything tells."""
        return self.ends and not self.lost


def proved(
    sealed: Iterable[bytes], named: Iterable[Named], heads: Iterable[Named]
) -> tuple[ProvedChain, ...]:
    """The chains that these bytes prove, by device, all of one project: that which most of them are of.

    ``named`` are hashes that something beside the entries names, ``heads`` the last entries of chains as the
    devices' own rows say.
    """
    found = _of_one_project({each.hash: each for each in map(_opened, set(sealed)) if each is not None})
    ends = tuple(heads)
    witnesses = {*named, *ends, *_named_by(found)}
    reach: dict[str, int] = defaultdict(int)
    for device, seq in _reached(found, witnesses, ends):
        reach[device] = max(reach[device], seq)
    mine: dict[str, list[Entry]] = defaultdict(list)
    for each in found:
        mine[each.device].append(each)
    return tuple(
        _chain(device, mine[device], witnesses, (reach[device], ends)) for device in sorted({*reach, *mine})
    )


def _opened(sealed: bytes) -> Entry | None:
    try:
        return open_sealed(sealed)
    except (DamagedEntry, UnknownKind, Impossible):
        return None


def _of_one_project(found: dict[str, Entry]) -> list[Entry]:
    most = Counter(each.draft.project for each in found.values()).most_common(1)
    return [each for each in found.values() if each.draft.project == most[0][0]]


def _named_by(found: Iterable[Entry]) -> Iterator[Named]:
    for each in found:
        yield each.device, each.seq - 1, each.prev
        if isinstance(each.values, StretchSigned):
            yield each.device, each.values.seq, each.values.hash


def _reached(
    found: Iterable[Entry], witnesses: set[Named], ends: Iterable[Named]
) -> Iterator[tuple[str, int]]:
    """Places of chains that something trustworthy tells of: heads, proved entries, what decisions rest on."""
    yield from ((device, seq) for device, seq, _ in ends)
    for each in found:
        if (each.device, each.seq, each.hash) not in witnesses:
            continue
        yield each.device, each.seq
        if isinstance(each.values, DECISIONS) and not isinstance(each.values, Withdrawal):
            yield from ((position.device, position.seq) for position in each.values.basis.positions)


def _chain(
    device: str, found: list[Entry], witnesses: set[Named], known: tuple[int, tuple[Named, ...]]
) -> ProvedChain:
    reach, ends = known
    good = sorted((each for each in found if (device, each.seq, each.hash) in witnesses), key=lambda e: e.seq)
    by_link = {(each.seq, each.prev): each for each in good}
    chain: list[Entry] = []
    before = NO_ENTRY_BEFORE
    while (each := by_link.get((len(chain) + 1, before))) is not None:
        chain.append(each)
        before = each.hash
    taken = {each.hash for each in chain}
    after = tuple(each for each in good if each.hash not in taken)
    there = {each.seq for each in (*chain, *after)}
    return ProvedChain(
        device,
        tuple(chain),
        after,
        tuple(each for each in found if each.seq not in there),
        tuple(_gaps(there, reach)),
        any(name == device and seq == reach for name, seq, _ in ends),
    )


def _gaps(there: set[int], reach: int) -> Iterator[tuple[int, int]]:
    """The numbers up to ``reach`` that are not there, as (first, last)."""
    before = 0
    for seq in (*sorted(there), reach + 1):
        if seq > before + 1:
            yield before + 1, seq - 1
        before = max(before, seq)
