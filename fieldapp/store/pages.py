"""Rows out of the pages of a damaged SQLite file, read without SQLite.

Every page that holds rows is looked at by itself, whatever the tree above it has become, so that a damaged
page costs its own rows and no others.  What comes out is not to be believed: it may be stale, cut or wrong,
and the caller keeps only what proves itself.  The layout is that of SQLite's published file format, 3.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping
from typing import Final, TypeAlias

Buffer: TypeAlias = "bytes | memoryview"
Value: TypeAlias = int | float | str | bytes | None
Row: TypeAlias = tuple[Value, ...]

_TABLE_LEAF: Final = 13
_INDEX_LEAF: Final = 10
_INDEX_INSIDE: Final = 2  # above leaves, and of a table without row numbers it holds rows too
_HEADER: Final = 100
_USUAL_SIZE: Final = 4096
_SIZES: Final = frozenset(2**power for power in range(9, 17))
_WAL_HEADER: Final = 32
_FRAME_HEADER: Final = 24
_INTEGER_BYTES: Final = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8}
_MOST_COLUMNS: Final = 200


class _Odd(ValueError):
    """Bytes that are no cell or no record."""


def page_size_of(data: Buffer) -> int:
    """Bytes of a page by the header of the file; the usual size where the header cannot be true."""
    if len(data) < _HEADER:
        return _USUAL_SIZE
    (said,) = struct.unpack_from(">H", data, 16)
    size = 65536 if said == 1 else said
    return size if size in _SIZES else _USUAL_SIZE


def pages_of(data: Buffer, size: int) -> dict[int, Buffer]:
    """The whole pages of a database file, by number from 1."""
    return {
        number + 1: data[at : at + size] for number, at in enumerate(range(0, len(data) - size + 1, size))
    }


def pages_ahead(wal: Buffer, size: int) -> dict[int, Buffer]:
    """The last version of each page in a write-ahead file, damaged frames and all.

    Frames of an earlier use of the file, which another salt marks, are left out.
    """
    found: dict[int, Buffer] = {}
    if len(wal) < _WAL_HEADER:
        return found
    salt = bytes(wal[16:24])
    for at in range(_WAL_HEADER, len(wal) - _FRAME_HEADER - size + 1, _FRAME_HEADER + size):
        (number,) = struct.unpack_from(">I", wal, at)
        if number and bytes(wal[at + 8 : at + 16]) == salt:
            found[number] = wal[at + _FRAME_HEADER : at + _FRAME_HEADER + size]
    return found


def rows_in(pages: Mapping[int, Buffer], size: int) -> Iterator[Row]:
    """Every row that can be read from a page, of any table, in no order that means anything."""
    usable = size - _reserved(pages)
    for number, page in pages.items():
        head = _HEADER if number == 1 else 0
        known = page[head] in {_TABLE_LEAF, _INDEX_LEAF, _INDEX_INSIDE}
        kinds = (page[head],) if known else (_TABLE_LEAF, _INDEX_LEAF)
        for at in _cells(page, head, usable):
            for kind in kinds:
                try:
                    yield _row(_payload(pages, page, at, (kind, usable)))
                    break
                except (_Odd, struct.error, IndexError):
                    continue


def _reserved(pages: Mapping[int, Buffer]) -> int:
    first = pages.get(1)
    said = first[20] if first is not None else 0
    return said if said <= 32 else 0


def _cells(page: Buffer, head: int, usable: int) -> Iterator[int]:
    """Where cells begin.  The pointers end where the first cell stands; their stated count is not needed."""
    at, lowest = head + (12 if page[head] == _INDEX_INSIDE else 8), usable
    while at + 2 <= lowest:
        (pointer,) = struct.unpack_from(">H", page, at)
        if at + 2 <= pointer < usable:
            lowest = min(lowest, pointer)
            yield pointer
        elif pointer == 0:
            return
        at += 2


def _payload(pages: Mapping[int, Buffer], page: Buffer, at: int, how: tuple[int, int]) -> bytes:
    kind, usable = how
    size, at = _varint(page, at + 4 if kind == _INDEX_INSIDE else at)
    if kind == _TABLE_LEAF:
        _, at = _varint(page, at)  # the number of the row
    most = usable - 35 if kind == _TABLE_LEAF else (usable - 12) * 64 // 255 - 23
    if not 0 < size < 2**31:
        raise _Odd
    if size <= most:
        return _whole(page[at : at + size], size)
    least = (usable - 12) * 32 // 255 - 23
    local = least + (size - least) % (usable - 4)
    local = local if local <= most else least
    parts, left = [bytes(page[at : at + local])], size - local
    (following,) = struct.unpack_from(">I", page, at + local)
    seen: set[int] = set()
    while left > 0:
        if following in seen or following not in pages:
            raise _Odd
        seen.add(following)
        more = pages[following]
        parts.append(bytes(more[4 : 4 + min(left, usable - 4)]))
        left -= usable - 4
        (following,) = struct.unpack_from(">I", more, 0)
    return _whole(b"".join(parts), size)


def _whole(content: Buffer, size: int) -> bytes:
    if len(content) != size:
        raise _Odd
    return bytes(content)


def _row(payload: bytes) -> Row:
    head, at = _varint(payload, 0)
    if not 0 < head <= len(payload):
        raise _Odd
    kinds = []
    while at < head:
        kind, at = _varint(payload, at)
        kinds.append(kind)
    if len(kinds) > _MOST_COLUMNS:
        raise _Odd
    values = []
    for kind in kinds:
        value, at = _value(payload, at, kind)
        values.append(value)
    if at != len(payload):
        raise _Odd
    return tuple(values)


def _value(payload: bytes, at: int, kind: int) -> tuple[Value, int]:
    if kind in {0, 8, 9}:
        return (None, 0, 1)[max(kind - 7, 0)], at
    size = _INTEGER_BYTES.get(kind, 8 if kind == 7 else (kind - 12) // 2)
    if kind in {10, 11} or at + size > len(payload):
        raise _Odd
    content = payload[at : at + size]
    if kind < 7:
        return int.from_bytes(content, "big", signed=True), at + size
    if kind == 7:
        return struct.unpack(">d", content)[0], at + size
    if kind % 2 == 0:
        return content, at + size
    try:
        return content.decode("utf-8"), at + size
    except UnicodeDecodeError:
        return content, at + size


def _varint(data: Buffer, at: int) -> tuple[int, int]:
    value = 0
    for step in range(9):
        byte = data[at + step]
        if step == 8:
            return (value << 8) | byte, at + 9
        value = (value << 7) | (byte & 0x7F)
        if byte < 0x80:
            return value, at + step + 1
    raise _Odd
