"""The record that a journal in a file tells, read as far as it is asked for: a shaft when it is opened."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Final, Protocol, TypeVar

from fieldapp.record.chain import Order
from fieldapp.record.entry import ChainHead, DamagedEntry, Entry
from fieldapp.record.reach import Reach
from fieldapp.record.revoked import revoked_devices
from fieldapp.record.shaft import ProjectRecord, ShaftRecord, folded_project, shaft_record
from fieldapp.record.shafts import Shafts
from fieldapp.store import entries, forms
from fieldapp.store.arriving import Arrival
from fieldapp.store.driver import sqlite3
from fieldapp.store.entries import Some
from fieldapp.store.forms import Form
from fieldapp.store.rows import Place, entry_from

T = TypeVar("T")

_SHAFTS_HELD: Final = 64
_PAGE: Final = 2_000


@dataclass(frozen=True, slots=True)
class Reading:
    """How entries are read: ``opens`` a sealed text, None for one that is gone past.

    ``ends_at`` are the problems at which they just end.
    """

    opens: Callable[[object], Entry | None] = entry_from
    ends_at: tuple[type[Exception], ...] = ()


class KeptJournal(ABC):
    """What can be asked of a journal in a file, through whichever connection."""

    _how = Reading()

    @abstractmethod
    def _read(self, ask: Callable[[sqlite3.Connection], T]) -> T:
        """The answer of ``ask`` to the connection.  Raises StoreProblem."""

    def entries(self) -> Collection[Entry]:
        """Every entry in the order of folding, read from the file as it is gone through."""
        return _Counted(self._read, self._how, Some())

    def of_kinds(self, kinds: Collection[str]) -> Iterable[Entry]:
        """Entries of these kinds in the order of folding, read from the file as they are gone through."""
        return _Pages(self._read, self._how, Some(tuple(kinds)))

    def added(self, arrival: Arrival) -> Collection[Entry]:
        """The entries that came new, in the order of folding."""
        return _Counted(self._read, self._how, Some(arrived_after=arrival.first, most=arrival.new))

    def entry(self, entry_id: str) -> Entry | None:
        """The entry of this id, or None."""
        return self._read(lambda connection: entries.entry_of_id(connection, entry_id))

    def at_places(self, places: Iterable[Place]) -> tuple[Entry, ...]:
        """The entries at these places (device, number), in the order of folding; none where there is none."""
        return self._read(lambda connection: entries.entries_at(connection, places))

    def around(self, shaft: str, places: Collection[Place] = ()) -> tuple[Entry, ...]:
        """The entries that bear on a shaft, and those at these places (device, number).

        In the order of folding; see `fieldapp.store.entries.entries_around`.
        """
        record = self.record()
        also = {each.id for each in record.reach.corrections}
        wanted = {*places, *revoked_devices(record).items()}
        return self._read(lambda connection: entries.entries_around(connection, shaft, also, wanted))

    def shaft_names(self) -> tuple[str, ...]:
        """The shafts that entries are about, in order."""
        return self._read(lambda connection: tuple(entries.shaft_names(connection)))

    def record(self) -> ProjectRecord:
        """What the journal says now.  A shaft is read and folded when it is asked for."""
        return self._read(self._record_in)

    def heads(self) -> dict[str, ChainHead]:
        """The last entry of every device that has one."""
        return self._read(entries.heads_in)

    def last_of(self, device: str, most: int) -> tuple[Entry, ...]:
        """The last entries of a device, the newest first."""
        return self._read(lambda connection: entries.last_of_device(connection, device, most))

    def digest(self, but: str) -> str:
        """SHA-256 over the hashes of all entries but those of a kind, in the order of folding, in hex."""
        return self._read(lambda connection: entries.digest(connection, but))

    def chain(self, head: ChainHead) -> Iterator[bytes]:
        """The sealed bytes of a chain up to this entry of it, read from the file as they are gone through."""
        last = 0
        while page := self._read(partial(_sealed, head=head, after=last)):
            last = page[-1][0]
            yield from (sealed for _, sealed in page)

    def forms(self) -> tuple[Form, ...]:
        """All half-typed forms."""
        return self._read(forms.kept_forms)

    def record_proved(self) -> ProjectRecord:
        """What the journal says now, with nothing taken from the read tables; goes through the whole file."""

        def ask(connection: sqlite3.Connection) -> ProjectRecord:
            return self._record_in(connection, entries.proved_corrections(connection))

        return self._read(ask)

    def _record_in(
        self, connection: sqlite3.Connection, corrections: tuple[Entry, ...] | None = None
    ) -> ProjectRecord:
        own = entries.entries_of_shaft(connection, None)
        last = entries.last_numbers(connection)
        if corrections is None:
            corrections = entries.clock_corrections(connection)
        shafts = Shafts(entries.shaft_names(connection), self._shaft, last, _SHAFTS_HELD)
        reach = Reach(last, corrections, first_in_file=self._first_since)
        return folded_project(entries.project_name(connection), own, shafts, reach)

    def _shaft(self, name: str, last: Mapping[str, int]) -> ShaftRecord:
        known = self._read(lambda connection: entries.entries_of_shaft(connection, name))
        return shaft_record(name, (each for each in known if each.seq <= last.get(each.device, 0)))

    def _first_since(self, device: str, since: datetime) -> int | None:
        return self._read(lambda connection: entries.first_since(connection, device, since))


def _sealed(connection: sqlite3.Connection, head: ChainHead, after: int) -> tuple[tuple[int, bytes], ...]:
    return entries.sealed_between(connection, head.device, after, head.seq)


class _Read(Protocol):
    def __call__(self, ask: Callable[[sqlite3.Connection], T], /) -> T: ...


class _Pages(Iterable[Entry]):
    """Entries of a journal in the order of folding: a page of them is in memory, however many there are."""

    def __init__(self, read: _Read, how: Reading, some: Some) -> None:
        self._read = read
        self._how = how
        self._some = some

    def __iter__(self) -> Iterator[Entry]:
        place: Order | None = (0, "", 0)
        while place is not None:
            try:
                place, page = self._read(partial(self._page, after=place))
            except self._how.ends_at:
                return
            yield from page

    def _page(self, connection: sqlite3.Connection, after: Order) -> tuple[Order | None, list[Entry]]:
        rows = entries.page_of(connection, after, _PAGE, self._some)
        if rows and rows[-1][0] <= after:  # a damaged index; its rows would come round for ever
            raise DamagedEntry("entries do not stand in their order")
        opened = (self._how.opens(sealed) for _, sealed in rows)
        return rows[-1][0] if rows else None, [each for each in opened if each is not None]


class _Counted(_Pages, Collection[Entry]):
    """Those that are asked how many they are."""

    def __len__(self) -> int:
        return self._read(lambda connection: entries.count(connection, self._some))

    def __contains__(self, wanted: object) -> bool:
        return any(each == wanted for each in self)
