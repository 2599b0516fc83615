"""Time of the project summary of hundreds of shafts: fold, facts, pages; CPU time, on one core.

By hand: ``python -m tests.bench.bench_summary [SHAFTS]``.  Never in the suite.  Goal: 500 shafts under 10 s.
The shafts are the ten of the sample project again and again: rounds, fluid sets, heads, passes, decisions.
A yardstick beside it, the credit of one base, tells how fast the machine is just now.
"""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy: one core

import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from fieldapp.desk.papers.summary import latest_moment, summary_facts
from reports.project_summary import project_summary
from tests.bench.bench_credit import shaft, timed
from tests.support.many_shafts import many_shafts, place_of, sample_entries

SHAFTS, YARDS = 500, 15


def yardstick_ms():
    """Core time of the credit of one base, the least of some."""
    one = shaft(0)
    return 1000 * min(timed(*one)[1] for _ in range(YARDS))


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else SHAFTS
    with tempfile.TemporaryDirectory() as folder:
        entries = sample_entries("larkwater", Path(folder) / "larkwater")
    names = sorted({each.shaft for each in entries if each.shaft})
    journal = many_shafts(entries, names, count)
    place = place_of(journal)
    before = yardstick_ms()
    marks = [time.process_time()]
    wall = time.perf_counter()
    place.record()
    marks.append(time.process_time())
    facts = summary_facts(place, latest_moment(place), "bench")
    marks.append(time.process_time())
    pdf = project_summary(facts).pdf
    marks.append(time.process_time())
    wall = time.perf_counter() - wall
    fold, gathered, laid_out = np.diff(marks)
    say = sys.stdout.write
    say(f"{count} shafts, {len(journal.made)} entries, {len(pdf) / 1024:.0f} KiB\n")
    say(f"  core: fold {fold:.1f} s, facts {gathered:.1f} s, pages {laid_out:.1f} s; ")
    say(f"together {marks[-1] - marks[0]:.1f} s (wall {wall:.1f} s); goal 10 s for 500\n")
    say(f"  yardstick, credit of one base: {before:.1f} ms before, {yardstick_ms():.1f} ms after\n")


if __name__ == "__main__":
    main()
