"""Stopped, killed, or without room on the disk, at every moment: nothing is written, or everything."""

from __future__ import annotations

import errno
import hashlib
import io
import os
import pathlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import pytest
from PIL import Image

from fieldapp.desk.travel.arriving import take_bundle
from fieldapp.desk.travel.sending import NO_FILE_LEFT, Asked, make_bundle
from fieldapp.desk.turning_point import NOTHING_WRITTEN, Stopped, TurningPoint
from fieldapp.record.hole import Note
from fieldapp.store.driver import sqlite3
from fieldapp.store.problems import DiskFull, StoreProblem
from tests.desk.signed_work import ENGINEER, say
from tests.desk.travel.tablets import Tablet, a_picture


class StopsAt(TurningPoint):
    """Somebody stops it at the moment of this number."""

    def __init__(self, number: int) -> None:
        super().__init__()
        self.left = number

    def look(self) -> None:
        if self.left == 0:
            self._stopped = True  # as `stop` does it, which would wait for the lock that is held here
        self.left -= 1
        super().look()


@pytest.fixture
def path(one: Tablet) -> Path:
    """A bundle with two pictures, the one of them larger than a part of a file."""
    for size in ((8, 6), (700, 800)):
        one.photographs(noise(size))
    return one.sends("to stop").path


def noise(size: tuple[int, int]) -> bytes:
    """A PNG that does not pack."""
    content = hashlib.shake_256(bytes(size[0] % 251)).digest(size[0] * size[1] * 3)
    out = io.BytesIO()
    Image.frombytes("RGB", size, content).save(out, "PNG")
    return out.getvalue()


def take(two: Tablet, path: Path, turning: TurningPoint | None = None) -> None:
    with two.at_work() as place:
        take_bundle(place, path, turning)


def test_whoever_stops_it_finds_everything_as_it_was(two, path):
    moments = 0
    while True:
        turning = StopsAt(moments)
        before = two.as_it_is()
        try:
            take(two, path, turning)
        except Stopped:
            assert two.as_it_is() == before
            moments += 1
            continue
        break
    assert moments > 10  # every entry, every file, every part of a file
    assert not turning.stop()


def test_whoever_stops_sending_finds_no_file(one):
    one.photographs(a_picture())
    one.sends("signed already")  # what signs the chain is not taken back
    moments, says = 0, set[str]()
    while True:
        before = one.as_it_is()
        with one.at_work() as place:
            try:
                make_bundle(place, one.root / "out.bundle.zip", Asked(ENGINEER), StopsAt(moments))
            except Stopped as problem:
                says.add(str(problem))
                assert not [each for each in one.root.iterdir() if "out.bundle" in each.name]
                moments += 1
                continue
            break
    assert one.as_it_is() == before
    assert moments >= 5
    # at the first moment the chain was not signed yet for it; from then on it may have been, and that is said
    assert sorted(says) == [NO_FILE_LEFT, NOTHING_WRITTEN]


@contextmanager
def failing(patch: pytest.MonkeyPatch, number: int, fail: Callable[[], None]) -> Iterator[list[int]]:
    """The step of this number fails: each sync, each renaming, each COMMIT, and each moment after one."""
    steps = [0]
    fsync, replace = os.fsync, pathlib.Path.replace

    def step() -> None:
        steps[0] += 1
        if steps[0] == number:
            fail()

    def counted_fsync(handle: int) -> None:
        step()
        fsync(handle)

    def counted_replace(self: Path, target: Path) -> Path:
        step()
        made = replace(self, target)
        step()
        return made

    class Counted(sqlite3.Connection):
        def execute(self, sql, *given):
            if sql == "COMMIT":
                step()
            return super().execute(sql, *given)

    with patch.context() as here:
        here.setattr(os, "fsync", counted_fsync)
        here.setattr(pathlib.Path, "replace", counted_replace)
        here.setattr(sqlite3, "connect", partial(sqlite3.connect, factory=Counted))
        yield steps


def no_room() -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


def test_a_full_disk_at_any_step_leaves_everything_as_it_was(two, path, monkeypatch):
    number, full = 1, 0
    while True:
        before = two.as_it_is()
        try:
            with failing(monkeypatch, number, no_room):
                take(two, path)
        except DiskFull as problem:
            assert "The disk is full" in str(problem)
            assert two.as_it_is() == before
            full += 1
        if two.as_it_is() != before:
            break
        number += 1
    assert full >= 8  # two files synced and named, their folder, the COMMIT


def test_a_full_disk_while_sending_leaves_no_file(one, monkeypatch):
    one.photographs(a_picture())
    one.sends("signed already")
    for number in range(1, 9):
        before = one.as_it_is()
        try:
            with failing(monkeypatch, number, no_room), one.at_work() as place:
                make_bundle(place, one.root / "full.bundle.zip", Asked(ENGINEER))
            break
        except StoreProblem:
            left = [each.name for each in one.root.iterdir() if "full.bundle" in each.name]
            assert left in ([], ["full.bundle.zip"])  # named already, and whole
            assert one.as_it_is() == before
            for each in left:
                (one.root / each).unlink()
    assert number > 3


def test_a_database_without_room_leaves_everything_as_it_was(one, two):
    with one.at_work() as place:
        for number in range(40):
            say(place, Note(f"{number} " + "long " * 300))
    path = one.sends("long").path
    before = two.as_it_is()
    with two.at_work() as place, pytest.raises(DiskFull):
        connection = place.writer()._ready().connection
        pages = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count = {pages}")
        take_bundle(place, path)
    assert two.as_it_is() == before


def test_killed_at_any_step_it_is_there_whole_or_not_at_all(two, path, monkeypatch):
    """A child is ended without any clearing up; the tablet is opened anew and goes on."""
    entries, number, came = len(two.entries()), 0, 0
    while True:
        number += 1
        child = os.fork()
        if child == 0:
            with failing(monkeypatch, number, lambda: os._exit(9)):
                take(two, path)
            os._exit(0)
        killed = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 9
        now = len(two.entries())
        assert now in {entries, entries + 3}  # two photos and the signature of the chain, or nothing
        if now > entries:
            came += 1
        if not killed:
            break
        assert not [each for each in two.folder.rglob(".*.part") if "pictures" in str(each)]
    assert number >= 6
    assert came
    before = two.as_it_is()
    take(two, path)
    assert two.as_it_is() == before
