"""The journal of one shaft as it is attached inside its paper: written, and read back with care.

It holds every entry of the shaft, what the project says as a whole (set-ups, instruments, device keys,
revocations), and the signed stretches that vouch for these; and what else bears on the shaft
(`fieldapp.desk.papers.bearing`), so that it alone gives the same findings as the project.  Of signed papers
it says nothing that the record does not rest on, so the same record gives the same bytes.  What is read is
bounded, canonical, and rehashed; anything else is refused.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from types import MappingProxyType
from typing import Any, Final

import rfc8785

from fieldapp.desk.papers.bearing import bearing_on, heads_told
from fieldapp.record.attesting import PaperSigned, StretchSigned
from fieldapp.record.chain import chains_of
from fieldapp.record.codec import Json, UnknownKind, read_time
from fieldapp.record.entry import ChainHead, Entry, hash_of, open_sealed
from fieldapp.record.fold import in_order
from fieldapp.record.said import said, said_of
from fieldapp.record.shaft import digest_of
from fieldapp.record.strict_json import NewerFormat, read_format, written_one_way

FILE_NAME: Final = "journal.json"
MIME_TYPE: Final = "application/json"
FORMAT: Final = "basenote journal of one shaft"
VERSION: Final = 2
LARGEST_BYTES: Final = 32 * 2**20
MOST_ENTRIES: Final = 50_000
ANY_SHAFT: Final = "*"
_NOTHING: Final[Mapping[str, Entry]] = MappingProxyType({})
_FIELDS: Final = {VERSION: frozenset({
    "format", "version", "project", "shaft", "as_of", "recorded_until", "record_digest", "heads",
    "project_entries", "shaft_entries", "bearing_entries",
})}  # fmt: skip


class UnreadableJournal(ValueError):
    """An attached journal that is not whole; the text says what is wrong, as part of a sentence."""


class NewerJournal(ValueError):
    """An attached journal of a newer program, which cannot be read here and may be whole."""


@dataclass(frozen=True, slots=True)
class PaperJournal:
    """The journal of one shaft, all entries in the order of folding, as of a moment.

    ``heads`` are the last entries of every chain that were there; with ``recorded_until`` only what was
    recorded up to then was looked at.  ``bearing`` are entries of other shafts, stretches and papers without
    which the findings would not be those of the project.
    """

    project: str
    shaft: str
    as_of: datetime
    recorded_until: datetime | None
    heads: tuple[ChainHead, ...]
    entries: tuple[Entry, ...]
    bearing: tuple[Entry, ...] = ()

    @property
    def everything(self) -> tuple[Entry, ...]:
        """All that is attached, in the order of folding."""
        return tuple(in_order((*self.entries, *self.bearing)))

    @property
    def shaft_entries(self) -> tuple[Entry, ...]:
        """The entries of the shaft itself."""
        return tuple(each for each in self.entries if each.shaft is not None)

    @property
    def record_digest(self) -> str:
        """SHA-256 of the shaft's record, as signatures name it."""
        return digest_of(self.shaft_entries)


def paper_journal(
    entries: Iterable[Entry], shaft_id: str, as_of: datetime, recorded_until: datetime | None = None
) -> PaperJournal:
    """The part of a journal that belongs to the paper of one shaft.  Raises UnreadableJournal for none."""
    everything = tuple(entries)
    if not everything:
        raise UnreadableJournal(said("the journal is empty"))
    kept = belonging(everything, shaft_id)
    heads = heads_told(everything, kept)
    bearing = bearing_on(everything, kept, heads)
    return PaperJournal(
        everything[0].draft.project, shaft_id, as_of, recorded_until, heads, kept, tuple(bearing)
    )


def belonging(entries: Iterable[Entry], shaft_id: str) -> tuple[Entry, ...]:
    """The entries that the paper of a shaft holds, in the order of folding."""
    mine = [
        each
        for each in entries
        if each.shaft in {None, shaft_id} and not isinstance(each.values, PaperSigned)
    ]
    known = {(each.device, each.seq) for each in mine if not isinstance(each.values, StretchSigned)}
    return tuple(
        each
        for each in in_order(mine)
        if not isinstance(each.values, StretchSigned) or (each.device, each.values.seq) in known
    )


def written(journal: PaperJournal) -> bytes:
    """The bytes to attach: canonical JSON (RFC 8785), the same for the same record."""
    body: dict[str, Json] = {
        "format": FORMAT,
        "version": VERSION,
        "project": journal.project,
        "shaft": journal.shaft,
        "as_of": journal.as_of.isoformat(),
        "recorded_until": journal.recorded_until.isoformat() if journal.recorded_until else None,
        "record_digest": journal.record_digest,
        "heads": [{"device": each.device, "seq": each.seq, "hash": each.hash} for each in journal.heads],
        "project_entries": [_plain(each) for each in journal.entries if each.shaft is None],
        "shaft_entries": [_plain(each) for each in journal.shaft_entries],
        "bearing_entries": [_plain(each) for each in journal.bearing],
    }
    return rfc8785.dumps(body)


def _plain(entry: Entry) -> dict[str, Json]:
    return {"hash": entry.hash, "sealed": entry.sealed.decode("utf-8")}


def read_paper_journal(data: bytes, known: Mapping[str, Entry] = _NOTHING) -> PaperJournal:
    """The attached journal, every entry opened from its sealed bytes and every hash worked out anew.

    Parameters
    ----------
    data
        The attached file.
    known
        Entries by hash that were opened already; the same sealed bytes are not opened twice.

    Raises
    ------
    UnreadableJournal
        It is too large, not as this program writes it, or does not hold together.
    NewerJournal
        A newer program wrote it.
    """
    if len(data) > LARGEST_BYTES:
        raise UnreadableJournal(said("it is larger than {largest_bytes} bytes", largest_bytes=LARGEST_BYTES))
    try:
        body = read_format(data, FORMAT, _FIELDS)
        journal = _read(body, known)
        if written_one_way(body) != data:
            raise UnreadableJournal(said("it is not written in the one way"))
    except (UnreadableJournal, NewerJournal):
        raise
    except (UnknownKind, NewerFormat) as problem:
        raise NewerJournal(said_of(problem)) from None
    except ValueError as problem:
        raise UnreadableJournal(said_of(problem)) from None
    return journal


def _read(body: dict[str, Any], known: Mapping[str, Entry]) -> PaperJournal:
    project, shaft, stated = (_text(body, each) for each in ("project", "shaft", "record_digest"))
    until = None if body["recorded_until"] is None else _text(body, "recorded_until")
    of_project = _entries(body["project_entries"], known, (project, None))
    of_shaft = _entries(body["shaft_entries"], known, (project, shaft))
    bearing = _entries(body["bearing_entries"], known, (project, ANY_SHAFT))
    journal = PaperJournal(
        project,
        shaft,
        read_time(_text(body, "as_of"), "as_of"),
        read_time(until, "recorded_until") if until is not None else None,
        tuple(_head(each) for each in _rows(body["heads"], {"device", "seq", "hash"})),
        tuple(in_order((*of_project, *of_shaft))),
        tuple(bearing),
    )
    _hold_together(journal, of_project, of_shaft)
    if journal.record_digest != stated:
        raise UnreadableJournal(said("the record digest that it states is not the one of its entries"))
    return journal


def _hold_together(journal: PaperJournal, of_project: list[Entry], of_shaft: list[Entry]) -> None:
    if not of_shaft:
        raise UnreadableJournal(said("it holds no entry of the shaft"))
    if of_project != in_order(of_project) or of_shaft != in_order(of_shaft):
        raise UnreadableJournal(said("its entries are not in their order"))
    if belonging(journal.everything, journal.shaft) != journal.entries or [*journal.bearing] != in_order(
        journal.bearing
    ):
        raise UnreadableJournal(said("it holds an entry that does not belong to its paper"))
    _chains_hold(journal)


def _chains_hold(journal: PaperJournal) -> None:
    everything = journal.everything
    if len({each.id for each in everything}) != len(everything):
        raise UnreadableJournal(said("it holds an entry twice"))
    heads = {each.device: each for each in journal.heads}
    if [each.device for each in journal.heads] != sorted(heads):
        raise UnreadableJournal(said("its chain heads are not in their order"))
    for device, chain in chains_of(everything).items():
        for before, after in pairwise(chain):
            if before.seq == after.seq or (after.seq == before.seq + 1 and after.prev != before.hash):
                raise UnreadableJournal(
                    said(
                        "entry {seq} of {device} does not follow the one before it",
                        seq=after.seq,
                        device=device,
                    )
                )
        head, last = heads.get(device), chain[-1]
        if head is None or last.seq > head.seq or (last.seq == head.seq and last.hash != head.hash):
            raise UnreadableJournal(said("the chain of {device} does not end where it says", device=device))


def _entries(rows: Any, known: Mapping[str, Entry], about: tuple[str, str | None]) -> list[Entry]:
    found = []
    for row in _rows(rows, {"hash", "sealed"}):
        sealed = _text(row, "sealed").encode("utf-8")
        mine = known.get(hash_of(sealed))
        entry = mine if mine is not None and mine.sealed == sealed else open_sealed(sealed)
        if entry.hash != _text(row, "hash"):
            raise UnreadableJournal(
                said("entry {seq} of {device} is not the one of its hash", seq=entry.seq, device=entry.device)
            )
        if (entry.draft.project, entry.shaft if about[1] != ANY_SHAFT else ANY_SHAFT) != about:
            raise UnreadableJournal(
                said("entry {seq} of {device} is about something else", seq=entry.seq, device=entry.device)
            )
        found.append(entry)
    return found


def _rows(rows: Any, fields: set[str]) -> list[dict[str, Any]]:
    if not isinstance(rows, list) or len(rows) > MOST_ENTRIES:
        raise UnreadableJournal(said("its entries or heads are not a list, or too many"))
    if not all(isinstance(each, dict) and set(each) == fields for each in rows):
        raise UnreadableJournal(said("its entries or heads do not have the fields of the format"))
    return rows


def _head(row: dict[str, Any]) -> ChainHead:
    if type(row["seq"]) is not int or row["seq"] < 1:
        raise UnreadableJournal(said("a chain head has no number"))
    return ChainHead(_text(row, "device"), row["seq"], _text(row, "hash"))


def _text(body: dict[str, Any], name: str) -> str:
    if not isinstance(body[name], str):
        raise UnreadableJournal(said("its {field} is not text", field=name.replace("_", " ")))
    return str(body[name])
