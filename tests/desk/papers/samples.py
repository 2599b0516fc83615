"""The sample projects as projects on disk, as they stand after the last of their logs."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from importlib.resources import as_file, files
from pathlib import Path
from zoneinfo import ZoneInfo

from fieldapp.desk.office import begin_project
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from tests.desk.conftest import SiteClock

SHAFTS = {
    "larkwater": ("P1-1", "P1-2", "P1-3", "P1-4", "P2-1", "P2-2", "P2-3", "P2-4", "P2-5", "T-1"),
    "vesker": ("B1", "B2", "B3"),
}
ZONES = {"larkwater": ZoneInfo("America/Denver"), "vesker": ZoneInfo("Europe/Brussels")}


@contextmanager
def sample_project(folder: Path, name: str) -> Iterator[Workplace]:
    """A sample project with all its logs."""
    begin_project(folder / name)
    clock = SiteClock(datetime(2026, 6, 10, 8, 0, tzinfo=ZONES[name]))
    with (
        open_project(folder / name, clock, "office") as place,
        as_file(files("sample_logs") / name) as samples,
    ):
        add_logs(place, read_logs(list(samples.glob("*.log"))))
        yield place
