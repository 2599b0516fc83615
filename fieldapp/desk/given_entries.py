"""A journal in memory, asked in the same way as one in a file: of a paper, or as it was at a moment."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import cached_property

from fieldapp.record.chain import chains_of, heads_of
from fieldapp.record.entry import ChainHead, Entry
from fieldapp.record.shaft import ProjectRecord, digest_of, project_record
from fieldapp.store.forms import Form
from fieldapp.store.rows import Place


@dataclass(frozen=True)
class GivenEntries:
    """Entries in hand, in the order of folding; nothing of it is on disk."""

    held: tuple[Entry, ...]

    def entries(self) -> tuple[Entry, ...]:
        """All of them."""
        return self.held

    def of_kinds(self, kinds: Collection[str]) -> tuple[Entry, ...]:
        """Those of some kinds."""
        return tuple(each for each in self.held if each.kind in kinds)

    def at_places(self, places: Iterable[Place]) -> tuple[Entry, ...]:
        """Those at these places."""
        wanted = set(places)
        return tuple(each for each in self.held if (each.device, each.seq) in wanted)

    def entry(self, entry_id: str) -> Entry | None:
        """The one of this id, or None."""
        return next((each for each in self.held if each.id == entry_id), None)

    def chain(self, head: ChainHead) -> Iterable[bytes]:
        """The sealed bytes of a chain up to this entry of it."""
        mine = chains_of(self.held).get(head.device, [])
        return (each.sealed for each in mine if each.seq <= head.seq)

    def around(self, _shaft: str, _places: Collection[Place] = ()) -> tuple[Entry, ...]:
        """All that may bear on a shaft: here everything."""
        return self.held

    def record(self) -> ProjectRecord:
        """What they say."""
        return self._record

    def heads(self) -> dict[str, ChainHead]:
        """The last entry of every device."""
        return heads_of(self.held)

    def last_of(self, device: str, most: int) -> tuple[Entry, ...]:
        """The last entries of a device, the newest first."""
        return tuple(reversed(chains_of(self.held).get(device, [])[-most:]))

    def digest(self, but: str) -> str:
        """SHA-256 over the hashes of all but those of a kind, in the order of folding, in hex."""
        return digest_of(each for each in self.held if each.kind != but)

    def forms(self) -> tuple[Form, ...]:
        """Nothing is half typed."""
        return ()

    @cached_property
    def _record(self) -> ProjectRecord:
        return project_record(self.held[0].draft.project if self.held else "", self.held)
