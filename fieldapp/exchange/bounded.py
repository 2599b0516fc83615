"""Files from anywhere, read without more memory than they take, and never more than is allowed."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Final

CHUNK: Final = 2**16


def read_at_most(path: Path, most_bytes: int) -> bytes | None:
    """The content of a file, or None when it is larger than ``most_bytes``.

    A file that says its size is looked at before it is read; one that does not (a pipe, say), or that grows
    meanwhile, is read piece by piece up to there.  Raises OSError.
    """
    with path.open("rb") as file:
        left, wanted = most_bytes, os.fstat(file.fileno()).st_size
        if wanted > most_bytes:
            return None
        parts: list[bytes] = []
        while part := file.read(min(wanted, left) + 1):
            parts.append(part)
            left -= len(part)
            if left < 0:
                return None
            wanted = CHUNK
    return b"".join(parts)
