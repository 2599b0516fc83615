"""A project folder that is to receive something: opened if it is there, else it appears once it is filled."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from fieldapp.desk.clock import Clock
from fieldapp.desk.office import begin_project
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.store.atomic_file import PART, sync_folder
from fieldapp.store.opening import FOLDERS, JOURNAL, LOCK
from fieldapp.store.problems import in_plain_words


@contextmanager
def growing_project(folder: Path, clock: Clock | None = None, device: str = "") -> Iterator[Workplace]:
    """The project in a folder, open for work; a new one is there only when all that was asked went well.

    Raises StoreProblem.  What is raised inside leaves no new folder behind.
    """
    if folder.exists():
        before = set(folder.iterdir()) if folder.is_dir() else set()
        try:
            begin_project(folder)
            with open_project(folder, clock, device) as place:
                yield place
        except BaseException:
            if folder / JOURNAL not in before:
                _take_back(folder, before)
            raise
        return
    growing = folder.with_name(f".{folder.name}.new{PART}")  # hidden: no folder of somebody's has this name
    shutil.rmtree(growing, ignore_errors=True)
    try:
        begin_project(growing)
        with open_project(growing, clock, device) as place:
            yield place
        with in_plain_words(folder):
            growing.rename(folder)
            sync_folder(folder.parent)
    finally:
        shutil.rmtree(growing, ignore_errors=True)


def _take_back(folder: Path, before: set[Path]) -> None:
    """Leave a folder without what a project that came to nothing put there; other files are not touched."""
    files = (JOURNAL, f"{JOURNAL}-wal", f"{JOURNAL}-shm", LOCK, f"{LOCK}-journal")
    with suppress(OSError):
        for each in {folder / name for name in files} - before:
            each.unlink(missing_ok=True)
        for each in {folder / name for name in FOLDERS} - before:
            shutil.rmtree(each, ignore_errors=True)
