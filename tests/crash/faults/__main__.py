"""The loop over every step from the command line: a table, the sentences, everything that did not hold."""

from __future__ import annotations

import argparse
import os
import sys
import time

from tests.crash.faults.shim import again_with_shim
from tests.crash.table import progress, result

HEADS = ("what", "trouble", "steps", "tried", "done", "refused", "acknowledged", "lost", "faults")


def main() -> int:
    asked = argparse.ArgumentParser(prog="python -m tests.crash.faults")
    asked.add_argument("--job", nargs="*", default=[])
    asked.add_argument("--trouble", nargs="*", default=[])
    asked.add_argument("--most", type=int, default=0, help="steps tried of each; every one without it")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--sentences", action="store_true", help="also what people were told")
    words = asked.parse_args()
    return _loop(words) if "LD_PRELOAD" in os.environ else again_with_shim("tests.crash.faults")


def _loop(asked: argparse.Namespace) -> int:
    from tests.crash.faults.loop import TROUBLES, all_of
    from tests.crash.jobs import JOBS

    began, every = time.monotonic(), []
    jobs, troubles = asked.job or list(JOBS), asked.trouble or list(TROUBLES)
    for each in all_of(jobs, troubles, asked.most, asked.seed):
        every.append(each)
        progress(f"{each.job}, {each.trouble}: {each.tried} of {each.steps}", *each.faults[:3])
    faults = [fault for each in every for fault in each.faults]
    sentences = sorted({text for each in every for text in each.sentences}) if asked.sentences else []
    rows = [
        (e.job, e.trouble, e.steps, e.tried, e.done, e.refused, e.acknowledged, e.lost, len(e.faults))
        for e in every
    ]
    total = ("all", "", *(sum(row[place] for row in rows) for place in range(2, len(HEADS))))
    minutes = (time.monotonic() - began) / 60
    result(HEADS, [*rows, total], [*sentences, *faults], f"seed {asked.seed}, {minutes:.1f} minutes")
    return int(bool(faults))


if __name__ == "__main__":
    sys.exit(main())
