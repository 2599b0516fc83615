"""Every file operation of everything that people do fails once: at the first step, at the second, and so on.

``python -m tests.crash.faults --help`` says what can be asked.  Each time the work is either done, or refused
with a sentence that the screens show; what was acknowledged is there, nothing is half, and the same open
project goes on as soon as the disk does.
"""

from __future__ import annotations

import errno
import os
import random  # noqa: TID251 - seeded by whoever asks
import signal
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.problems import PROBLEMS
from fieldapp.record.hole import Note
from tests.crash.faults.shim import How, Seen, Spoil, armed
from tests.crash.ground import SHAFT, Ground, made_ground
from tests.crash.jobs import CONTROL, JOBS, Job
from tests.crash.judge import GOES_ON, entry_ids, judge, what_is_lost
from tests.desk.signed_work import INSPECTOR


@dataclass(frozen=True)
class Trouble:
    """What is wrong with the disk, in words, and how the shim makes it so."""

    name: str
    how: How
    error: int = 0
    for_ever: bool = False

    def at(self, step: int) -> Spoil:
        return Spoil(self.how, step, self.error, self.for_ever)


WORK: Final = {**JOBS, **CONTROL}
TROUBLES: Final = {
    each.name: each
    for each in (
        Trouble("disk full", How.FAIL, errno.ENOSPC, for_ever=True),
        Trouble("full for a moment", How.FAIL, errno.ENOSPC),
        Trouble("read-only", How.FAIL, errno.EROFS, for_ever=True),
        Trouble("disk fault", How.FAIL, errno.EIO),
        Trouble("no such file", How.FAIL, errno.ENOENT),
        Trouble("folder gone", How.VANISH),
        Trouble("locked", How.LOCKED, errno.EAGAIN, for_ever=True),
        Trouble("killed", How.KILL),
    )
}


@dataclass
class Tried:
    """A job under one trouble: at how many steps, how often done and refused, and what did not hold."""

    job: str
    trouble: str
    steps: int = 0
    tried: int = 0
    done: int = 0
    refused: int = 0
    acknowledged: int = 0
    lost: int = 0
    faults: list[str] = field(default_factory=list)
    sentences: set[str] = field(default_factory=set)

    def fault(self, step: int, where: str, says: str) -> None:
        self.faults.append(f"{self.job}, {self.trouble}, step {step} ({where}): {says}")


@dataclass
class Bench:
    """The ground that is copied for every try."""

    root: Path
    ground: Ground
    turn: int = 0
    sealed: bytes = b""
    """The inspector's key as its file holds it, where somebody types a passphrase."""

    def fresh(self, job: Job) -> Ground:
        self.turn += 1
        copy = self.ground.copied(self.root / "copy", self.turn)
        job.before(copy)
        return copy


def bench(root: Path) -> Bench:
    """A ground of its own under a folder."""
    (root / "ground").mkdir()
    return Bench(root, made_ground(root / "ground"))


def steps_of(on: Bench, name: str, trouble: Trouble) -> int:
    """How many steps a job takes when nothing is wrong; one that is killed begins with the opening."""
    job = WORK[name]
    ground = on.fresh(job)
    how = How.LOCKED if trouble.how is How.LOCKED else How.COUNT
    with ExitStack() as open_things:
        opens = job.act is None or trouble.how is How.KILL
        place = None if opens else open_things.enter_context(ground.at_work())
        with armed(ground.root, Spoil(how, step=10**9)) as seen:
            job.do(place, ground, _deaf) if place else job.run(ground, _deaf)
    return seen.steps


def tried(on: Bench, name: str, trouble: Trouble, most: int = 0, seed: int = 0) -> Tried:
    """Do a job with a trouble at every step, or at most at so many, chosen by the seed."""
    found = Tried(name, trouble.name)
    found.steps = steps_of(on, name, trouble)
    every = range(1, found.steps + 1)
    chosen = random.Random(f"{seed} {name} {trouble.name}").sample(
        every, min(most or found.steps, found.steps)
    )
    for step in sorted(chosen):
        _try(on, found, trouble, step)
    return found


def _try(on: Bench, found: Tried, trouble: Trouble, step: int) -> None:
    job = WORK[found.job]
    ground = on.fresh(job)
    before = entry_ids(ground.project) if found.job != "rebuild" else frozenset()
    told: list[tuple[str, str]] = []
    found.tried += 1
    if trouble.how is How.KILL:
        seen = _killed(job, ground, trouble.at(step), told)
    else:
        seen = _spoiled(job, ground, (found, trouble, step), told)
    if before:
        before |= {what for kind, what in told[-1:] if kind == GOES_ON}
    after = judge(ground, told, before, job.whole)
    found.acknowledged += after.acknowledged
    found.lost += len(after.lost)
    for each in (*after.lost, *after.faults):
        found.fault(step, seen.where, each)
    _again(job, ground, (found, step, seen.where))


def _spoiled(job: Job, ground: Ground, at: tuple[Tried, Trouble, int], told: list[tuple[str, str]]) -> Seen:
    found, trouble, step = at
    with ExitStack() as open_things:
        place = open_things.enter_context(ground.at_work()) if job.act else None
        folder = ground.project if trouble.how is How.VANISH else ground.root
        unsaid = ""
        with armed(folder, trouble.at(step)) as seen:
            try:
                job.do(place, ground, _into(told)) if place else job.run(ground, _into(told))
                found.done += 1
            except PROBLEMS as problem:
                found.refused += 1
                found.sentences.add(f"{type(problem).__name__}: {problem}"[:300])
            except Exception as problem:  # noqa: BLE001 - whatever it is, nobody gets a sentence for it
                unsaid = f"no sentence: {type(problem).__name__}: {problem}"
        gone = folder.with_name(f"{folder.name}.gone")
        if gone.exists() and not folder.exists():
            gone.rename(folder)
        if place is not None:
            try:
                told.append((GOES_ON, record_entry(place, Saying(SHAFT, Note("goes on"), INSPECTOR)).id))
            except Exception as problem:  # noqa: BLE001 - the disk is well again
                unsaid += f" does not go on: {type(problem).__name__}: {problem}"
    if unsaid:
        found.fault(step, seen.where, unsaid)
    return seen


def _killed(job: Job, ground: Ground, spoil: Spoil, told: list[tuple[str, str]]) -> Seen:
    """A child is killed before the step; what it said until then comes through a pipe."""
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        with suppress(BaseException), armed(ground.root, spoil):
            job.run(ground, lambda *said: os.write(writes, ("\t".join(said) + "\n").encode()))
        os._exit(0)
    os.close(writes)
    with os.fdopen(reads) as pipe:
        told += [(kind, what) for kind, _, what in (line.rstrip("\n").partition("\t") for line in pipe)]
    ended = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    return Seen(where="killed" if ended == -signal.SIGKILL else f"ended with {ended}")


def _again(job: Job, ground: Ground, at: tuple[Tried, int, str]) -> None:
    """Whoever was refused or killed does it once more: it is done, or told why not."""
    found, step, where = at
    told: list[tuple[str, str]] = []
    try:
        job.run(ground, _into(told))
    except PROBLEMS as problem:
        found.sentences.add(f"again: {type(problem).__name__}: {problem}"[:300])
    except Exception as problem:  # noqa: BLE001 - nobody gets a sentence for it
        found.fault(step, where, f"again, no sentence: {type(problem).__name__}: {problem}")
    for each in what_is_lost(ground, told):
        found.fault(step, where, f"again, {each}")


def _into(heard: list[tuple[str, str]]):
    return lambda kind, what: heard.append((kind, what))


def _deaf(_kind: str, _what: str) -> None:
    return None


def all_of(names: list[str], troubles: list[str], most: int = 0, seed: int = 0) -> Iterator[Tried]:
    """Every job under every trouble."""
    with tempfile.TemporaryDirectory(prefix="basenote-faults-") as made:
        on = bench(Path(made))
        for name in names:
            for each in troubles:
                yield tried(on, name, TROUBLES[each], most, seed)
