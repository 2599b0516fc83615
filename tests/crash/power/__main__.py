"""Power cuts from the command line: a table, and everything that did not hold."""

from __future__ import annotations

import argparse
import os
import sys
import time

from tests.crash.faults.shim import again_with_shim
from tests.crash.table import progress, result

HEADS = ("what", "steps", "cuts", "different", "acknowledged", "losing", "faults")


def main() -> int:
    asked = argparse.ArgumentParser(prog="python -m tests.crash.power")
    asked.add_argument("--story", nargs="*", default=[])
    asked.add_argument("--most", type=int, default=0, help="cuts tried of each story; all without it")
    asked.add_argument("--seed", type=int, default=1)
    words = asked.parse_args()
    return _cut(words) if "LD_PRELOAD" in os.environ else again_with_shim("tests.crash.power")


def _cut(asked: argparse.Namespace) -> int:
    from tests.crash.power.cuts import STORIES, all_of

    began, rows, said = time.monotonic(), [], []
    for each in all_of(asked.story or list(STORIES), asked.most, asked.seed):
        if each.control and not each.losing:
            said.append(f"{each.what}: nothing was lost, so this test cannot fail")
        said += [] if each.control else [*each.lost, *each.faults]
        faults = "" if each.control else len(each.faults)
        rows.append(
            (each.what, each.steps, each.cuts, each.different, each.acknowledged, each.losing, faults)
        )
        progress(f"{each.what}: {each.different} images, after {each.losing} something is lost")
    minutes = (time.monotonic() - began) / 60
    result(HEADS, rows, said, f"seed {asked.seed}, {minutes:.1f} minutes")
    return int(bool(said))


if __name__ == "__main__":
    sys.exit(main())
