"""The chain of each device: no gaps, every link right, one key, stamps rising, causes before effects."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from operator import attrgetter
from typing import Final, TypeAlias

from fieldapp.record.attesting import DeviceKey, StretchSigned
from fieldapp.record.entry import NO_ENTRY_BEFORE, ChainHead, Entry, hash_of

MOST_AWAITED: Final = 100_000
"""How often entries are named that have not come yet: honest chains come with nearly all that they name."""
_OF_CHAINS: Final = (DeviceKey, StretchSigned)

Order: TypeAlias = tuple[int, str, int]
"""Place in the order of folding: stamp, device, number."""


@dataclass(frozen=True, slots=True)
class Break:
    """A place where a chain does not hold: the device, the entry number, and what is wrong."""

    device: str
    seq: int
    what: str

    def __str__(self) -> str:
        return f"chain of device {self.device}, entry {self.seq}: {self.what}"


@dataclass(slots=True)
class ChainEnd:
    """Where a chain ends: number, hash and stamp of its last entry, and the key of the chain, if any."""

    device: str
    seq: int = 0
    hash: str = NO_ENTRY_BEFORE
    stamp: int = 0
    key: DeviceKey | None = None

    @property
    def head(self) -> ChainHead:
        """Its last entry."""
        return ChainHead(self.device, self.seq, self.hash)


@dataclass
class ChainWatch:
    """Goes along chains, each in the order of its numbers, and says where one does not hold.

    Nothing is kept of an entry that is in its place, so that chains may be as long as they are.

    Attributes
    ----------
    order_of
        Where the entry of an identifier stands, None for one that is not there (yet).
    ends
        By device, where each chain ends so far; given at first for chains that are gone along from there.
    """

    order_of: Callable[[str], Order | None]
    ends: dict[str, ChainEnd] = field(default_factory=dict)
    _awaited: dict[str, list[Order]] = field(default_factory=lambda: defaultdict(list))
    _waiting: int = 0

    @property
    def heads(self) -> dict[str, ChainHead]:
        """The last entry of every device so far."""
        return {device: end.head for device, end in sorted(self.ends.items())}

    @property
    def last(self) -> dict[str, int]:
        """The number of the last entry of every device so far."""
        return {device: end.seq for device, end in sorted(self.ends.items())}

    def stamp_of(self, device: str) -> int:
        """The stamp of the last entry of a device so far; 0 before the first."""
        end = self.ends.get(device)
        return end.stamp if end is not None else 0

    def take(self, each: Entry) -> list[Break]:
        """Go past the next entry of its chain, and say what is wrong with it there."""
        end = self.ends.get(each.device) or self.ends.setdefault(each.device, ChainEnd(each.device))
        found: list[Break] = []
        # Nearly every entry is in its place and says nothing of its chain: then only its hash is asked for.
        if (
            each.seq != end.seq + 1
            or each.prev != end.hash
            or each.stamp <= end.stamp
            or hash_of(each.sealed) != each.hash
            or isinstance(each.values, _OF_CHAINS)
        ):
            found += _wrong_at(each, end)
        end.seq, end.hash, end.stamp = each.seq, each.hash, each.stamp
        if each.draft.parents or self._awaited:
            found += self._causes(each)
        return found

    def _causes(self, each: Entry) -> Iterator[Break]:
        """An entry that names one after it, and those before it that named this one."""
        order = each.order
        for parent in each.draft.parents:
            cause = self.order_of(parent)
            if cause is None and self._waiting == MOST_AWAITED:
                yield Break(each.device, each.seq, "it is one of too many that name entries nobody has")
            elif cause is None:
                self._awaited[parent].append(order)
                self._waiting += 1
            elif cause >= order:
                yield Break(each.device, each.seq, _BEFORE_CAUSE)
        waited = self._awaited.pop(each.id, [])
        self._waiting -= len(waited)
        for _, device, seq in (late for late in waited if late <= order):
            yield Break(device, seq, _BEFORE_CAUSE)


_BEFORE_CAUSE: Final = "it stands before the entry that it follows"


def chains_of(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    """Entries by device, each in the order of its numbers."""
    chains: dict[str, list[Entry]] = defaultdict(list)
    for each in entries:
        chains[each.device].append(each)
    return {device: sorted(chain, key=attrgetter("seq")) for device, chain in sorted(chains.items())}


def heads_of(entries: Iterable[Entry]) -> dict[str, ChainHead]:
    """The last entry of every device."""
    return {d: ChainHead(d, chain[-1].seq, chain[-1].hash) for d, chain in chains_of(entries).items()}


def breaks_in(entries: Iterable[Entry]) -> tuple[Break, ...]:
    """Every place where a chain does not hold; empty when all do.  For entries in hand, in any order."""
    found: list[Break] = []
    by_id: dict[str, Entry] = {}
    chains = chains_of(entries)
    for each in (each for chain in chains.values() for each in chain):
        twin = by_id.setdefault(each.id, each)
        if twin is not each:
            found.append(
                Break(each.device, each.seq, f"the id {each.id} stands also at {twin.device} {twin.seq}")
            )
    watch = ChainWatch(lambda name: by_id[name].order if name in by_id else None)
    for chain in chains.values():
        for each in chain:
            found += watch.take(each)
    return tuple(found)


def _wrong_at(each: Entry, end: ChainEnd) -> Iterator[Break]:
    """What is wrong with an entry at the end of its chain; a key that it brings is that of the chain then."""
    for what in (*_wrong_place(each, end.head), *_wrong_key(each, end.key)):
        yield Break(each.device, each.seq, what)
    if each.stamp <= end.stamp:
        yield Break(each.device, each.seq, "its stamp does not rise")
    if isinstance(each.values, DeviceKey):
        end.key = end.key or each.values


def _wrong_place(each: Entry, head: ChainHead) -> Iterable[str]:
    if each.seq != head.seq + 1:
        yield f"entries {head.seq + 1} to {each.seq - 1} are missing or doubled"
    elif each.prev != head.hash:
        yield "it does not follow the entry before it: one of them was changed"
    if hash_of(each.sealed) != each.hash:
        yield "its bytes are not those of its hash"
    if isinstance(each.values, StretchSigned) and not names(each.values, head):
        yield "it signs another place than the entry before it"


def _wrong_key(each: Entry, key: DeviceKey | None) -> Iterable[str]:
    if isinstance(each.values, DeviceKey) and key is not None and each.values != key:
        yield "it brings a second device key into the chain"


def names(signed: StretchSigned, head: ChainHead) -> bool:
    """Whether a signed stretch reaches exactly to the head of its chain."""
    return (signed.seq, signed.hash) == (head.seq, head.hash)
