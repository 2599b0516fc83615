"""The shim between a program and its files, from Python: made with the C compiler, loaded before everything.

A program that is to be spoiled starts again with ``LD_PRELOAD``; only then `armed` does anything.
"""

from __future__ import annotations

import ctypes
import os
import shutil
import subprocess
import sys
import sysconfig
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from enum import IntEnum
from pathlib import Path
from typing import Final

SOURCE: Final = Path(__file__).with_name("shim.c")
COMPILER: Final = shutil.which("cc") or shutil.which("gcc")
MISSING: Final = (
    ""
    if COMPILER and sys.platform == "linux"
    else "file operations are spoiled on Linux with a C compiler; there is none here"
)


class How(IntEnum):
    """What happens at a step; see ``shim.c``."""

    COUNT = 1
    FAIL = 2
    KILL = 3
    VANISH = 4
    SLOW = 5
    LOCKED = 6


@dataclass(frozen=True)
class Spoil:
    """What is to happen under a folder: how, from which step on, with which error, once or for ever.

    For `How.SLOW` the step is how long each write and each sync takes, in microseconds.
    """

    how: How
    step: int = 0
    error: int = 0
    for_ever: bool = False
    log: str = ""


@dataclass
class Seen:
    """How many steps there were, and at which something happened: its letter and its place."""

    steps: int = 0
    where: str = ""


def built(folder: Path) -> Path:
    """Compile the shim into a folder."""
    assert COMPILER is not None
    made = folder / f"shim{sysconfig.get_config_var('SHLIB_SUFFIX')}"
    subprocess.run(
        [COMPILER, "-O2", "-shared", "-fPIC", "-o", str(made), str(SOURCE), "-ldl"],
        check=True,
        capture_output=True,
    )
    return made


def again_with_shim(module: str) -> int:
    """Run a module of the tests anew with the words of this command and the shim; its exit code."""
    with tempfile.TemporaryDirectory(prefix="basenote-shim-") as made:
        command = [sys.executable, "-m", module, *sys.argv[1:]]
        return subprocess.run(command, env=environment(built(Path(made))), check=False).returncode


def environment(shim: Path) -> dict[str, str]:
    """That of this process, with the shim before everything."""
    return dict(os.environ) | {"LD_PRELOAD": str(shim)}


def run(shim: Path, words: Sequence[str], **more: object) -> subprocess.CompletedProcess[str]:
    """Run a module of the tests with the shim and give what it says."""
    command = [sys.executable, "-m", *words]
    root = Path(__file__).parents[3]
    return subprocess.run(
        command, cwd=root, env=environment(shim), capture_output=True, text=True, check=False, **more
    )


@contextmanager
def armed(folder: Path, spoil: Spoil) -> Iterator[Seen]:
    """For the length of the block, what is done under ``folder`` is counted, recorded or spoiled."""
    library, seen = _library(), Seen()
    library.shim_arm(
        int(spoil.how),
        str(folder).encode(),
        ctypes.c_long(spoil.step),
        spoil.error,
        int(spoil.for_ever),
        spoil.log.encode(),
    )
    try:
        yield seen
    finally:
        seen.steps = library.shim_disarm()
        seen.where = library.shim_last().decode(errors="replace")


def note(text: str) -> None:
    """Put a word into the record, at this moment."""
    _library().shim_note(text.encode())


def _library() -> ctypes.CDLL:
    library = ctypes.CDLL(None)
    library.shim_disarm.restype = ctypes.c_long
    library.shim_last.restype = ctypes.c_char_p
    return library
