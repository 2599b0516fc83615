"""How the work grows with the project: open, a shaft, an entry, rebuild, bundle, summary, check; by hand.

``python -m tests.bench.bench_size [SHAFTS ...]``, by default 60, 120, 240, 480, with ``--each`` entries a
shaft.  Goals: opening a shaft and recording do not depend on the size of the project (exponent near 0),
work on the whole of it grows at most in line (1), memory stays bounded.  Each size runs in a process of its
own; the exponent is that of the best line through the logarithms.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np

HOUSE = Path(__file__).parents[2]
SHAFTS, EACH = (60, 120, 240, 480), 50


def measured(folder: Path, shafts: int, each: int) -> dict[str, tuple[float, float]]:
    """Seconds and megabytes by what was done."""
    command = [sys.executable, "-m", "tests.bench.size_child", str(folder), str(shafts), str(shafts * each)]
    for _ in range(2):  # made, then measured
        done = subprocess.run(command, cwd=HOUSE, stdout=subprocess.PIPE, text=True, check=True)
    found: dict[str, tuple[float, float]] = json.loads(done.stdout.splitlines()[-1])
    return found


def main() -> None:
    asked_for = argparse.ArgumentParser(description=__doc__)
    asked_for.add_argument("shafts", nargs="*", type=int, default=SHAFTS)
    asked_for.add_argument("--each", type=int, default=EACH)
    asked = asked_for.parse_args()
    found = {}
    for shafts in asked.shafts:
        with tempfile.TemporaryDirectory() as made:
            found[shafts] = measured(Path(made), shafts, asked.each)
    say = sys.stdout.write
    say(
        f"{'s of the processor; MB at most':32}"
        + "".join(f"{each:>16} shafts" for each in found)
        + "  exponent\n"
    )
    for what in next(iter(found.values())):
        times = [each[what][0] for each in found.values()]
        cells = (
            f"{took_s:13.3f} {most_mb:6.0f} MB" for took_s, most_mb in (each[what] for each in found.values())
        )
        slope = (
            np.polyfit(np.log(list(found)), np.log(np.maximum(times, 1e-4)), 1)[0] if len(found) > 1 else 0.0
        )
        say(f"{what:32}" + "".join(cells) + f"{slope:10.2f}\n")


if __name__ == "__main__":
    main()
