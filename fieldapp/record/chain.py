"""The chain of each device: no gaps, every link right, one key, stamps rising, causes before effects."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from operator import attrgetter
from typing import Final

from fieldapp.record.attesting import DeviceKey, StretchSigned
from fieldapp.record.entry import NO_ENTRY_BEFORE, ChainHead, Entry, hash_of

_OF_CHAINS: Final = (DeviceKey, StretchSigned)


@dataclass(frozen=True, slots=True)
class Break:
    """A place where a chain does not hold: the device, the entry number, and what is wrong."""

    device: str
    seq: int
    what: str

    def __str__(self) -> str:
        return f"chain of device {self.device}, entry {self.seq}: {self.what}"


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
    """Every place where a chain does not hold; empty when all do."""
    found: list[Break] = []
    everything = list(entries)
    by_id: dict[str, Entry] = {}
    followers: list[Entry] = []
    for each in everything:
        draft = each.draft
        twin = by_id.setdefault(draft.id, each)
        if twin is not each:
            found.append(
                Break(each.device, each.seq, f"the id {each.id} stands also at {twin.device} {twin.seq}")
            )
        if draft.parents:
            followers.append(each)
    for chain in chains_of(everything).values():
        found.extend(_breaks_in_chain(chain))
    for each in followers:
        for parent in each.draft.parents:
            cause = by_id.get(parent)
            if cause is not None and cause.order >= each.order:
                found.append(Break(each.device, each.seq, "it stands before the entry that it follows"))
    return tuple(found)


def _breaks_in_chain(chain: list[Entry]) -> Iterator[Break]:
    seq, digest, stamp = 0, NO_ENTRY_BEFORE, 0
    key: DeviceKey | None = None
    for each in chain:
        in_place = each.seq == seq + 1 and each.prev == digest and each.stamp > stamp
        # Nearly every entry is in its place and says nothing of its chain: then only its hash is asked for.
        if not in_place or hash_of(each.sealed) != each.hash or isinstance(each.values, _OF_CHAINS):
            for what in (*_wrong_place(each, ChainHead(each.device, seq, digest)), *_wrong_key(each, key)):
                yield Break(each.device, each.seq, what)
            if each.stamp <= stamp:
                yield Break(each.device, each.seq, "its stamp does not rise")
            if isinstance(each.values, DeviceKey):
                key = key or each.values
        seq, digest, stamp = each.seq, each.hash, each.stamp


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
