"""A program killed at any moment loses nothing that it said was safe, and leaves no half entry.

Killing a process leaves the page cache alone, so this does not stand for a power cut; that the journal is
synced at every commit is asserted where its settings are tested.
"""

from __future__ import annotations

import resource
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from fieldapp.record.chain import breaks_in
from fieldapp.store.checking import check_store
from fieldapp.store.entries import all_entries
from fieldapp.store.journal import open_journal
from fieldapp.store.opening import create_store, reading
from fieldapp.store.pictures import save_picture
from fieldapp.store.problems import DiskFull, DiskTrouble
from tests.store.builders import SimpleProjector, draft

ROOT = Path(__file__).parents[2]
KILLS = 15

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL and limits of POSIX")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = tmp_path / "larkwater"
    create_store(place)
    return place


def killed(folder: Path, how: str, after: int, wait_s: float) -> set[str]:
    """Run a worker, kill it ``wait_s`` after acknowledgement number ``after``; what it said until then."""
    command = [sys.executable, "-m", "tests.crash.worker", str(folder), how]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as worker:
        assert worker.stdout is not None
        said = [worker.stdout.readline() for _ in range(after)]
        time.sleep(wait_s)
        worker.send_signal(signal.SIGKILL)
        said += worker.stdout.readlines()
    assert worker.returncode == -signal.SIGKILL
    return {name for line in said for name in line.split()} - {"ready"}


def ids_in(folder: Path) -> set[str]:
    with reading(folder) as connection:
        entries = all_entries(connection)
    assert breaks_in(entries) == ()
    assert len(entries) % 2 == 0, "a batch of two was saved by half"
    return {each.id for each in entries}


def test_nothing_acknowledged_is_lost_when_the_program_is_killed(folder: Path) -> None:
    acknowledged: set[str] = set()
    for turn in range(KILLS):
        after, wait_s = (turn * 7) % 19, (turn * 37 % 50) / 10_000
        acknowledged |= killed(folder, "honest", after, wait_s if after else 0.2 + 10 * wait_s)
        assert acknowledged <= ids_in(folder)
    assert len(acknowledged) >= 100
    with open_journal(folder, SimpleProjector()) as journal:
        journal.append([draft("after all of it")], "tablet north")
    assert not list((folder / "pictures").glob(".*"))
    wrong = [each for each in check_store(folder, SimpleProjector()) if not each.ok]
    assert not wrong


def test_the_same_harness_sees_a_loss_where_there_is_one(folder: Path) -> None:
    """Negative control: acknowledged before the commit, killed at once."""
    acknowledged = killed(folder, "early", 4, 0)
    assert acknowledged - ids_in(folder)


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
