"""What can go wrong with a project folder, in sentences that a person on site can act on.

Errors of the driver and of the operating system are translated once, here, at the edge.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import ClassVar, Final

from fieldapp.store.driver import sqlite3


class StoreProblem(Exception):
    """Something is wrong with a project folder; ``says`` is the sentence, with named places."""

    says: ClassVar[str] = "The project folder {folder} cannot be used: {why}."

    def __init__(self, **facts: object) -> None:
        self.facts = facts
        from fieldapp.record.said import Said  # noqa: PLC0415 - the board is read without the record

        super().__init__(Said(self.says, facts))


class NotAProject(StoreProblem):
    """There is no journal of ours in the folder."""

    says = "{folder} is not a project folder: {why}. Choose the folder that holds journal.db."


class OnlyReading(StoreProblem):
    """Something was to be recorded in a project that is open for looking only."""

    says = "{folder} is open for looking only. Nothing was saved; open it for work and try again."


class AlreadyThere(StoreProblem):
    """Something stands where a new folder was to be made."""

    says = "{folder} is already there and was left as it is. Choose a new name."


class NewerStore(StoreProblem):
    """The journal was written by a newer program."""

    says = (
        "The journal in {folder} was made by a newer Basenote (format {found}, this one knows {known}). "
        "Nothing was changed. Install the newer Basenote to open it."
    )


class OlderStore(StoreProblem):
    """The journal or its read tables have not been brought up to date yet."""

    says = (
        "The project in {folder} was last used with an older Basenote. "
        "Open it once for writing, then try again."
    )


class OldDriver(StoreProblem):
    """SQLite itself is too old."""

    says = "SQLite {found} is too old for {folder}; {known} or later is needed. Nothing was changed."


class SettingRefused(StoreProblem):
    """A safety setting did not take."""

    says = (
        "The database in {folder} does not keep the setting {setting}: it says {found}, not {wanted}. "
        "Nothing was written. "
        "Move the project to a local disk (not a network or cloud folder) and open it again."
    )


class GuardsChanged(StoreProblem):
    """Tables or triggers that protect the entries are not as they were made."""

    says = (
        "The journal in {folder} has lost its protection or was altered by another program: {why}. "
        "Nothing was written. Keep this folder as it is and go on from the last backup; without one, "
        "'basenote recover' makes a new project of everything in it that proves itself."
    )


class Damaged(StoreProblem):
    """The file is not sound."""

    says = (
        "The journal in {folder} is damaged: {why}. Nothing was written. Keep this folder as it is. "
        "'basenote check' names what is affected; go on from the last backup, or let 'basenote recover' make "
        "a new project of everything in it that proves itself."
    )


class NothingProved(StoreProblem):
    """Nothing in a damaged folder proves itself."""

    says = (
        "Nothing in {folder} proves itself as an entry of a project, and no new project was made. Keep this "
        "folder as it is, and go on from the last backup or from a bundle of another device."
    )


class DiskFull(StoreProblem):
    """No room left."""

    says = (
        "The disk is full. This was not saved; all earlier entries are safe in {folder}. "
        "Make room on the disk, then save again."
    )


class ReadOnly(StoreProblem):
    """The folder cannot be written."""

    says = (
        "{folder} is read-only at present. This was not saved; all earlier entries are safe. "
        "Check the disk or the rights of the folder, then save again."
    )


class ReadOnlyDisk(StoreProblem):
    """Nothing can be written where the folder is; another connection would not help."""

    says = ReadOnly.says


class LockedElsewhere(StoreProblem):
    """Another program writes to the folder."""

    says = (
        "The project in {folder} is open for writing in another program or window. This was not saved. "
        "Close the other one, then try again."
    )


class DiskTrouble(StoreProblem):
    """The disk reported a fault."""

    says = (
        "The disk reported a fault in {folder} ({why}). This was not saved. "
        "Make a backup to another disk before going on."
    )


class NoAccess(StoreProblem):
    """The operating system refused the folder."""

    says = (
        "{folder} could not be opened ({why}). Nothing was changed. "
        "Check the disk and the rights of the folder."
    )


class WriteRefused(StoreProblem):
    """A guard of the database refused what was to be written."""

    says = (
        "The journal in {folder} refused this: {why}. "
        "Nothing was saved, and nothing already saved was changed."
    )


class RepeatedId(StoreProblem):
    """An entry with this id is in the journal already."""

    says = (
        "The entry {id} is already in the journal. It was not saved a second time, and nothing was changed."
    )


class AnotherProject(StoreProblem):
    """Entries of another project."""

    says = (
        "This entry belongs to project {found}, but the journal in {folder} is of project {known}. "
        "It was not saved."
    )


class NotOurDevice(StoreProblem):
    """A chain that came from elsewhere, or from before a backup was restored, is never extended here."""

    says = (
        "The chain of device {device} came from elsewhere or from a restored backup. "
        "It is not continued here, and nothing was saved. Start a new device name for this tablet."
    )


class OwnChainElsewhere(StoreProblem):
    """Entries of a device of this tablet arrive that are not here."""

    says = (
        "Entry {seq} of this tablet's own device {device} arrived from elsewhere, but is not here. "
        "Nothing was taken over. The project here was most likely put back from an older copy. "
        "Take it in once more and say that its own entries came back; this tablet then records under a "
        "new device name."
    )


class Forked(StoreProblem):
    """Two entries claim one place in a chain."""

    says = (
        "Entry {seq} of device {device} exists in two versions. Nothing was taken over. "
        "Keep both files: the tablet was most likely restored from a backup without a new device name."
    )


class BrokenLink(StoreProblem):
    """An entry does not follow the one before it."""

    says = (
        "Entry {seq} of device {device} does not follow entry {last}, the last one here. "
        "Nothing was taken over. Fetch the entries that are missing first."
    )


class FarAhead(StoreProblem):
    """An entry counts so far ahead that nothing could follow it."""

    says = (
        "Entry {seq} of device {device} counts further ahead than any project has entries. Nothing was taken "
        "over. Ask whoever sent it what was done to that device."
    )


class NothingFollows(StoreProblem):
    """The highest stamp there can be is in the journal."""

    says = (
        "An entry in this journal counts so far ahead that nothing can follow it. Nothing was saved, and all "
        "that is recorded is safe. Go on in a backup from before that entry came."
    )


class NoScratch(StoreProblem):
    """A temporary file that a question needs could not be written."""

    says = (
        "{folder} could not be looked into: the temporary file for it was refused ({why}). Nothing was "
        "changed. Make room on the disk of temporary files, and try again."
    )


class WrongStretch(StoreProblem):
    """A signature of a chain that is not of its head."""

    says = (
        "The signature of the chain of device {device} is not of its last entry, {last}. "
        "It was not saved. Sign again."
    )


class EntryRefused(StoreProblem):
    """An entry from elsewhere that may not be taken over."""

    says = (
        "Entry {seq} of device {device}, a {kind} by {author}, is not taken over: {why} "
        "Nothing was taken over. Ask the office that sent it for a sound copy, or for what is missing."
    )


class PictureMissing(StoreProblem):
    """An entry names a picture that is not on disk."""

    says = "The picture {digest} is not in {folder}. The entry was not saved. Save the picture first."


_REFUSED: Final = frozenset({errno.EACCES, errno.EPERM})
_WORDS_OF_SYSTEM: Final[dict[int | None, type[StoreProblem]]] = {
    errno.ENOSPC: DiskFull,
    getattr(errno, "EDQUOT", errno.ENOSPC): DiskFull,
    errno.EROFS: ReadOnly,
    errno.EACCES: NoAccess,
    errno.EPERM: NoAccess,
    errno.ENOENT: NoAccess,
    errno.ENOTDIR: NoAccess,
}
_WORDS_OF_DRIVER: Final[dict[int, type[StoreProblem]]] = {
    5: LockedElsewhere,  # SQLITE_BUSY
    6: LockedElsewhere,  # SQLITE_LOCKED
    8: ReadOnly,
    10: DiskTrouble,  # SQLITE_IOERR
    11: Damaged,  # SQLITE_CORRUPT
    13: DiskFull,
    14: NoAccess,  # SQLITE_CANTOPEN
    15: LockedElsewhere,  # SQLITE_PROTOCOL: the lock was asked for again and again
    19: WriteRefused,  # SQLITE_CONSTRAINT and RAISE(ABORT) of a trigger
    23: NoAccess,  # SQLITE_AUTH
    26: Damaged,  # SQLITE_NOTADB: the file is called journal.db and does not begin like a database
}


@contextmanager
def in_plain_words(folder: Path) -> Iterator[None]:
    """Turn errors of the driver and the operating system into a StoreProblem about ``folder``."""
    try:
        yield
    except sqlite3.Error as problem:
        raise _of_driver(problem, folder) from problem
    except UnicodeDecodeError as problem:  # a text in the file, or the driver's own words about one
        raise Damaged(folder=folder, why=problem) from problem
    except OSError as problem:
        made = _WORDS_OF_SYSTEM.get(problem.errno, DiskTrouble)
        if made is NoAccess and problem.errno in _REFUSED and _only_read(folder):
            made = ReadOnlyDisk
        raise made(folder=folder, why=problem.strerror or str(problem)) from problem


def _of_driver(problem: sqlite3.Error, folder: Path) -> StoreProblem:
    code = getattr(problem, "sqlite_errorcode", 0) & 0xFF
    made = _WORDS_OF_DRIVER.get(code, StoreProblem)
    if made is DiskTrouble and _only_read(folder):  # the driver keeps to itself why a write failed
        made = ReadOnlyDisk
    return made(folder=folder, why=problem)


def _only_read(place: Path) -> bool:
    """Whether a folder, or the one that a file is in, can be read and nothing can be written to it."""
    import tempfile  # noqa: PLC0415 - only where something went wrong

    folder = place if place.is_dir() else place.parent
    if not os.access(place, os.R_OK):
        return False
    try:
        with tempfile.TemporaryFile(dir=folder):
            return False
    except OSError as problem:
        return problem.errno in {errno.EROFS, *_REFUSED}
