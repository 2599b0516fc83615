"""The processes that `bench_memory` starts: one makes the project, one opens all its screens.

Arguments: the folder, and the number of rounds, 0 to make the project in it.  What it took goes to the last
line as JSON, in MB; first an empty window, then the rounds.
"""

from __future__ import annotations

import gc
import json
import sys
from collections import Counter
from pathlib import Path

from tests.screens.pictures import open_window


def taken() -> dict[str, float]:
    """Resident memory of this process, and its share of what it has in common with others, in MB."""
    found = {}
    for line in Path("/proc/self/smaps_rollup").read_text("ascii").splitlines():
        name, _, rest = line.partition(":")
        if name in {"Rss", "Pss", "Private_Dirty"}:
            found[name] = int(rest.split()[0]) / 1024
    return found


def alive(kind: type) -> Counter[str]:
    """How many objects of a kind there are, by the names of their classes."""
    gc.collect()
    return Counter(type(each).__name__ for each in gc.get_objects() if issubclass(type(each), kind))


def main() -> None:
    folder, rounds = Path(sys.argv[1]), int(sys.argv[2])
    hand = open_window()  # before anything else of Kivy
    from kivy.uix.widget import Widget

    from tests.bench.all_screens import ENGINEER, every_screen, sample_project, visit
    from tests.screens.journey import set_out

    if not rounds:
        sample_project(folder)
        return
    folder /= "larkwater"
    hand.show(Widget())
    told = {"empty": taken(), "rounds": [], "worst": [], "alive": []}
    on = set_out(hand, folder)
    on.session.person = ENGINEER
    told["board"] = taken()
    sys.stderr.write(f"empty window: {told['empty']}, board: {told['board']}\n")
    for number in range(rounds):
        worst: tuple[float, str] = (0.0, "")
        for name, given in every_screen(folder):
            on.walk.go("board")  # where most ways begin; the way never leads through all screens at once
            visit(on.walk, name, given)
            on.wait()
            hand.until(lambda: not getattr(on.screen, "busy", False), 60)
            hand.draw()
            worst = max(worst, (taken()["Rss"], f"{name} {given.get('kind', given.get('stage', ''))}"))
        on.walk.go("board")
        on.wait()
        hand.draw()
        gc.collect()
        told["rounds"].append(taken())
        told["worst"].append(worst)
        told["alive"].append(alive(Widget))
        sys.stderr.write(f"round {number + 1} of {rounds}: {told['rounds'][-1]}\n")
    on.leave()
    sys.stdout.write(json.dumps(told) + "\n")


if __name__ == "__main__":
    main()
