"""Memory of the app after every screen was opened, round after round, by hand.

``python -m tests.bench.bench_memory``.  Never in the suite.  Goals: under 250 MB resident after all
screens; nothing more with every further round.  The software renderer keeps its textures and its compiled
shaders in the memory of the process, so an empty window is measured first, in the same process.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

HOUSE = Path(__file__).parents[2]
GOAL_MB = 250
ROUNDS = 5


def child(home: Path, rounds: int) -> str:
    """What a process of its own says after so many rounds; 0 makes the project."""
    command = [sys.executable, "-m", "tests.bench.memory_child", str(home), str(rounds)]
    environment = {**os.environ, "XDG_CONFIG_HOME": str(home)}
    return subprocess.run(
        command, cwd=HOUSE, env=environment, stdout=subprocess.PIPE, text=True, check=True
    ).stdout


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--rounds", type=int, default=ROUNDS)
    rounds = asked.parse_args().rounds
    say = sys.stdout.write
    with tempfile.TemporaryDirectory() as made:
        home = Path(made)
        child(home, 0)
        told = json.loads(child(home, rounds).splitlines()[-1])
    say(f"{'':34}{'resident':>10}{'its share':>11}{'own':>8}   MB   goal {GOAL_MB} resident\n")
    named = [("empty window", told["empty"]), ("board, project open", told["board"])]
    named += [(f"all screens, round {n}", each) for n, each in enumerate(told["rounds"], 1)]
    for name, each in named:
        say(f"{name:34}{each['Rss']:10.0f}{each['Pss']:11.0f}{each['Private_Dirty']:8.0f}\n")
    worst, where = max(told["worst"])
    say(f"most on the way: {worst:.0f} MB resident, on {where}\n")
    grown = (told["rounds"][-1]["Rss"] - told["rounds"][1]["Rss"]) / max(1, rounds - 2)
    say(f"growth from round 2 on: {grown:.2f} MB a round\n")
    first, last = told["alive"][min(1, rounds - 1)], told["alive"][-1]
    more = {kind: last[kind] - first.get(kind, 0) for kind in last if last[kind] > first.get(kind, 0)}
    say(
        f"widgets alive: {sum(first.values())} after round 2, {sum(last.values())} at the end; "
        f"more of: {more or 'none'}\n"
    )


if __name__ == "__main__":
    main()
