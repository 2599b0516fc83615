"""A program killed at any moment loses nothing that it said was safe, and leaves nothing half.

The campaign in short: desk and app are killed at random moments of everything that people do.  Killing leaves
the page cache alone: it stands for a dead program, `test_power` for a power cut.
"""

from __future__ import annotations

import re
import resource
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from fieldapp.record.chain import breaks_in
from fieldapp.store.checking import check_store
from fieldapp.store.journal import open_journal
from fieldapp.store.opening import create_store
from fieldapp.store.pictures import save_picture
from fieldapp.store.problems import DiskFull, DiskTrouble
from fieldapp.store.reader import read_journal
from tests.store.builders import SimpleProjector, draft

ROOT = Path(__file__).parents[2]
DESK_KILLS = 37
SEED = 7

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL and limits of POSIX")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "larkwater"
    create_store(place)
    return place


def campaign(*words: str) -> str:
    """A short campaign in a process of its own; what it prints, and it must have found nothing."""
    command = [sys.executable, "-m", "tests.crash.campaign", "--seed", str(SEED), *words]
    made = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert made.returncode == 0, made.stdout + made.stderr
    return made.stdout


def test_nothing_is_lost_or_half_whenever_the_desk_is_killed():
    said = campaign("--kills", str(DESK_KILLS), "--app", "0")
    (all_kinds,) = re.findall(r"^all +(\d+) +\d+ +(\d+) +(\d+) +(\d+)$", said, re.MULTILINE)
    kills, acknowledged, lost, faults = map(int, all_kinds)
    assert (kills, lost, faults) == (DESK_KILLS, 0, 0)
    assert acknowledged >= DESK_KILLS


def killed_early(folder: Path) -> set[str]:
    """Kill a worker that says that entries are safe before they are; what it said."""
    command = [sys.executable, "-m", "tests.crash.worker", str(folder)]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as worker:
        assert worker.stdout is not None
        said = [worker.stdout.readline() for _ in range(4)]
        worker.send_signal(signal.SIGKILL)
        said += worker.stdout.readlines()
    assert worker.returncode == -signal.SIGKILL
    return {name for line in said for name in line.split()} - {"ready"}


def test_a_program_that_speaks_too_early_is_seen_to_lose(folder: Path) -> None:
    """Negative control: acknowledged before the commit, killed at once."""
    acknowledged = killed_early(folder)
    with read_journal(folder) as journal:
        entries = tuple(journal.entries())
    assert breaks_in(entries) == ()
    assert acknowledged - {each.id for each in entries}


def test_a_disk_that_takes_no_more_gives_a_sentence_and_loses_nothing(folder: Path) -> None:
    """The operating system refuses to let any file grow beyond a limit, as a full disk would."""
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    before = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    saved = 0
    with open_journal(folder, SimpleProjector()) as journal:
        try:
            resource.setrlimit(resource.RLIMIT_FSIZE, (300_000, limits[1]))
            with pytest.raises((DiskTrouble, DiskFull), match="not saved"):
                save_picture(folder, b"x" * 400_000, ".jpg")
            with pytest.raises((DiskTrouble, DiskFull), match="not saved"):
                while True:
                    journal.append([draft("x" * 1900)], "tablet north")
                    saved += 1
            assert len(journal.entries()) == saved > 2
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, limits)
            signal.signal(signal.SIGXFSZ, before)
        journal.append([draft("room again")], "tablet north")
        assert len(journal.entries()) == saved + 1
    assert not list((folder / "pictures").iterdir())
    assert all(each.ok for each in check_store(folder, SimpleProjector()))
