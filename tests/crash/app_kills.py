"""The real app killed in its process, at random moments of work by touch, and opened again afterwards."""

from __future__ import annotations

import json
import os
import random  # noqa: TID251 - seeded by whoever asks
import select
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from fieldapp.desk.trust.unlocking import key_file, save_key
from fieldapp.desk.workplace import read_project
from fieldapp.identity.keys import seal_key
from fieldapp.record.hole import Note, Photo
from tests.crash.faults.loop import Bench, bench
from tests.crash.ground import Ground, noise
from tests.crash.judge import entry_ids, judge
from tests.crash.kills import Row
from tests.desk.signed_work import INSPECTOR
from tests.support.offscreen import environment

ROOT: Final = Path(__file__).parents[2]
WORKS: Final = ("note", "photo", "report", "bundle", "sign")
PASSPHRASE: Final = "six plain words for the test"
LONGEST_S: Final = 240.0
BUNDLE_ENTRIES: Final = 5


@dataclass
class App:
    """One life of the app: what it said, line by line, until it was killed or had done its work."""

    ground: Ground
    work: str
    heard: list[tuple[str, ...]] = field(default_factory=list)
    killed: bool = False

    def live(self, lines: int | None, wait_s: float) -> None:
        """Let it work until ``wait_s`` after so many lines that begin something; with None to the end."""
        home = self.ground.root / "home"
        told = self.ground.root / "stderr.txt"
        env = environment() | {"HOME": str(home), "XDG_CONFIG_HOME": str(self.ground.root / "config")}
        command = [sys.executable, "-m", "tests.crash.driven", str(self.ground.root), self.work]
        with (
            told.open("wb") as errors,
            subprocess.Popen(command, cwd=ROOT, env=env, stdout=subprocess.PIPE, stderr=errors) as app,
        ):
            try:
                self._listen(app, lines, wait_s)
            finally:
                app.kill()
                assert app.stdout is not None
                self._hear(app.stdout.read())
        self.killed = app.returncode == -signal.SIGKILL and ("end",) not in self.heard
        if app.returncode not in {0, -signal.SIGKILL}:
            self.heard.append(("fault", told.read_text("utf-8", "replace")[-600:]))
        told.unlink()

    def _listen(self, app: subprocess.Popen[bytes], lines: int | None, wait_s: float) -> None:
        assert app.stdout is not None
        until, begun = time.monotonic() + LONGEST_S, 0
        while app.poll() is None and time.monotonic() < until:
            if not select.select([app.stdout], [], [], 0.05)[0]:
                continue
            got = os.read(app.stdout.fileno(), 65_536)
            if not got:
                return
            begun += self._hear(got)
            if ("end",) in self.heard:
                return
            if lines is not None and begun >= lines:
                time.sleep(wait_s)
                return

    def _hear(self, got: bytes) -> int:
        """Take over what was said; how often something was about to be saved."""
        begun = 0
        for line in got.decode().splitlines():
            what, _, rest = line.partition(" ")
            self.heard.append((what, *_texts(rest)))
            begun += what == "begins"
        return begun

    def told(self) -> list[tuple[str, str]]:
        """What its screens called safe, as the judge asks for it."""
        reports = self.ground.project / "reports"
        said = [each[1:3] for each in self.heard if each[0] == "safe"]
        return [
            (kind, str(reports / what) if kind == "paper" else what)
            for kind, what in said
            if kind in {"paper", "picture"}
        ]

    def missing(self) -> Iterator[str]:
        """Notes and photographs that a screen called recorded and that are not there, or twice."""
        with read_project(self.ground.project) as place:
            values = [each.values for each in place.entries()]
        texts = [each.text for each in values if isinstance(each, Note)]
        texts += [each.caption for each in values if isinstance(each, Photo)]
        for kind, what in (each[1:3] for each in self.heard if each[0] == "safe"):
            if kind in {"note", "photo"} and texts.count(what) != 1:
                yield f"{kind} {what!r} is there {texts.count(what)} times"
        for kind, what in (each[1:3] for each in self.heard if each[0] == "begins"):
            if kind in {"note", "photo"} and texts.count(what) > 1:
                yield f"{kind} {what!r} is there {texts.count(what)} times"


def _texts(rest: str) -> Iterator[str]:
    """JSON texts that follow one another in a line."""
    decoder = json.JSONDecoder()
    while rest:
        text, end = decoder.raw_decode(rest)
        yield str(text)
        rest = rest[end:].lstrip()


def fresh(on: Bench) -> Ground:
    """A copy in which the inspector's key lies in its file, and a picture on the shelf of the tablet."""
    on.turn += 1
    ground = on.ground.copied(on.root / "copy", on.turn)
    shelf = ground.root / "home" / "Pictures"
    shelf.mkdir(parents=True)
    (shelf / "base.jpg").write_bytes(noise(on.turn, (640, 480)))
    with read_project(ground.project) as place:
        path = key_file(place, INSPECTOR)
    save_key(path, on.sealed)
    return ground


def app_kills(kills: int, seed: int, works: Sequence[str] = WORKS) -> Iterator[Row]:
    """Kill the app during each kind of work; each project is used again until its app was killed thrice."""
    if not kills:
        return
    with tempfile.TemporaryDirectory(prefix="basenote-app-") as made:
        on = bench(Path(made))
        on.sealed = seal_key(on.ground.keys[INSPECTOR], PASSPHRASE)
        for number, work in enumerate(works):
            share = kills // len(works) + (number < kills % len(works))
            if share:
                yield killed_at(on, work, share, seed)


def killed_at(on: Bench, work: str, kills: int, seed: int) -> Row:
    """Kill the app at one kind of work so many times."""
    row, chance = Row(f"app: {work}"), random.Random(f"{seed} {work}")
    ground = fresh(on)
    while row.kills < kills and row.too_late < kills + 3:
        if (row.kills + row.too_late) % 3 == 0:
            ground = fresh(on)
        before = entry_ids(ground.project)
        app = App(ground, work)
        app.live(
            chance.randrange(1, 5), chance.choice((0.0, 0.002, 0.01, 0.03, 0.1, 0.3)) * chance.random() * 2
        )
        row.kills, row.too_late = row.kills + app.killed, row.too_late + (not app.killed)
        _judge(row, app, before)
    return row


def _judge(row: Row, app: App, before: frozenset[str]) -> None:
    number = row.kills + row.too_late
    opened = [each for each in app.heard if each[0] == "opened"]
    if any(trouble or not standing for _, trouble, standing in opened):
        row.faults.append(f"{row.what}, kill {number}: the app opened with {opened}")
    row.faults += [f"{row.what}, kill {number}: {each[1]}" for each in app.heard if each[0] == "fault"]
    after = judge(app.ground, app.told(), before)
    row.add(number, after)
    lost = list(app.missing())
    row.acknowledged += sum(
        each[0] == "safe" and each[1] in {"note", "photo", "bundle"} for each in app.heard
    )
    came = len(entry_ids(app.ground.project) & app.ground.arriving_ids) if app.work == "bundle" else 0
    if came not in {0, BUNDLE_ENTRIES}:
        lost.append(f"{came} entries of a bundle of {BUNDLE_ENTRIES}")
    if not came and any(each[:2] == ("safe", "bundle") for each in app.heard):
        lost.append("the bundle")
    row.lost += len(lost)
    row.faults += [f"{row.what}, kill {number}: lost {each}" for each in lost]
