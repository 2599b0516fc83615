"""One table of what has a peer: ``python -m tests.bench``, ours, the peer's time in the same run, the ratio.

Each line comes from a bench that tells more when it is run by its own name.  A peer that is not installed,
or a window that cannot be opened, is said.
"""

from __future__ import annotations

import os
import sys

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy: one core for both sides

import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path

from tests.bench import bench_head_curve, bench_log, bench_record, bench_start
from tests.bench.big_project import big_project
from tests.bench.peers import HEAD, Beside


def _log() -> Iterator[Beside]:
    yield bench_log.Logged.of(bench_log.ENTRIES).beside()


def _curve() -> Iterator[Beside]:
    yield bench_head_curve.beside()


def _frames() -> Iterator[Beside]:
    with tempfile.TemporaryDirectory() as made:
        home = Path(made)
        (home / "kivy").mkdir()
        yield from bench_start.first_frames(home, big_project(home / "small", 1), bench_start.ROUNDS)


def main() -> None:
    """Print the table."""
    say = sys.stdout.write
    say(f"{HEAD}\n")
    parts: tuple[Iterable[Beside], ...] = (bench_record.besides(), _log(), _curve(), _frames())
    for part in parts:
        try:
            for each in part:
                say(f"{each}\n")
                sys.stdout.flush()
        except SystemExit as missing:
            say(f"not measured: {missing}\n")


if __name__ == "__main__":
    main()
