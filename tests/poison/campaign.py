"""Poison for every reader: ``python -m tests.poison.campaign --cases 100000 --seed 20261128``.

No case may end in anything but an answer or a sentence, take over 2 s of the processor, want more than
500 MB beside what the program holds, or leave anything behind when it is refused.  A fault is named by
reader, seed and number, and ``--only READER --first NUMBER --cases 1`` shows it alone.
"""

from __future__ import annotations

import argparse
import gc
import multiprocessing
import queue
import random  # noqa: TID251 - the seed comes in as an argument
import resource
import shutil
import sys
import tempfile
import time
import traceback
import warnings
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

import pytest

from fieldapp.desk.problems import PROBLEMS
from tests.poison.readers import READERS, Site

MOST_BYTES: Final = 500 * 2**20
SILENT_S: Final = 60.0
"""After so long without a word a case is taken for endless, whatever else the machine does."""


@dataclass
class Outcome:
    """What a number of cases of one reader came to."""

    counts: Counter[str] = field(default_factory=Counter)
    slowest_s: float = 0.0
    faults: list[str] = field(default_factory=list)


def one_case(site: Site, name: str, seed: int, number: int) -> tuple[str, float, str]:
    """How a case ended, what it took of the processor, and the fault if it is one."""
    reader = READERS[name]
    content = reader.make(site, random.Random(f"{seed} {name} {number}"))
    path = site.room / reader.file
    path.write_bytes(content)
    before = site.seen()
    start_s = time.process_time()
    ended, fault = "read", ""
    try:
        reader.read(site, path)
    except PROBLEMS as problem:
        ended = "refused"
        if not str(problem).strip():
            fault = "refused without a sentence"
    except Exception:  # noqa: BLE001 - whatever gets through is what is looked for
        ended, fault = "fault", traceback.format_exc()
    took_s = time.process_time() - start_s
    if took_s > reader.most_s:
        fault = fault or f"took {took_s:.1f} s"
    if ended != "read" and site.seen() != before:
        fault = fault or f"left behind: {sorted(set(site.seen()) ^ set(before))}"
    _clear(site)
    return ("fault" if fault else ended), took_s, fault and f"{name} {seed} {number}: {fault}"


def _clear(site: Site) -> None:
    for each in site.room.iterdir():
        shutil.rmtree(each) if each.is_dir() else each.unlink()


def cases(site: Site, name: str, seed: int, first: int, number: int, told: Any = None) -> Outcome:
    """So many cases of one reader, from the case ``first`` on."""
    found = Outcome()
    for each in range(first, first + number):
        if told is not None:
            told.put((name, each, None))
        ended, took_s, fault = one_case(site, name, seed, each)
        found.counts[ended] += 1
        found.slowest_s = max(found.slowest_s, took_s)
        if fault:
            found.faults.append(fault)
    return found


def _work(name: str, seed: int, first: int, number: int, told: Any) -> None:
    """A process of its own, whose memory is bounded once the program is loaded."""
    warnings.simplefilter("ignore")
    with tempfile.TemporaryDirectory() as made, pytest.MonkeyPatch.context() as patch:
        site = Site(Path(made), patch)
        cases(site, name, seed + 1, 0, 3)
        gc.collect()
        pages = int(Path("/proc/self/statm").read_text("ascii").split()[0])
        most = pages * resource.getpagesize() + MOST_BYTES
        resource.setrlimit(resource.RLIMIT_AS, (most, most))
        told.put((name, number, cases(site, name, seed, first, number, told)))


def run_reader(name: str, seed: int, first: int, number: int) -> Outcome:
    """Cases of one reader in a process that is ended when one of them does not end by itself."""
    context = multiprocessing.get_context("spawn")
    told: Any = context.Queue()
    worker = context.Process(target=_work, args=(name, seed, first, number, told))
    worker.start()
    last, found, heard_s = first - 1, Outcome(), time.monotonic()
    while True:
        try:
            _, last, done = told.get(timeout=1.0)
            heard_s = time.monotonic()
            if done is not None:
                found = done
                break
        except queue.Empty:
            if not worker.is_alive() and told.empty():
                found.faults.append(f"{name} {seed} {last}: the process ended with {worker.exitcode}")
                break
            if time.monotonic() - heard_s > SILENT_S:
                found.faults.append(f"{name} {seed} {last}: no end after {SILENT_S:.0f} s")
                worker.kill()
                break
    worker.join()
    return found


def main() -> int:
    asked_for = argparse.ArgumentParser(description="Poison for every reader.")
    asked_for.add_argument("--cases", type=int, default=100_000)
    asked_for.add_argument("--seed", type=int, default=20261128)
    asked_for.add_argument("--only", choices=sorted(READERS))
    asked_for.add_argument("--first", type=int, default=0)
    asked = asked_for.parse_args()
    say = sys.stdout.write
    shares = sum(each.share for each in READERS.values())
    total: Counter[str] = Counter()
    faults: list[str] = []
    say(f"{'reader':26}{'cases':>8}{'read':>8}{'refused':>9}{'faults':>8}{'slowest':>10}\n")
    for name, reader in READERS.items():
        if asked.only not in {None, name}:
            continue
        number = asked.cases if asked.only else -(-asked.cases * reader.share // shares)
        found = run_reader(name, asked.seed, asked.first, number)
        counts = found.counts
        say(
            f"{name:26}{counts.total():8}{counts['read']:8}{counts['refused']:9}{len(found.faults):8}"
            f"{found.slowest_s:8.2f} s\n"
        )
        sys.stdout.flush()
        total += counts
        faults += found.faults
    say(f"{total.total()} cases, seed {asked.seed}: {len(faults)} faults\n")
    for each in faults[:20]:
        say(f"\n{each}\n")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
