"""Ours beside a peer: what is compared, both times, and how often the peer's time ours may be."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from fieldapp.store.driver import sqlite3


@dataclass(frozen=True, slots=True)
class Beside:
    """Milliseconds of both, ours first; ``most`` is the ratio asked for, None where none is."""

    what: str
    peer: str
    times_ms: tuple[float, float]
    most: float | None = None

    @property
    def ratio(self) -> float:
        return self.times_ms[0] / self.times_ms[1]

    def __str__(self) -> str:
        ours_ms, peer_ms = self.times_ms
        asked = "" if self.most is None else f"  asked {self.most:g}"
        return f"{self.what:<46}{ours_ms:10.2f}  {self.peer:<38}{peer_ms:10.3f}{self.ratio:9.3g}{asked}"


class BareTable:
    """A table with one text column in a file of its own, by the journal's driver under its settings."""

    def __init__(self, file: Path) -> None:
        self._database = sqlite3.connect(file, isolation_level=None)
        self._database.execute("PRAGMA journal_mode = WAL")
        self._database.execute("PRAGMA synchronous = FULL")
        self._database.execute(
            "CREATE TABLE entries (arrival INTEGER PRIMARY KEY, sealed TEXT NOT NULL) STRICT"
        )

    def insert(self, size: int) -> None:
        """One row of so many letters, and COMMIT."""
        self._database.execute("BEGIN IMMEDIATE")
        self._database.execute("INSERT INTO entries (sealed) VALUES (?)", ("x" * size,))
        self._database.execute("COMMIT")

    def close(self) -> None:
        self._database.close()


HEAD: Final = f"{'':46}{'ours, ms':>10}  {'peer':<38}{'peer, ms':>10}{'ratio':>9}"


def in_turn(
    ours: Callable[[], Any],
    peer: Callable[[], Any],
    runs: int,
    clock: Callable[[], float] = time.process_time,
) -> tuple[float, float]:
    """Median milliseconds of both, taking turns, so that a busy machine is busy for both."""
    took: tuple[list[float], list[float]] = ([], [])
    for _ in range(runs):
        for job, times in zip((ours, peer), took, strict=True):
            began = clock()
            job()
            times.append(1000 * (clock() - began))
    return statistics.median(took[0]), statistics.median(took[1])
