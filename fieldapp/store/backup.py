"""Copies of a whole project folder, taken while the journal is in use, and put back as a new device.

A copy never continues a chain: its devices are marked as received, so that whoever opens it, even by
copying the folder back by hand, starts a new device name.  Keys of people are not copied.
"""

from __future__ import annotations

import os
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from fieldapp.record.entry import ChainHead
from fieldapp.store.atomic_file import PART, sync_folder
from fieldapp.store.checking import StoreFinding, check_store, devices_here
from fieldapp.store.entries import heads_in
from fieldapp.store.opening import FOLDERS, JOURNAL, copy_database, opened, reading
from fieldapp.store.problems import AlreadyThere, Damaged, in_plain_words

COPIED: Final = ("pictures", "reports")


@dataclass(frozen=True, slots=True)
class BackedUp:
    """A copy that was made and checked: where, the chain heads in it, and what the check found."""

    folder: Path
    heads: dict[str, ChainHead]
    findings: tuple[StoreFinding, ...]


def back_up(folder: Path, target: Path) -> BackedUp:
    """Copy a project folder to ``target``, which must not exist, check the copy, and name it only then.

    What other devices named and has not arrived yet is missing in the copy as it is here.
    Raises AlreadyThere, Damaged when the copy does not hold up, or another StoreProblem; ``target`` is then
    not there.
    """
    with in_plain_words(target):
        if target.exists():
            raise AlreadyThere(folder=target)
        unfinished = target.with_name(f".{target.name}{PART}")
        shutil.rmtree(unfinished, ignore_errors=True)
        try:
            heads, written_here = _copy(folder, unfinished)
            findings = check_store(unfinished, written_here=written_here)
            wrong = [f"{each.what}: {each.detail}" for each in findings if not each.ok]
            if wrong:
                raise Damaged(folder=unfinished, why="; ".join(wrong))
            unfinished.rename(target)
            sync_folder(target.parent)
        except BaseException:
            shutil.rmtree(unfinished, ignore_errors=True)
            raise
    return BackedUp(target, heads, findings)


def restore(backup: Path, target: Path) -> BackedUp:
    """Put a backup back as a new project folder; its first entry needs a new device name.

    Nothing is overwritten: ``target`` must not exist.  Raises as `back_up` does.
    """
    return back_up(backup, target)


def _copied(source: str, target: str) -> None:
    """A copy that is written through: a backup that is only in memory is none."""
    with Path(source).open("rb") as here, Path(target).open("wb") as there:
        shutil.copyfileobj(here, there)
        there.flush()
        os.fsync(there.fileno())
    shutil.copystat(source, target)


def _copy(folder: Path, target: Path) -> tuple[dict[str, ChainHead], frozenset[str]]:
    """Journal first: every picture that it names was on disk before it, so it is copied after it.

    Gives the chain heads, and the devices whose chains were written in ``folder``.
    """
    with reading(folder) as source:
        written_here = devices_here(source)
        target.mkdir(parents=True)
        copy_database(source, target / JOURNAL)
    for name in FOLDERS:
        if name in COPIED and (folder / name).is_dir():
            shutil.copytree(
                folder / name,
                target / name,
                ignore=shutil.ignore_patterns(f".*{PART}"),
                copy_function=_copied,
            )
        else:
            (target / name).mkdir()
        sync_folder(target / name)
    sync_folder(target)
    copy = opened(target, "writer")
    try:
        copy.connection.execute("UPDATE devices SET origin = 'received' WHERE origin = 'here'")
        return heads_in(copy.connection), written_here
    finally:
        copy.close()
