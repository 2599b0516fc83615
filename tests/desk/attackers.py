"""Somebody who holds the file of a journal, knows how it is made, and puts every guard back afterwards."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

import rfc8785

from fieldapp.desk.projector import Rows
from fieldapp.identity.stretches import Signer, Stretch, sign_stretch_bytes
from fieldapp.record.entry import NO_ENTRY_BEFORE, Draft, open_sealed, seal
from fieldapp.record.entry import ChainHead as Head
from fieldapp.store.driver import sqlite3
from fieldapp.store.journal import open_journal
from fieldapp.store.opening import JOURNAL
from fieldapp.store.rows import row_of
from fieldapp.store.schema import TRIGGERS

Body: TypeAlias = dict[str, Any]
Change: TypeAlias = Callable[[list[Body]], list[Body]]


@contextmanager
def by_force(folder: Path) -> Iterator[sqlite3.Connection]:
    """The database without its guards; they stand again afterwards, letter by letter."""
    raw = sqlite3.connect(folder / JOURNAL, isolation_level=None)
    for name in TRIGGERS:
        raw.execute(f"DROP TRIGGER {name}")
    try:
        yield raw
    finally:
        for sql in TRIGGERS.values():
            raw.execute(sql)
        raw.close()


def chain(folder: Path, device: str) -> list[Body]:
    """The sealed entries of a device as they stand in the file."""
    raw = sqlite3.connect(folder / JOURNAL)
    rows = raw.execute("SELECT sealed FROM entries WHERE device = ? ORDER BY seq", (device,)).fetchall()
    raw.close()
    return [json.loads(sealed) for (sealed,) in rows]


def devices(folder: Path) -> list[str]:
    raw = sqlite3.connect(folder / JOURNAL)
    names = [name for (name,) in raw.execute("SELECT device FROM devices ORDER BY device")]
    raw.close()
    return names


@dataclass(frozen=True)
class Keys:
    """What a forger signs with: a device key with its certificate, and people's keys by name."""

    device: Signer | None = None
    certificate: str = ""
    people: tuple[tuple[str, str, Signer], ...] = ()  # name, fingerprint, key


NO_KEYS = Keys()


def rewrite(folder: Path, device: str, change: Change, keys: Keys = NO_KEYS) -> None:
    """Write a whole chain anew: numbers, stamps, links, heads, signed places and read tables all fit."""
    with by_force(folder) as raw:
        bodies = change(chain(folder, device))
        raw.execute("DELETE FROM entries WHERE device = ?", (device,))
        head = Head(device)
        stamps = iter(sorted(each["stamp"] for each in bodies))
        for body in bodies:
            body.update(seq=head.seq + 1, prev=head.hash, stamp=next(stamps), device=device)
            _resign(body, head, keys)
            head = _put(raw, body)
        raw.execute(
            "UPDATE devices SET head_seq = ?, head_hash = ? WHERE device = ?", (head.seq, head.hash, device)
        )
    tidy(folder)


def tidy(folder: Path) -> None:
    """Let the program itself make the read tables anew, so that they tell nothing."""
    with open_journal(folder, Rows()) as journal:
        journal.bring_up_to_date(always=True)


def edit_alone(folder: Path, device: str, seq: int, old: str, new: str) -> None:
    """The lazy way: change the text of one entry and nothing else."""
    with by_force(folder) as raw:
        raw.execute("PRAGMA ignore_check_constraints = ON")
        sql = "UPDATE entries SET sealed = replace(sealed, ?, ?) WHERE device = ? AND seq = ?"
        raw.execute(sql, (old, new, device, seq))


def delete_alone(folder: Path, device: str, seq: int) -> None:
    with by_force(folder) as raw:
        raw.execute("DELETE FROM entries WHERE device = ? AND seq = ?", (device, seq))
    tidy(folder)


def cut_tail(folder: Path, device: str, last: int) -> None:
    """End a chain at an entry, with its head set back."""
    rewrite(folder, device, lambda bodies: bodies[:last])


def body_of(draft: Draft, stamp: int) -> Body:
    """An entry that was never made, for `rewrite` to put into a chain."""
    return dict(json.loads(seal(draft, Head("anywhere"), stamp).sealed))


def new_chain(folder: Path, device: str, drafts: list[Draft], keys: Keys) -> None:
    """A chain of a device that nobody has, with every signature that its maker can make."""
    with by_force(folder) as raw:
        raw.execute("INSERT INTO devices VALUES (?, 'received', 0, ?)", (device, NO_ENTRY_BEFORE))
        (stamp,) = raw.execute("SELECT max(stamp) FROM entries").fetchone()
    bodies = [body_of(draft, stamp + number) for number, draft in enumerate(drafts, start=1)]
    rewrite(folder, device, lambda _: bodies, keys)


def _resign(body: Body, head: Head, keys: Keys) -> None:
    values = body["values"]
    if body["kind"] == "device key" and keys.certificate:
        values["certificate"] = keys.certificate
    if body["kind"] != "stretch signed":
        return
    values.update(seq=head.seq, hash=head.hash)
    stretch = Stretch(body["project"], body["device"], head.seq, head.hash)
    if keys.device is not None:
        values["device_signature"] = sign_stretch_bytes(stretch, keys.device)
    for name, fingerprint, key in keys.people:
        if body["author"] == name:
            values["person_fingerprint"] = fingerprint
            values["person_signature"] = sign_stretch_bytes(stretch, key)


def _put(raw: sqlite3.Connection, body: Body) -> Head:
    row = row_of(open_sealed(rfc8785.dumps(body)))
    (arrival,) = raw.execute("SELECT coalesce(max(arrival), 0) + 1 FROM entries").fetchone()
    row = {"arrival": arrival, **row}
    names, places = ", ".join(row), ", ".join("?" * len(row))
    raw.execute(f"INSERT INTO entries ({names}) VALUES ({places})", tuple(row.values()))
    return Head(str(row["device"]), int(str(row["seq"])), str(row["hash"]))
