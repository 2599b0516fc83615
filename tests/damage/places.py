"""What stands at a byte of a SQLite file, to say why damage there does no harm.

The layout is that of the published file format of SQLite 3; nothing here is asked of the program.
"""

from __future__ import annotations

import struct
from typing import Final

_HEADER: Final = (
    (0, 16, "magic"), (16, 18, "page size"), (18, 20, "format versions"), (20, 24, "reserved and fractions"),
    (24, 28, "change counter"), (28, 32, "size in pages"), (32, 40, "free list"), (40, 44, "schema cookie"),
    (44, 48, "schema format"), (48, 52, "cache size"), (52, 56, "vacuum"), (56, 60, "text encoding"),
    (60, 64, "user version"), (64, 68, "incremental vacuum"), (68, 72, "application id"),
    (72, 92, "reserved for later"), (92, 96, "version valid for"), (96, 100, "version of SQLite"),
)  # fmt: skip
_TREE: Final = {2: 12, 5: 12, 10: 8, 13: 8}


def place_of(data: bytes, at: int, size: int = 4096) -> str:
    """What the byte at an offset of a sound file is part of."""
    if at < 100:
        return f"file header, {next(name for first, end, name in _HEADER if first <= at < end)}"
    page, inside = divmod(at, size)
    content = data[page * size : (page + 1) * size]
    head = 100 if page == 0 else 0
    if content[head] not in _TREE:
        return "free page or overflow page"
    (freeblock, cells, begin, fragments) = struct.unpack_from(">HHHB", content, head + 1)
    pointers = head + _TREE[content[head]]
    if inside < pointers:
        return "page header"
    if inside < pointers + 2 * cells:
        return "pointer to a cell"
    if inside < (begin or 65536):
        return "between pointers and cells"
    while freeblock:
        following, length = struct.unpack_from(">HH", content, freeblock)
        if freeblock <= inside < freeblock + length:
            return "a cell that was freed"
        freeblock = following
    return "a cell" if not fragments else "a cell, or a fragment beside one"
