"""The crash campaign: ``python -m tests.crash.campaign --kills 1000 --seed 7`` kills desk and app and judges.

One kill in twenty ends the app itself, driven by touch in its window; the others end the desk.  The table
says what was killed how often, how much had been acknowledged, and what of it was lost: nothing may be.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from typing import Final

from tests.crash.app_kills import WORKS, app_kills
from tests.crash.faults.loop import bench
from tests.crash.jobs import JOBS
from tests.crash.kills import Row, killed
from tests.crash.table import progress, result

HEADS: Final = ("what", "kills", "too late", "acknowledged", "lost", "faults")
APP_SHARE: Final = 20
SLOW: Final = {"reports": 0.4, "signing": 0.4, "passphrase": 0.4, "new project": 0.6}
"""What takes so long is killed less often."""


def shares(kills: int, names: list[str]) -> dict[str, int]:
    """So many kills, spread over kinds of work by their weight."""
    weights = {name: SLOW.get(name, 1.0) for name in names}
    found = {name: int(kills * each / sum(weights.values())) for name, each in weights.items()}
    for number in range(kills - sum(found.values())):
        found[names[number % len(names)]] += 1
    return found


@dataclass(frozen=True)
class Share:
    """So many kills during one kind of work, of the desk or of the app."""

    what: str
    kills: int
    app: bool

    def row(self, seed: int) -> Row:
        """Make a ground of its own, and kill."""
        if self.app:
            (row,) = app_kills(self.kills, seed, (self.what,))
            return row
        with tempfile.TemporaryDirectory(prefix="basenote-kills-") as made:
            return killed(bench(Path(made)), self.what, self.kills, seed)


def rows_of(wanted: list[Share], seed: int, at_once: int) -> Iterator[Row]:
    """Kill in several processes at once, each with a project of its own; nothing depends on how many."""
    with ProcessPoolExecutor(at_once, get_context("spawn")) as pool:
        for done in as_completed([pool.submit(each.row, seed) for each in wanted]):
            yield done.result()


def main() -> int:
    asked = argparse.ArgumentParser(prog="python -m tests.crash.campaign", description=__doc__)
    asked.add_argument("--kills", type=int, default=1000)
    asked.add_argument("--app", type=int, help="how many of them end the app; one in twenty without it")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--at-once", type=int, default=2, help="processes that kill side by side")
    asked.add_argument("--job", nargs="*", default=list(JOBS), choices=list(JOBS))
    asked.add_argument("--work", nargs="*", default=list(WORKS), choices=list(WORKS), help="of the app")
    words = asked.parse_args()
    app = words.kills // APP_SHARE if words.app is None else words.app
    wanted = [Share(name, kills, app=True) for name, kills in shares(app, words.work).items() if kills]
    for name, kills in shares(words.kills - app, words.job).items():
        wanted += [Share(name, kills, app=False)] if kills else []
    began, rows = time.monotonic(), []
    for row in rows_of(wanted, words.seed, words.at_once):
        rows.append(row)
        progress(f"{row.what}: {row.kills} kills, {len(row.faults)} faults", *row.faults[:3])
    order = [f"app: {each.what}" if each.app else each.what for each in wanted]
    rows.sort(key=lambda each: order.index(each.what))
    faults = [fault for row in rows for fault in row.faults]
    cells = [(row.what, row.kills, row.too_late, row.acknowledged, row.lost, len(row.faults)) for row in rows]
    total = ("all", *(sum(each[place] for each in cells) for place in range(1, len(HEADS))))
    minutes = (time.monotonic() - began) / 60
    result(HEADS, [*cells, total], faults, f"{total[1]} kills, seed {words.seed}, {minutes:.1f} minutes")
    return int(bool(faults))


if __name__ == "__main__":
    sys.exit(main())
