"""Files that are there whole or not at all: written beside their name, synced, then renamed.

After a crash the old file or the new one stands, and perhaps a leftover that ends in ``.part``.
"""

from __future__ import annotations

import os
import shutil
import threading
from contextlib import suppress
from pathlib import Path
from typing import Final

PART: Final = ".part"


def save_bytes(path: Path, content: bytes) -> None:
    """Write ``content`` to ``path`` in one step that survives a power cut.  Raises OSError."""
    part = path.with_name(f".{path.name}.{os.getpid()}-{threading.get_ident()}{PART}")
    try:
        with part.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except BaseException:
        with suppress(OSError):
            part.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def sync_folder(folder: Path) -> None:
    """Make a new name in a folder durable; Windows does this by itself and has no call for it."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sweep(folder: Path, ending: str = "") -> tuple[str, ...]:
    """Remove what a crash left half written in a folder, and say what; only the writer may call this.

    With an ``ending`` only what was to become a file with it.  What this very process is making is left
    alone: a hidden file or folder whose name holds its number.
    """
    mine = f".{os.getpid()}"
    leftovers = sorted(
        each
        for each in folder.glob(f".*{ending}.*{PART}" if ending else f".*{PART}")
        if not _among(mine, each.name.removesuffix(PART))
    )
    for each in leftovers:
        with suppress(OSError):
            shutil.rmtree(each) if each.is_dir() else each.unlink()
    return tuple(each.name for each in leftovers)


def _among(number: str, name: str) -> bool:
    """Whether a name goes on with this number, and no longer one, after a dot."""
    _, found, rest = name.rpartition(number)
    return bool(found) and not rest[:1].isdigit()
