"""A project at the moment when a journey begins, typed as a plain log: the rest is shown by another journey.

One shaft of 4 ft under mineral slurry: reference 5032.50 ft, base at 16 ft, ground water at 5021.40 ft.
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

from fieldapp.desk.office import begin_project
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project
from tests.screens.journey import DEVICE
from tests.screens.journeys.inspecting import Depths, clock_at

DAY: Final = "2026-06-02"
SHAFT, INSPECTOR, ENGINEER = "P1", "I. Wren", "R. Heron"
TO_THE_BASE: Final = """
project   heron-bridge
device    office
author    R. Heron
zone      America/Denver
day       2026-06-02

06:30  project set-up
  name            Heron bridge
  units           US
  time zone       America/Denver
  acceptance      us-classic
  person          R. Heron   resident engineer
  person          I. Wren    inspector

06:40  shaft P1  shaft scheduled
  location        pier 1
  method          wet
  fluid           mineral
  design basis    both
  diameter        4' 0"
  reference elevation  5032.50 ft
  tip elevation   5016.50 ft
  piezometric level   alluvium   5021.40 ft

06:50  instrument
  label           tape 1
  type            weighted tape
  passed          yes
  check           against the steel tape

device    tablet north
author    I. Wren
shaft     P1

07:00  head reading
  fluid level     3' 2"
  make up         on

09:00  excavation stage
  from depth      0' 0"
  to depth        16' 0"
  tool            rock auger
  material        firm grey shale
  started at      07:10
  ended at        08:55
  drilled depth   16' 0"
  firm reference  16' 0"

09:01  head reading
  fluid level     3' 3"
  make up         off
"""
CLEANED: Final = """
09:20  cleanout pass
  number          1
  method          cleanout bucket
  started at      09:10
  ended at        09:20
  came up         shale chips, then clear
  depth before    15' 10"
  depth after     15' 11"

09:21  head reading
  fluid level     3' 3"
  make up         off
"""
CLEAN: Final[Depths] = {
    "C": ("15' 11 3/4\"", "16' 0\""),
    "R1": ("15' 11 1/2\"", "16' 0\""),
    "R2": ("15' 11 7/8\"", "16' 0\""),
    "R3": ("15' 11 5/8\"", "16' 0\""),
    "R4": ("15' 11 7/8\"", "16' 0\""),
}
"""First contact and firm bottom of a round that finds the base clean."""
# by hand: 16' 0" - 15' 11 3/4" = 1/4 in, and so on
CLEAN_THICK: Final = {"C": "1/4", "R1": "1/2", "R2": "1/8", "R3": "3/8", "R4": "1/8"}


def heron(folder: Path, *parts: str) -> Path:
    """The project in a folder of its own, with these parts of its log."""
    log = folder / "heron.log"
    log.write_text("".join((TO_THE_BASE, *parts)), "utf-8")
    begin_project(folder / "heron-bridge")
    with open_project(folder / "heron-bridge", clock_at(DAY, "09:25"), DEVICE) as place:
        add_logs(place, read_logs([log]))
    return folder / "heron-bridge"
