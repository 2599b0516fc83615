"""A disk that loses its power: what a run did to its files, step by step, and what may be left of it.

The record is made by the shim, so it holds every write, sync and new name of Python and of SQLite in one
order.  The model is that of a disk under an ordered journal of names (ext4, xfs): a sync makes the content of
its file durable, and with it every name that was given before.  What was not synced may be there, be missing,
or be anything, sector by sector.
"""

from __future__ import annotations

import hashlib
import random  # noqa: TID251 - seeded by whoever asks
import shutil
import struct
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, TypeAlias

SECTOR: Final = 512
OUTCOMES: Final = ("kept", "dropped", "names only", "garbled")
NOTE: Final = "n"
INDEX: Final = "-shm"


@dataclass(frozen=True, slots=True)
class Step:
    """One operation: letter, path, second path of a new name, place in the file, content."""

    what: str
    path: str
    other: str = ""
    at: int = 0
    data: bytes = b""


@dataclass(eq=False)
class Content:
    """A file without its name: what is durable, and what was done to it since."""

    durable: bytes = b""
    since: list[tuple[int, bytes | None]] = field(default_factory=list)
    """Place and bytes of each write; without bytes it was cut to that length."""

    def now(self) -> bytes:
        out = bytearray(self.durable)
        for at, data in self.since:
            _put(out, at, data)
        return bytes(out)

    def garbled(self, chance: random.Random) -> bytes:
        out = bytearray(self.durable)
        for at, data in self.since:
            if data is None:
                if chance.random() < 0.5:
                    _put(out, at, None)
                continue
            for start, part in _sectors(at, data):
                fate = chance.random()
                if fate < 0.5:
                    _put(out, start, part)
                elif fate < 0.75:
                    _put(out, start, chance.randbytes(len(part)))
        return bytes(out)


Names: TypeAlias = dict[str, Content | None]
"""What stands where; None is a folder."""
Image: TypeAlias = dict[str, bytes | None]


class Disk:
    """A folder as it was, and everything that was done since."""

    def __init__(self, base: Path, root: Path) -> None:
        self.root = str(root)
        self.durable: Names = {}
        for path in base.rglob("*"):
            name = f"{self.root}/{path.relative_to(base)}"
            self.durable[name] = None if path.is_dir() else Content(path.read_bytes())
        self.now: Names = dict(self.durable)
        self.waiting: list[Names] = []
        """What stood where after each change of names that is not durable yet."""

    def take(self, step: Step) -> None:
        """One more operation."""
        match step.what:
            case "w":
                self._content(step.path).since.append((step.at, step.data))
            case "t":
                self._content(step.path).since.append((step.at, None))
            case "s":
                self._synced(step.path)
            case "c" | "m" | "u" | "r":
                self._named(step)

    def image(self, outcome: str, chance: random.Random) -> Image:
        """What is found when the power comes back."""
        names = self.now
        if outcome == "dropped":
            names = self.durable
        elif outcome == "garbled":
            names = chance.choice([self.durable, *self.waiting])
        return {path: None if each is None else _left(each, outcome, chance) for path, each in names.items()}

    def _content(self, path: str) -> Content:
        found = self.now[path]
        assert found is not None
        return found

    def _synced(self, path: str) -> None:
        self.durable, self.waiting = dict(self.now), []
        found = self.now.get(path)
        if found is not None:
            found.durable, found.since = found.now(), []

    def _named(self, step: Step) -> None:
        names = dict(self.now)
        if step.what == "c":
            names[step.path] = Content()
        elif step.what == "m":
            names[step.path] = None
        else:
            moved = [each for each in names if each == step.path or each.startswith(f"{step.path}/")]
            taken = {each: names.pop(each) for each in moved}
            if step.what == "r":
                names |= {step.other + each[len(step.path) :]: content for each, content in taken.items()}
        self.now = names
        self.waiting.append(names)


def steps_in(record: Path) -> Iterator[Step]:
    """The operations in a record of the shim, in their order."""
    text = record.read_bytes()
    at = 0
    while at < len(text):
        what = chr(text[at])
        path, at = _text(text, at + 1)
        other, at = _text(text, at)
        place, size = struct.unpack_from("<qQ", text, at)
        at += 16
        yield Step(what, path, other, place, text[at : at + size])
        at += size


def put_back(image: Image, base: Path, root: Path) -> None:
    """Make the folder what is found, starting from what it was."""
    shutil.rmtree(root, ignore_errors=True)
    shutil.copytree(base, root)
    there = {str(each): each for each in sorted(root.rglob("*"), reverse=True)}
    for name, path in there.items():
        if name not in image:
            path.rmdir() if path.is_dir() else path.unlink()
    for name, content in sorted(image.items()):
        path = Path(name)
        if content is None:
            path.mkdir(exist_ok=True, parents=True)
        elif not path.is_file() or path.read_bytes() != content:
            path.parent.mkdir(exist_ok=True, parents=True)
            path.write_bytes(content)


def mark_of(image: Image) -> str:
    """The same for two images that are the same."""
    sha = hashlib.sha256()
    for name, content in sorted(image.items()):
        sha.update(f"{name}\0{-1 if content is None else len(content)}\0".encode() + (content or b""))
    return sha.hexdigest()


def _left(content: Content, outcome: str, chance: random.Random) -> bytes:
    if outcome == "kept":
        return content.now()
    return content.garbled(chance) if outcome == "garbled" else content.durable


def _put(out: bytearray, at: int, data: bytes | None) -> None:
    if len(out) < at:
        out.extend(bytes(at - len(out)))
    if data is None:
        del out[at:]
    else:
        out[at : at + len(data)] = data


def _sectors(at: int, data: bytes) -> Iterator[tuple[int, bytes]]:
    done = 0
    while done < len(data):
        size = min(len(data) - done, SECTOR - (at + done) % SECTOR)
        yield at + done, data[done : done + size]
        done += size


def _text(text: bytes, at: int) -> tuple[str, int]:
    (size,) = struct.unpack_from("<I", text, at)
    return text[at + 4 : at + 4 + size].decode(), at + 4 + size
