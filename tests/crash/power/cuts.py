"""The power goes after every single step: the project is opened again on whatever the disk may hold then.

A step is a write, a sync, a cut or a new name, of SQLite or of Python alike, in the order in which they came.
What is recorded is the desk as it ships, with its own SQLite driver.
"""

from __future__ import annotations

import random  # noqa: TID251 - seeded by whoever asks
import shutil
import tempfile
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final
from unittest.mock import patch

from fieldapp.store import atomic_file, migrations, opening
from fieldapp.store.driver import sqlite3
from fieldapp.store.opening import JOURNAL
from fieldapp.store.schema import INDEXES
from tests.crash.faults.loop import Bench, bench
from tests.crash.faults.shim import How, Spoil, armed, note
from tests.crash.ground import Ground
from tests.crash.jobs import JOBS, Job, rebuild
from tests.crash.judge import entry_ids, judge
from tests.crash.power.disk import NOTE, OUTCOMES, Disk, Step, mark_of, put_back, steps_in

NEXT: Final = migrations.Migration(
    migrations.MIGRATIONS[-1].to_version + 1,
    "a step of these tests: indexes and half-typed forms made anew",
    (
        "CREATE TABLE forms_before (key TEXT, shaft TEXT, body TEXT, saved_at TEXT)",
        "INSERT INTO forms_before SELECT * FROM forms",
        "DELETE FROM forms",
        *(sql for name, made in INDEXES.items() for sql in (f"DROP INDEX {name}", made)),
        "INSERT INTO forms SELECT * FROM forms_before",
        "DROP TABLE forms_before",
    ),
)


@contextmanager
def _next_format() -> Iterator[None]:
    """A program of tomorrow, which knows one format more."""

    def migrate(connection: sqlite3.Connection) -> tuple[str, ...]:
        return migrations.migrate(connection, (*migrations.MIGRATIONS, NEXT))

    with patch.object(opening, "migrate", migrate), patch.object(opening, "SCHEMA_VERSION", NEXT.to_version):
        yield


@contextmanager
def weaker(setting: str) -> Iterator[None]:
    """The control: a journal that does not wait for the disk."""
    level = {"NORMAL": 1, "OFF": 0}[setting]
    with patch.dict(opening._SETTINGS, synchronous=level):
        yield


@contextmanager
def no_sync_of_files() -> Iterator[None]:
    """The control for pictures and papers: they get their names without having been written through."""
    with patch.object(atomic_file.os, "fsync", lambda _handle: None):
        yield


@dataclass(frozen=True)
class Story:
    """What is done while the power may go: a job, how often, and with which program."""

    job: Job
    times: int = 1
    program: Callable[[], AbstractContextManager[None]] = nullcontext


STORIES: Final = {
    **{name: Story(job) for name, job in JOBS.items()},
    "save": Story(JOBS["save"], times=3),
    "migration": Story(Job(outside=rebuild), program=_next_format),
}


@dataclass
class Cuts:
    """What came of all cuts of one story."""

    what: str
    steps: int = 0
    cuts: int = 0
    different: int = 0
    acknowledged: int = 0
    losing: int = 0
    """Cuts after which something that was acknowledged was not there."""
    control: bool = False
    """Whether something weaker was tried, which has to lose."""
    faults: list[str] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)


def cut_everywhere(
    on: Bench,
    name: str,
    most: int = 0,
    seed: int = 0,
    spoiled: Callable[[], AbstractContextManager[None]] = nullcontext,
) -> Cuts:
    """Record a story once, then cut it after every step with every outcome, or at most so often."""
    story, found, chance = STORIES[name], Cuts(name), random.Random(f"{seed} {name}")
    ground, base = on.fresh(story.job), on.root / "base"
    before = entry_ids(ground.project) if name not in {"rebuild"} else frozenset()
    shutil.rmtree(base, ignore_errors=True)
    shutil.copytree(ground.root, base)
    with spoiled(), story.program():
        steps = _recorded(on, story, ground)
    found.steps = len(steps)
    for image, told, where in _images(steps, base, ground.root, (most, chance)):
        found.different += 1
        put_back(image, base, ground.root)
        with story.program():
            after = judge(Ground(ground.root, ground.keys, ground.clock), told, before, story.job.whole)
        found.acknowledged += after.acknowledged
        found.losing += bool(after.lost)
        found.lost += [f"{name}, {where}: lost {each}" for each in after.lost]
        found.faults += [f"{name}, {where}: {each}" for each in after.faults]
    found.cuts = len(steps) * len(OUTCOMES)
    return found


def _recorded(on: Bench, story: Story, ground: Ground) -> list[Step]:
    record = on.root / "record"
    with armed(ground.root, Spoil(How.COUNT, log=str(record))):
        for _ in range(story.times):
            story.job.run(ground, lambda kind, what: note(f"{kind}\t{what}"))
    return list(steps_in(record))


def _images(
    steps: list[Step], base: Path, root: Path, chosen: tuple[int, random.Random]
) -> Iterator[tuple[dict[str, bytes | None], list[tuple[str, str]], str]]:
    """Every image that differs from those before, with what was said until then."""
    most, chance = chosen
    disk, told, seen = Disk(base, root), [], set()
    places = [(number, outcome) for number in range(len(steps) + 1) for outcome in OUTCOMES]
    wanted = set(chance.sample(places, most)) if most and most < len(places) else set(places)
    wanted |= {(at + 1, "dropped") for at, each in enumerate(steps) if each.what == NOTE}
    for number in range(len(steps) + 1):
        for outcome in OUTCOMES:
            if (number, outcome) not in wanted:
                continue
            image = disk.image(outcome, random.Random(f"{chance.random()}"))
            mark = f"{mark_of(image)} {len(told)}"
            if mark not in seen:
                seen.add(mark)
                last = steps[number - 1] if number else Step("", "the beginning")
                yield image, list(told), f"step {number} ({last.what} {Path(last.path).name}), {outcome}"
        if number < len(steps):
            if steps[number].what == NOTE:
                kind, _, what = steps[number].path.partition("\t")
                told.append((kind, what))
            else:
                disk.take(steps[number])


def all_of(names: list[str], most: int = 0, seed: int = 0) -> Iterator[Cuts]:
    """Every story, then the controls, which must lose something: else nothing here could fail."""
    with tempfile.TemporaryDirectory(prefix="basenote-power-") as made:
        on = bench(Path(made))
        for name in names:
            yield cut_everywhere(on, name, most, seed)
        for setting in ("NORMAL", "OFF"):
            control = cut_everywhere(on, "save", most, seed, lambda setting=setting: weaker(setting))
            control.what, control.control = f"control: synchronous={setting}", True
            yield control
        control = cut_everywhere(on, "picture", most, seed, no_sync_of_files)
        control.what, control.control = "control: pictures not synced", True
        yield control


__all__ = ["JOURNAL", "STORIES", "Cuts", "all_of", "cut_everywhere"]
