"""One change to one file of a project: is it found, by what, or does everything read as before?"""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from fieldapp.desk.problems import PROBLEMS
from fieldapp.desk.projector import Rows
from fieldapp.desk.recovery.survey import survey
from fieldapp.desk.recovery.telling import affected
from fieldapp.desk.travel.arriving import NewFolder, begin_from_bundle
from fieldapp.desk.travel.tables import begin_with_journal_file
from fieldapp.desk.trust.audit import audit
from fieldapp.desk.workplace import open_project
from fieldapp.store.opening import JOURNAL, reading
from fieldapp.store.problems import StoreProblem
from fieldapp.store.read_tables import READ_TABLES
from fieldapp.store.reader import JournalReader, read_journal
from tests.damage.small_project import Made

HARMLESS, HARM = "harmless", "NOT FOUND"
UNPROVED = "not shown: nothing in the file vouches for the last entry of a chain"
# What a change came to: found by what, harmless, or neither.
Judge: TypeAlias = Callable[[bytes], str]


def reads_as(folder: Path) -> str:
    """A digest of everything that a project says: entries, findings and all read tables."""
    with reading(folder) as connection:
        journal = JournalReader(folder, connection)
        parts: list[object] = [each.sealed for each in journal.entries()]
        record, rows = journal.record(), Rows()
        shafts = record.shafts.values()
        parts += [
            rows.project_rows(record),
            *(rows.shaft_rows(record, each) for each in shafts),
        ]
        parts += [connection.execute(f"SELECT * FROM {each.name}").fetchall() for each in READ_TABLES]
        for sql in ("about", "last_soundings", "devices"):
            parts += sorted(connection.execute(f"SELECT * FROM {sql}").fetchall())
    return hashlib.sha256(repr(parts).encode()).hexdigest()


def changed(content: bytes, at: int, mask: int) -> bytes:
    """The same bytes with one of them flipped by ``mask`` (1 to 255)."""
    return content[:at] + bytes([content[at] ^ mask]) + content[at + 1 :]


@dataclass
class Journal:
    """Changes to ``journal.db``, each judged in a copy of the project; opened for writing too when asked."""

    folder: Path
    before: str
    writes: bool = False

    @classmethod
    def of(cls, made: Made, folder: Path) -> Journal:
        shutil.copytree(made.folder, folder)
        return cls(folder, reads_as(folder))

    def __call__(self, content: bytes) -> str:
        self.put(content)
        wrong = [each for each in audit(self.folder) if not each.ok]
        if self.writes:
            self._open_for_work(content)
        if wrong:
            assert all(each.detail for each in wrong), wrong
            survey(self.folder)  # says what is left, whatever happened
            return wrong[0].what
        self.put(content)
        try:
            return HARMLESS if reads_as(self.folder) == self.before else HARM
        except StoreProblem as problem:
            return f"{HARM}, {problem}"

    def put(self, content: bytes) -> None:
        """Make the journal of the copy this file, with nothing beside it."""
        for each in self.folder.glob(f"{JOURNAL}*"):
            each.unlink()
        (self.folder / JOURNAL).write_bytes(content)

    def _open_for_work(self, content: bytes) -> None:
        """Open it as the app does: it opens, or says in a sentence why not."""
        self.put(content)
        try:
            with open_project(self.folder, device="another device") as place:
                place.record()
        except PROBLEMS as problem:
            assert str(problem).endswith((".", ")")), problem


@dataclass
class File:
    """Changes to a picture or a paper: the check names it, and so does the survey of what is left."""

    path: Path
    folder: Path
    what: str

    def __call__(self, content: bytes) -> str:
        whole = self.path.read_bytes()
        self.path.write_bytes(content)
        try:
            wrong = {each.what: each.detail for each in audit(self.folder) if not each.ok}
            left = survey(self.folder)
        finally:
            self.path.write_bytes(whole)
        spoilt = {each.name.partition(".")[0] for each in (*left.spoilt_pictures, *left.spoilt_papers)}
        named = self.path.stem in wrong.get(self.what, "") and self.path.stem in spoilt
        return self.what if named and any(self.path.stem in each for each in affected(left)) else HARM


@dataclass
class Arriving:
    """Changes to a file that a new project is made of: it is refused, or everything reads as it should."""

    path: Path
    take: Callable[[Path, Path], object]
    before: str
    new: Path
    whole: bytes
    lone: bool = False

    @classmethod
    def bundle(cls, made: Made, where: Path) -> Arriving:
        return cls._of(made.bundle, lambda new, file: begin_from_bundle(NewFolder(new), file), where)

    @classmethod
    def journal_file(cls, made: Made, where: Path, *, beside: bool) -> Arriving:
        """``beside``: with the schema of its folder beside it, which holds its hash."""
        where.mkdir(parents=True)
        for each in made.journal_file.parent.iterdir():
            if beside or each == made.journal_file:
                shutil.copy(each, where)
        judge = cls._of(where / made.journal_file.name, begin_with_journal_file, where)
        judge.lone = not beside
        return judge

    @classmethod
    def _of(cls, path: Path, take: Callable[[Path, Path], object], where: Path) -> Arriving:
        where.mkdir(parents=True, exist_ok=True)
        copy, new = where / path.name, where / "new"
        whole = path.read_bytes()
        if copy != path:
            shutil.copy(path, copy)
        take(new, copy)
        before = sealed_in(new)
        shutil.rmtree(new)
        return cls(copy, take, before, new, whole)

    def __call__(self, content: bytes) -> str:
        self.path.write_bytes(content)
        try:
            self.take(self.new, self.path)
        except PROBLEMS as problem:
            assert not self.new.exists()
            return type(problem).__name__
        try:
            if sealed_in(self.new) == self.before:
                return HARMLESS
            return UNPROVED if self.lone and only_ends_differ(content, self.whole) else HARM
        finally:
            shutil.rmtree(self.new)


def only_ends_differ(content: bytes, whole: bytes) -> bool:
    """Whether every line is one of the whole file, but for the last of a chain changed, or lines cut off."""
    lines, before = content.splitlines(), whole.splitlines()
    last = {json.loads(each)["device"]: each for each in before}
    odd = [was for was, now in zip(before, lines, strict=False) if was != now]
    return len(lines) <= len(before) and all(each in last.values() for each in odd)


def sealed_in(folder: Path) -> str:
    """A digest of the entries of a project and of the files that it holds."""
    with read_journal(folder) as journal:
        parts = [each.sealed for each in journal.entries()]
    files = sorted((each.name, each.read_bytes()) for each in folder.glob("[pr]*/*"))
    return hashlib.sha256(repr((parts, files)).encode()).hexdigest()
