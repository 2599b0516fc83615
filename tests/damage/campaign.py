"""Every byte of a small project's files flipped, and every tail cut: ``python -m tests.damage.campaign``.

Each change is found by the check or at opening, in a sentence, or proved to change nothing that the project
says.  Whatever else comes of one (a traceback, half a minute of silence, a silent difference) is listed and
fails the campaign.  ``--every N`` takes one place in N, drawn by the seed.
"""

from __future__ import annotations

import argparse
import os
import random  # noqa: TID251 - seeded
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from fieldapp.store.opening import JOURNAL
from tests.damage.harm import HARM, HARMLESS, Arriving, File, Journal, Judge, changed
from tests.damage.places import place_of
from tests.damage.small_project import Made, make

SLOW_S = 30.0
PICTURE, PAPER = "every picture is here, unchanged", "signed papers are here, unchanged"


@dataclass
class Tally:
    """How many changes came to what, why those that are harmless are, and every one that should not be."""

    came_to: Counter[tuple[str, str]] = field(default_factory=Counter)
    harmless: Counter[str] = field(default_factory=Counter)
    bad: list[str] = field(default_factory=list)
    slowest_s: float = 0.0

    def add(self, other: Tally) -> None:
        """Take another part of the campaign in."""
        self.came_to += other.came_to
        self.harmless += other.harmless
        self.bad += other.bad
        self.slowest_s = max(self.slowest_s, other.slowest_s)

    def text(self) -> str:
        """The table of the campaign."""
        lines = [f"{count:8}  {file:14} {what}" for (file, what), count in sorted(self.came_to.items())]
        lines += ["harmless, by what stands there:"]
        lines += [f"{count:8}  {why}" for why, count in self.harmless.most_common()]
        total = sum(self.came_to.values())
        lines += [
            f"{total} changes, slowest {self.slowest_s:.2f} s, {len(self.bad)} neither found nor harmless"
        ]
        return "\n".join([*lines, *self.bad[:50]])


@dataclass(frozen=True, slots=True)
class Part:
    """A share of the campaign: the files that it changes, one place in ``every``, one share in ``of``."""

    seed: int
    every: int
    share: int = 0
    of: int = 1
    only: tuple[str, ...] = ()

    def places(self, name: str, count: int) -> Iterator[tuple[int, int]]:
        """Places of a file with the mask to flip each by; the same for every share."""
        source = random.Random(f"{self.seed} {name}")
        masks = [source.randrange(1, 256) for _ in range(count)]
        wanted = sorted(source.sample(range(count), max(count // self.every, min(count, 12))))
        return ((at, masks[at]) for at in wanted[self.share :: self.of])


def run_part(part: Part) -> Tally:
    """Carry out a share of the campaign in a folder of its own."""
    fast = Path("/dev/shm")  # in memory where there is one: nothing of it has to last
    with tempfile.TemporaryDirectory(prefix="damage-", dir=fast if fast.is_dir() else None) as name:
        os.environ["XDG_CONFIG_HOME"] = str(Path(name) / "home")  # what this device remembers
        return damage(make(Path(name)), Path(name) / "work", part)


def damage(made: Made, work: Path, part: Part) -> Tally:
    """Change each file of a project, place by place, and judge what comes of it."""
    journal = Journal.of(made, work / "larkwater")
    copy = journal.folder
    arriving: dict[str, tuple[Path, Callable[[], Judge]]] = {
        "journal.db": (made.folder / JOURNAL, lambda: journal),
        "picture": (made.picture, lambda: File(copy / "pictures" / made.picture.name, copy, PICTURE)),
        "paper": (made.paper, lambda: File(copy / "reports" / made.paper.name, copy, PAPER)),
        "bundle": (made.bundle, lambda: Arriving.bundle(made, work / "bundle")),
        "journal.jsonl": (
            made.journal_file,
            lambda: Arriving.journal_file(made, work / "beside", beside=True),
        ),
        "journal alone": (
            made.journal_file,
            lambda: Arriving.journal_file(made, work / "alone", beside=False),
        ),
    }
    tally = Tally()
    for name, (path, judge) in arriving.items():
        if not part.only or name in part.only:
            _one_file(tally, name, (path.read_bytes(), judge()), part)
    return tally


def _one_file(tally: Tally, name: str, what: tuple[bytes, Judge], part: Part) -> None:
    content, judge = what
    for at, mask in part.places(name, len(content)):
        if isinstance(judge, Journal):
            judge.writes = at % 16 == 0
        came_to = _one(tally, (name, f"byte {at} by {mask}"), partial(judge, changed(content, at, mask)))
        if name == JOURNAL and came_to == HARMLESS:
            tally.harmless[place_of(content, at)] += 1
    for length, _ in part.places(f"{name}, tail", len(content)):
        _one(tally, (f"{name}, cut", f"at {length}"), partial(judge, content[:length]))
    if isinstance(judge, Journal):
        judge.put(content)  # what follows is tried on the journal as it was


def _one(tally: Tally, what: tuple[str, str], judged: Callable[[], str]) -> str:
    name, how = what
    began = time.perf_counter()
    try:
        came_to = judged()
    except Exception as problem:  # noqa: BLE001 - whatever comes out of it is what is looked for
        came_to = f"{HARM}: {type(problem).__name__}: {str(problem)[:200]}"
    took = time.perf_counter() - began
    tally.slowest_s = max(tally.slowest_s, took)
    if came_to.startswith(HARM) or took > SLOW_S:
        tally.bad.append(f"{name}, {how}: {came_to}, {took:.1f} s")
    tally.came_to[name, came_to.partition(":")[0]] += 1
    return came_to


def main() -> int:
    """The campaign of the command line."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--every", type=int, default=1, help="one place in so many")
    asked.add_argument("--processes", type=int, default=2)
    asked.add_argument("--only", action="append", default=[], help="one file; again for more")
    said = asked.parse_args()
    parts = [
        Part(said.seed, said.every, share, said.processes, tuple(said.only))
        for share in range(said.processes)
    ]
    whole = Tally()
    with ProcessPoolExecutor(said.processes) as pool:
        for each in pool.map(run_part, parts):
            whole.add(each)
    print(f"seed {said.seed}, one place in {said.every}\n{whole.text()}")  # noqa: T201 - its answer
    return 1 if whole.bad else 0


if __name__ == "__main__":
    sys.exit(main())
