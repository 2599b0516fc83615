"""Words that somebody types wrong: real commands with options, names and files that do not fit."""

from __future__ import annotations

import argparse
import contextlib
import io
import json
import os
import random  # noqa: TID251 - the seed comes in as an argument
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from fieldapp.cli import DONE, NOT_AS_ASKED, REFUSED, parser, run
from fieldapp.record.reading import Impossible
from tests.poison.mutations import NUMBERS

NOT_HERE: Final = frozenset({"app", "demo"})
"""They open a window, and make whole projects."""
SAID: Final = (
    "P1-1", "p1-1", "P9", "Inspector A", "Resident engineer", "", " ", "-", "--", "-1", "../..", "a" * 5000,
    "\udcff", "2026-05-12T10:00", "10:00", "yes", "release", "base", "\u202e", "UTC", "*", "nan in", "1/2 in",
    "P1-1\n",
)  # fmt: skip


@dataclass(frozen=True)
class Words:
    """Words about one project, beside files in a room."""

    project: Path
    room: Path

    def choose(self, rng: random.Random) -> bytes:
        """The words of one command, as JSON."""
        commands = _commands()
        name = rng.choice(sorted(set(commands) - NOT_HERE))
        options = [each for action in commands[name]._actions for each in action.option_strings]
        places = sum(not action.option_strings for action in commands[name]._actions)
        words = [str(self.project)] if rng.random() < 0.8 else []
        words += [
            self._word(rng) for _ in range(max(0, places - len(words) + rng.choice((-1, 0, 0, 0, 0, 1))))
        ]
        for option in rng.sample(options, min(len(options), rng.choice((0, 0, 1, 1, 2, 4)))):
            words += [option, self._word(rng)]
        return json.dumps([name, *words]).encode()

    def _word(self, rng: random.Random) -> str:
        files = (
            self.project,
            self.room,
            self.project / "journal.db",
            self.room / "no such file",
            Path("/dev/null"),
        )
        return str(rng.choice((*SAID, *files, *(each.decode("utf-8", "replace") for each in NUMBERS))))


def said_by(path: Path) -> None:
    """Run the command in the room of its words.

    An exit code that the command line does not have is a fault; what it refuses comes as a known problem.
    """
    words = json.loads(path.read_text("utf-8"))
    out = io.TextIOWrapper(io.BytesIO(), "utf-8", errors="backslashreplace")
    with (
        Path(os.devnull).open(encoding="utf-8") as nothing,
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(out),
        contextlib.chdir(path.parent),
    ):
        before, sys.stdin = sys.stdin, nothing
        try:
            code = run(words)
        except SystemExit as left:  # argparse has said what it expected
            code = left.code if isinstance(left.code, int) else REFUSED
        finally:
            sys.stdin = before
    if code not in {DONE, NOT_AS_ASKED, REFUSED}:
        raise AssertionError(f"exit code {code}")
    if code == REFUSED:
        out.seek(0)
        raise Impossible("words", " ".join(words), out.read())


def _commands() -> dict[str, argparse.ArgumentParser]:
    found = next(each for each in parser()._actions if isinstance(each, argparse._SubParsersAction))
    return dict(found.choices)
