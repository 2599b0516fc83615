"""A project of a thousand shafts, made as a crew would make it: plain logs, added by the desk, sealed.

The sample shaft P2-2 under a thousand names, as far as its first round of soundings.  It takes some minutes.
"""

from __future__ import annotations

import re
from pathlib import Path

from fieldapp.desk.office import begin_project
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project

SAMPLES = Path(__file__).parents[2] / "sample_logs"
SHAFT, NEXT = "P2-2", "10:10  shaft P2-3"
PER_PIER = 40
ENTRIES = 5
DEVICE = "tablet test"


def big_project(folder: Path, shafts: int) -> Path:
    """Make the project in ``folder / "big"`` and give that folder."""
    names = [f"Q{each // PER_PIER + 1}-{each % PER_PIER + 1}" for each in range(shafts)]
    logs = folder / "logs"
    logs.mkdir(parents=True)
    office = (SAMPLES / "larkwater" / "project.log").read_text("utf-8")
    before, after = office.split(NEXT)
    block = before[before.index(f"10:05  shaft {SHAFT}") :]
    blocks = (block.replace(SHAFT, name) for name in names)
    (logs / "project.log").write_text(f"{before}{''.join(blocks)}{NEXT}{after}", "utf-8")
    head, body = (SAMPLES / "larkwater" / f"{SHAFT}.log").read_text("utf-8").split(f"shaft     {SHAFT}\n")
    # a log goes on in time, so each hour of the day is written for every shaft before the next one
    for number, entry in enumerate(re.split(r"\n(?=\d\d:\d\d  )", body.strip())[:ENTRIES]):
        hour, kind = entry[:7], entry[7:]
        text = "\n\n".join(f"{hour}shaft {name}  {kind.strip()}" for name in names)
        (logs / f"hour_{number:02}.log").write_text(f"{head}\n{text}\n", "utf-8")
    begin_project(folder / "big")
    with open_project(folder / "big", device=DEVICE) as place:
        add_logs(place, read_logs(list(logs.glob("*.log"))))
    return folder / "big"
