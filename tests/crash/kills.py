"""The real desk in a process of its own, killed at a random moment of what it does, and judged afterwards.

The process is a child that begins with everything loaded; it says what is safe through a pipe, as it goes,
and SIGKILL ends it.  When is drawn from the seed, over the time that the work takes on this machine.
"""

from __future__ import annotations

import os
import random  # noqa: TID251 - seeded by whoever asks
import select
import signal
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from tests.crash.faults.loop import Bench
from tests.crash.ground import Ground
from tests.crash.jobs import JOBS, Job, Tell
from tests.crash.judge import Judged, entry_ids, judge

ENDLESS: Final = 60.0
"""Seconds after which a child that neither ends nor was killed is a fault of its own."""
END: Final = "end"
AGAIN_AND_AGAIN: Final = frozenset({"save", "picture", "settings", "bundle out"})


@dataclass
class Row:
    """What came of all kills during one kind of work."""

    what: str
    kills: int = 0
    too_late: int = 0
    """Children that had ended before the kill; they do not count as killed."""
    acknowledged: int = 0
    lost: int = 0
    faults: list[str] = field(default_factory=list)

    def add(self, number: int, after: Judged) -> None:
        self.acknowledged += after.acknowledged
        self.lost += len(after.lost)
        told = (*(f"lost {each}" for each in after.lost), *after.faults)
        self.faults += [f"{self.what}, kill {number}: {each}" for each in told]


@dataclass
class Child:
    """A forked process at work, and what it has said so far."""

    process: int
    pipe: int
    heard: list[tuple[str, str]] = field(default_factory=list)
    rest: bytes = b""
    ended: bool = False

    @classmethod
    def at_work(cls, work: Callable[[Tell], None]) -> Child:
        reads, writes = os.pipe()
        process = os.fork()
        if process == 0:
            os.close(reads)
            _work_to_the_end(work, lambda *said: _say(writes, *said))
        os.close(writes)
        return cls(process, reads)

    def listen(self, seconds: float) -> None:
        """Hear it for so long, or until it has said that it is at the end."""
        until = time.monotonic() + seconds
        while not self.ended and (left := until - time.monotonic()) > 0:
            if select.select([self.pipe], [], [], left)[0] and not self._hear():
                return

    def kill(self) -> int:
        """End it without any warning, hear the rest, and give how it ended."""
        os.kill(self.process, signal.SIGKILL)
        while self._hear():
            pass
        os.close(self.pipe)
        return os.waitstatus_to_exitcode(os.waitpid(self.process, 0)[1])

    def _hear(self) -> bool:
        got = os.read(self.pipe, 65_536)
        *lines, self.rest = (self.rest + got).split(b"\n")
        for line in lines:
            kind, _, what = line.decode().partition("\t")
            self.ended |= kind == END
            if kind != END:
                self.heard.append((kind, what))
        return bool(got)


def _say(pipe: int, *said: str) -> None:
    os.write(pipe, ("\t".join(said) + "\n").encode())


def _work_to_the_end(work: Callable[[Tell], None], tell: Tell) -> None:
    code = 0
    try:
        work(tell)
        tell(END, "")
        signal.pause()
    except BaseException as problem:  # noqa: BLE001 - told to the parent, whatever it is
        tell("fault", f"{type(problem).__name__}: {problem}".replace("\n", " "))
        code = 1
    finally:
        os._exit(code)


def work_of(name: str, job: Job, ground: Ground) -> Callable[[Tell], None]:
    """What the child does: once to the end, or what ends quickly several times in one opening."""

    def once(tell: Tell) -> None:
        job.run(ground, tell)

    def several(tell: Tell) -> None:
        ground.stand_here()
        with ground.at_work() as place:
            for _ in range(5):
                job.do(place, ground, tell)

    return several if name in AGAIN_AND_AGAIN else once


def takes(on: Bench, name: str) -> float:
    """Seconds that a job takes here when nobody kills it."""
    job = JOBS[name]
    ground = on.fresh(job)
    began = time.monotonic()
    child = Child.at_work(work_of(name, job, ground))
    child.listen(ENDLESS)
    took = time.monotonic() - began
    child.kill()
    if not child.ended:
        raise AssertionError(f"{name} does not come to its end: {child.heard}")
    return took


def killed(on: Bench, name: str, kills: int, seed: int) -> Row:
    """Kill a job so many times and judge what is left each time."""
    job, row, chance = JOBS[name], Row(name), random.Random(f"{seed} {name}")
    took = takes(on, name)
    while row.kills < kills and row.too_late < 3 * kills + 10:
        ground = on.fresh(job)
        before = entry_ids(ground.project) if name != "rebuild" else frozenset()
        child = Child.at_work(work_of(name, job, ground))
        child.listen(chance.random() * took)
        ended, how = child.ended, child.kill()
        number = row.kills + row.too_late
        row.faults += [f"{name}, kill {number}: {what}" for kind, what in child.heard if kind == "fault"]
        told = [each for each in child.heard if each[0] != "fault"]
        if ended or how != -signal.SIGKILL:
            row.too_late += 1
            took *= 0.9  # the first time was slower than those that followed
        else:
            row.kills += 1
        row.add(number, judge(ground, told, before, job.whole))
    return row
