"""A small project on disk, made the way a person makes one: from plain logs, through the desk."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from fieldapp.desk.office import begin_project
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project

SETUP = """\
project   larkwater
device    office
author    Resident engineer
zone      America/Denver
day       2026-04-27

09:00  project set-up
  name            Larkwater crossing
  units           US
  time zone       America/Denver
  acceptance      us-classic
  confidence      95 %
  person          Inspector A        inspector
  person          Resident engineer  resident engineer
  person          Designer           designer

09:10  instrument
  label    tape 1
  type     weighted tape
  passed   yes
  check    against a steel tape

09:35  shaft P1-1  shaft scheduled
  location        pier 1, upstation left
  method          wet
  fluid           mineral
  design basis    both
  diameter        6' 0"
  reference elevation  5032.50 ft
  tip elevation   5002.50 ft
  piezometric level   alluvium   5021.40 ft
"""
HOLE = """\
project   larkwater
device    tablet north
author    Inspector A
zone      America/Denver
day       2026-05-12
shaft     P1-1

08:10  excavation stage
  from depth      0' 0"
  to depth        30' 0"
  tool            rock auger
  material        shale
  started at      07:10
  ended at        08:10
  drilled depth   30' 0"

08:40  sounding round  #r1
  number      1
  why         other
  instrument  tape 1
  point  C   r 0 in    angle 0 deg    first 29' 11 3/4"   firm 30' 0"
  point  N   r 31 in   angle 0 deg    first 29' 11 1/2"   firm 30' 0"
"""


class SiteClock:
    """A clock that stands still until it is moved, and counts the identifiers it makes."""

    def __init__(self, at: datetime) -> None:
        self.at = at
        self.made = 0

    def now(self, zone: str) -> datetime:
        return self.at.astimezone(ZoneInfo(zone))

    def new_id(self) -> str:
        self.made += 1
        return f"019e1d46-3180-75b4-904d-{self.made:012x}"

    def move(self, **span: float) -> None:
        self.at += timedelta(**span)


@pytest.fixture
def clock() -> SiteClock:
    return SiteClock(datetime(2026, 5, 12, 9, 0, tzinfo=ZoneInfo("America/Denver")))


@pytest.fixture
def logs(tmp_path: Path) -> Path:
    folder = tmp_path / "logs"
    folder.mkdir()
    (folder / "project.log").write_text(SETUP, "utf-8")
    (folder / "P1-1.log").write_text(HOLE, "utf-8")
    return folder


@pytest.fixture
def place(tmp_path: Path, logs: Path, clock: SiteClock, device_home: Path) -> Iterator[Workplace]:
    folder = tmp_path / "larkwater"
    begin_project(folder)
    with open_project(folder, clock, device="tablet south") as opened:
        add_logs(opened, read_logs(list(logs.glob("*.log"))))
        yield opened


PLAN_ONLY = """\
project   larkwater
device    office
author    Resident engineer
zone      America/Denver
day       2026-05-11

09:35  shaft P9-1  shaft scheduled
  location        pier 9
  method          wet
  fluid           mineral
  design basis    both
  diameter        6' 0"
  reference elevation  5032.50 ft
  tip elevation   5002.50 ft
  piezometric level   alluvium   5021.40 ft
"""
