"""How long a bundle of many entries takes to write and to merge, beside raw SQLite on the same rows.

Run ``python -m tests.bench.bench_bundle [ENTRIES]`` from the top of the project; 100,000 by default.  Asked
for: writing and merging at no less than a third of the speed of raw inserts of the same rows into a plain
table, plus SHA-256 of each.  Times are of the processor, for the machine may have other work; the ratio is
of one run.  Merging opens, checks and folds every entry and writes the read tables; raw inserts do not.
So what each step costs is told beside it, and what raw inserts of all rows that a merge writes would take.
"""

from __future__ import annotations

import cProfile
import hashlib
import os
import pstats
import sqlite3
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from fieldapp.desk.office import begin_project
from fieldapp.desk.projector import Rows
from fieldapp.desk.travel.arriving import NewFolder, begin_from_bundle, take_bundle
from fieldapp.desk.travel.sending import Asked, make_bundle
from fieldapp.desk.trust.receiving import wrongly_made
from fieldapp.desk.workplace import open_project
from fieldapp.record.entry import Entry, open_sealed
from fieldapp.record.fold import in_order
from fieldapp.record.shaft import project_record
from fieldapp.store.rows import COLUMNS, row_of
from fieldapp.store.scratch import scratch_journal
from tests.bench.many_entries import entries
from tests.support.journals import ENGINEER


def raw(folder: Path, rows: list[tuple[Any, ...]]) -> None:
    """The same rows into a plain table in one transaction, as safe as ours, and SHA-256 of each."""
    file = sqlite3.connect(folder / "raw.db", isolation_level=None)
    file.execute("PRAGMA journal_mode = WAL")
    file.execute("PRAGMA synchronous = FULL")
    file.execute(f"CREATE TABLE entries (arrival INTEGER PRIMARY KEY, {', '.join(COLUMNS)})")
    place = COLUMNS.index("sealed") + 1
    file.execute("BEGIN IMMEDIATE")
    for row in rows:
        hashlib.sha256(row[place].encode()).hexdigest()
    file.executemany(f"INSERT INTO entries VALUES (?{', ?' * len(COLUMNS)})", rows)
    file.execute("COMMIT")
    file.close()


def timed(what: str, count: int, job: Callable[[], Any]) -> float:
    began_s = time.process_time()
    job()
    took_s = time.process_time() - began_s
    sys.stdout.write(
        f"{what:<44} {took_s:8.2f} s of the processor, {count / took_s:10,.0f} entries a second\n"
    )
    return took_s


def raw_tables(folder: Path, tables: Mapping[str, Sequence[Mapping[str, Any]]]) -> None:
    """The rows of the read tables into plain tables in one transaction."""
    file = sqlite3.connect(folder / "raw-tables.db", isolation_level=None)
    file.execute("PRAGMA journal_mode = WAL")
    file.execute("BEGIN IMMEDIATE")
    for name, rows in tables.items():
        if rows:
            file.execute(f"CREATE TABLE {name} ({', '.join(rows[0])})")
            places = ", ".join("?" * len(rows[0]))
            file.executemany(f"INSERT INTO {name} VALUES ({places})", (tuple(each.values()) for each in rows))
    file.execute("COMMIT")
    file.close()


def all_rows(opened: Sequence[Entry]) -> dict[str, list[Mapping[str, Any]]]:
    """Every row of the read tables, by table."""
    record, tables = project_record("larkwater", opened), defaultdict[str, list[Mapping[str, Any]]](list)
    shafts = (Rows().shaft_rows(record, each) for each in record.shafts.values())
    for rows in (Rows().project_rows(record), *shafts):
        for name, mine in rows.items():
            tables[name] += mine
    return tables


def steps(folder: Path, whole: list[Entry]) -> None:
    """What the steps of a merge cost, each alone."""
    count, sealed = len(whole), [each.sealed for each in whole]
    opened = tuple(in_order(whole))
    timed("  step: opened, each checked", count, lambda: [open_sealed(each) for each in sealed])
    with scratch_journal(sealed, folder) as (journal, _):
        timed("  step: roles and what cannot be", count, lambda: list(wrongly_made(journal)))
    timed("  step: folded", count, lambda: project_record("larkwater", opened))
    timed("  step: folded, and rows of the read tables", count, lambda: all_rows(opened))
    tables = all_rows(opened)
    timed("  rows of the read tables, raw inserts", count, lambda: raw_tables(folder, tables))


def main(count: int, profile: bool) -> None:
    """Measure, and say the ratio."""
    with TemporaryDirectory() as made:
        folder = Path(made)
        os.environ["XDG_CONFIG_HOME"] = str(folder / "home")
        whole = list(entries(count))
        rows = [(number, *row_of(each).values()) for number, each in enumerate(whole, 1)]
        floor_s = timed("raw inserts and SHA-256", count, lambda: raw(folder, rows))
        steps(folder, whole)
        begin_project(folder / "one")
        with open_project(folder / "one", device="office 2") as place:
            timed(
                "merged into an empty project, no bundle",
                count,
                lambda: place.writer().receive(each.sealed for each in whole),
            )
            path = folder / "out.bundle.zip"
            written_s = timed("written", count, lambda: make_bundle(place, path, Asked(ENGINEER)))
        sys.stdout.write(f"{'size of the bundle':<44} {path.stat().st_size / 1e6:8.1f} MB\n")
        watch = cProfile.Profile()
        if profile:
            watch.enable()
        merged_s = timed(
            "merged on a new device",
            count,
            lambda: begin_from_bundle(NewFolder(folder / "two", device="two"), path),
        )
        if profile:
            watch.disable()
            pstats.Stats(watch).sort_stats("tottime").print_stats(40)
        with open_project(folder / "two", device="two") as place:
            place.entries()
            timed("taken in again", count, lambda: take_bundle(place, path))
        sys.stdout.write(
            f"raw to written and merged: {floor_s / (written_s + merged_s):.3f} (asked for: 0.333 or more); "
            f"written {floor_s / written_s:.3f}, merged {floor_s / merged_s:.3f}\n"
        )


if __name__ == "__main__":
    asked = [each for each in sys.argv[1:] if each.isdigit()]
    main(int(asked[0]) if asked else 100_000, "--profile" in sys.argv)
