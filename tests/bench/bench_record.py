"""The record beside bare libraries: a durable save, folding and findings, chains, a credit; not collected.

Run ``python -m tests.bench.bench_record`` from the top.  A save seals an entry, judges its shaft, writes the
read tables and commits; its peer is one insert of as many bytes and a COMMIT by the same driver under the
same pragmas.  Opening a record of 500 entries, folding it and judging the shaft stand beside ``json.loads``
of the same bytes, and verifying its chains beside SHA-256 over them.  Times are of the processor, but for
the save, which waits for the disk.
"""

from __future__ import annotations

import hashlib
import json
import os
import sys
import time
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory

from fieldapp.criteria.findings import findings
from fieldapp.desk.office import begin_project
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.record.chain import breaks_in
from fieldapp.record.column import HeadReading
from fieldapp.record.entry import Draft, open_sealed
from fieldapp.record.reading import Reading
from fieldapp.record.shaft import project_record
from tests.bench.bench_log import SHAFT, busy_shaft
from tests.bench.peers import HEAD, BareTable, Beside, in_turn

ENTRIES, SAVES, RUNS = 500, 60, 9


def besides() -> Iterator[Beside]:
    """Every comparison, in turn."""
    with TemporaryDirectory() as made:
        os.environ["XDG_CONFIG_HOME"] = str(Path(made) / "home")
        begin_project(Path(made) / "larkwater")
        with open_project(Path(made) / "larkwater") as place:
            yield _save(place, Path(made) / "peer.db")
            busy_shaft(place, ENTRIES)
            yield from _read(place)


def _save(place: Workplace, peer: Path) -> Beside:
    busy_shaft(place, 1)
    bare = BareTable(peer)
    numbers = count()

    def save() -> int:
        now, level = place.now(), Reading(f"3.{next(numbers) % 10}", "ft")
        draft = Draft(
            place.clock.new_id(), place.project_id, SHAFT, HeadReading(level), now, now, "Inspector A"
        )
        return len(place.append([draft])[0].sealed)

    size = save()

    times = in_turn(save, lambda: bare.insert(size), SAVES, time.perf_counter)
    bare.close()
    return Beside("an entry saved, with its read tables", "one bare insert, same pragmas", times)


def _read(place: Workplace) -> Iterator[Beside]:
    sealed = [each.sealed for each in place.entries()]
    entries, at = tuple(place.entries()), place.now()

    def judge() -> None:
        record = project_record(place.project_id, map(open_sealed, sealed))
        findings(record, record.shafts[SHAFT], at)

    def load() -> None:
        for each in sealed:
            json.loads(each)

    def hash_all() -> None:
        before = b""
        for each in sealed:
            before = hashlib.sha256(before + each).digest()

    number, judged = len(sealed), in_turn(judge, load, RUNS)
    yield Beside(f"{number} entries opened, folded, judged", "json.loads of the same bytes", judged)
    held = in_turn(lambda: breaks_in(entries), hash_all, RUNS)
    yield Beside(f"chains of {number} entries verified", "bare SHA-256 of the same bytes", held)


def main() -> None:
    """Print each comparison."""
    sys.stdout.write(f"{HEAD}\n")
    for each in besides():
        sys.stdout.write(f"{each}\n")


if __name__ == "__main__":
    main()
