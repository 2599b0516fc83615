"""First frame of the app beside an empty window, and a board of a thousand shafts, by hand.

``python -m tests.bench.bench_start``.  Never in the suite.  Goals: first frame of the app on a project in
less than twice the time of an empty Kivy app, measured in turn in one run, from the start of the process;
a project of 1,000 shafts on the board in under a second; no frame of turning its pages over 50 ms outside
of drawing.  ``--shafts 200`` makes the project smaller, ``--folder`` keeps and reuses it.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.bench.big_project import big_project
from tests.bench.peers import HEAD, Beside
from tests.bench.spread import spread

HOUSE = Path(__file__).parents[2]
SHAFTS, ROUNDS = 1000, 7
LIMIT_MS = 50.0


def run(home: Path, what: str, *given: str) -> dict[str, Any]:
    """What a process tells that was started just now."""
    environment = {**os.environ, "KIVY_HOME": str(home / "kivy"), "XDG_CONFIG_HOME": str(home)}
    environment["KCFG_GRAPHICS_MAXFPS"] = "0"
    if not environment.get("DISPLAY"):
        environment["SDL_VIDEODRIVER"] = "offscreen"
    command = [sys.executable, "-m", "tests.bench.start_child", what, str(time.monotonic()), *given]
    done = subprocess.run(command, cwd=HOUSE, env=environment, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise SystemExit(done.stderr)
    return dict(json.loads(done.stdout.splitlines()[-1]))


def first_frames(home: Path, folder: Path, rounds: int) -> Iterator[Beside]:
    """Both apps in turn; what is compared is the time from the start of the process.

    The processor's time is told too, since that does not grow when the machine is busy.
    """
    empty, ours = [], []
    for each in range(rounds + 1):
        bare = run(home, "empty")
        told = run(home, "first", str(folder))
        if told["heavy"] or not told["alive"]:
            raise SystemExit(f"this is not the first frame of a board: {told}")
        if each:  # the first round warms the disk
            empty.append(bare)
            ours.append(told)
    for key, name, most in (("frame_s", "on the clock", 2.0), ("processor_s", "of the processor", None)):
        times = tuple(1000 * statistics.median(each[key] for each in told) for told in (ours, empty))
        what = f"first frame, {ours[0]['shafts']} shaft(s), {name}"
        yield Beside(what, "an empty Kivy app", (times[0], times[1]), most)


def pages(home: Path, folder: Path) -> None:
    """Turn all pages of the board, then scroll it by half a row a frame."""
    told = run(home, "pages", str(folder))
    sys.stdout.write(
        f"board of {told['shafts']} shafts: shown {told['frame_s']:.2f} s after the start, the project open "
        f"{told['ready_s']:.2f} s after it; {told['turns']} pages\n"
    )
    for name, key in (
        ("all rows put in", "opening_all"),
        ("pages turned", "turned"),
        ("scrolled", "scrolled"),
    ):
        work, drawing = zip(*told[key], strict=True)
        sys.stdout.write(f"{name}\n" + spread("clock, touches, layout", work, LIMIT_MS))
        sys.stdout.write(spread("drawing (software renderer)", drawing))


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--shafts", type=int, default=SHAFTS)
    asked.add_argument("--folder", type=Path, help="where the big project is kept between runs")
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as made:
        home = Path(made)
        (home / "kivy").mkdir()
        small = big_project(home / "small", 1)
        sys.stdout.write("".join(f"{each}\n" for each in (HEAD, *first_frames(home, small, ROUNDS))))
        kept = given.folder or home
        big = kept / "big"
        if not (big / "journal.db").exists():
            began = time.monotonic()
            big_project(kept, given.shafts)
            sys.stdout.write(f"project of {given.shafts} shafts made in {time.monotonic() - began:.0f} s\n")
        sys.stdout.write("".join(f"{each}\n" for each in first_frames(home, big, ROUNDS)))
        pages(home, big)


if __name__ == "__main__":
    main()
