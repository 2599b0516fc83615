"""The file around a bundle: a ZIP in one strict shape, so that nothing can hide in it.

Members follow each other without gap or overlap, each with the header that this module would write; the
directory and the end follow at once.  Then every byte of the file is a member's content, or can only be
what it is.  A file of any other shape is refused before anything in it is unpacked.
"""

from __future__ import annotations

import re
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO, Final

from fieldapp.exchange.bundle.limits import CHUNK, MOST_BYTES, MOST_MEMBERS
from fieldapp.record.said import said

SYSTEM: Final = 3  # what every member says it was made on, wherever it was
_END: Final = b"PK\x05\x06"
_END_BYTES: Final = 22
_LOCAL_BYTES: Final = 30
_CENTRAL_BYTES: Final = 46
_LONGEST_NAME: Final = 100
_NAME: Final = re.compile(r"[a-z]+(/[0-9a-f]{64})?(\.[a-z0-9]{1,8})?")
_ALWAYS_RATIO: Final = 2**20  # below this many bytes no ratio is asked for
_MOST_RATIO: Final = 100


class NotAContainer(ValueError):
    """A file that is no bundle, or holds what none may hold; the text is the rule, as a sentence."""


@dataclass(frozen=True, slots=True)
class Packed:
    """A member as it lies in the file: name, place of its content, bytes there, bytes unpacked, and how."""

    name: str
    at: int
    packed_size: int
    size: int
    deflated: bool
    crc: int
    header_at: int


def directory(file: BinaryIO) -> tuple[Packed, ...]:
    """The members of a bundle in their order.  Nothing is unpacked.  Raises NotAContainer."""
    size = file.seek(0, 2)
    if size > MOST_BYTES:
        raise NotAContainer(said("It is larger than {most} bytes.", most=MOST_BYTES))
    start = _directory_start(file, size)
    try:
        with zipfile.ZipFile(file) as whole:
            infos = whole.infolist()
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError) as problem:
        raise NotAContainer(said("It is not a whole ZIP file ({problem}).", problem=problem)) from None
    found = tuple(_packed(file, each) for each in infos)
    _hold_together(file, infos, found, (start, size - _END_BYTES))
    return found


def content_of(file: BinaryIO, packed: Packed) -> Iterator[bytes]:
    """The content of a member, unpacked in parts of a megabyte.

    Raises NotAContainer when it is not the size or the check sum that the directory says, or larger than
    it may be for its packed size.
    """
    crc = done = 0
    stored = parts_of(file, packed.at, packed.packed_size)
    for part in _inflated(stored, packed) if packed.deflated else stored:
        done += len(part)
        if done > packed.size:
            raise NotAContainer(said("'{name}' is larger than it says.", name=packed.name))
        crc = zlib.crc32(part, crc)
        yield part
    if done != packed.size or crc != packed.crc:
        raise NotAContainer(said("'{name}' is damaged or cut off.", name=packed.name))


def parts_of(file: BinaryIO, at: int, size: int) -> Iterator[bytes]:
    """Bytes of a file in parts of at most a megabyte; fewer than ``size`` where it ends before."""
    while size:
        file.seek(at)
        part = file.read(min(CHUNK, size))
        if not part:
            return
        size, at = size - len(part), at + len(part)
        yield part


def _directory_start(file: BinaryIO, size: int) -> int:
    """Where the directory begins, from an end without comment; its count is bounded before it is read."""
    file.seek(max(0, size - _END_BYTES))
    end = file.read()
    if size < _END_BYTES or end[:4] != _END:
        raise NotAContainer(said("It is not a bundle, or it is cut off at its end."))
    count, length, start = (int.from_bytes(end[a:b], "little") for a, b in ((10, 12), (12, 16), (16, 20)))
    fits = length <= count * (_CENTRAL_BYTES + _LONGEST_NAME) and start + length + _END_BYTES == size
    if count > MOST_MEMBERS or not fits:
        raise NotAContainer(said("Its directory is not that of a bundle."))
    one_part = b"\0\0\0\0" + end[10:12] * 2 + end[12:20] + b"\0\0"
    if end[4:] != one_part:
        raise NotAContainer(said("Its end is not that of a bundle."))
    return start


def _packed(file: BinaryIO, info: zipfile.ZipInfo) -> Packed:
    name = info.orig_filename
    if not _NAME.fullmatch(name):
        raise NotAContainer(said("It holds '{name}', which no bundle may hold.", name=ascii(name)[1:61]))
    if info.compress_type not in {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}:
        raise NotAContainer(said("'{name}' is packed in a way that is not read here.", name=name))
    if info.file_size > max(_ALWAYS_RATIO, _MOST_RATIO * info.compress_size) or info.file_size > MOST_BYTES:
        raise NotAContainer(said("'{name}' would unpack to far more than it is.", name=name))
    deflated = info.compress_type == zipfile.ZIP_DEFLATED
    if not deflated and info.file_size != info.compress_size:
        raise NotAContainer(said("'{name}' does not have the size that it says.", name=name))
    at = info.header_offset + _LOCAL_BYTES + len(name)
    return Packed(name, at, info.compress_size, info.file_size, deflated, info.CRC, info.header_offset)


def _hold_together(
    file: BinaryIO, infos: list[zipfile.ZipInfo], found: tuple[Packed, ...], listed_at: tuple[int, int]
) -> None:
    """No name twice, no gap, no overlap, every header as it would be written here, and nothing beside."""
    if len({each.name for each in found}) != len(found):
        raise NotAContainer(said("It holds a file twice."))
    if sum(each.size for each in found) > MOST_BYTES:
        raise NotAContainer(said("It would unpack to more than {most} bytes.", most=MOST_BYTES))
    at = 0
    listed = b""
    for info, each in zip(infos, found, strict=True):
        made = _as_written(info)
        file.seek(each.header_at)
        if each.header_at != at or file.read(each.at - each.header_at) != made.FileHeader(zip64=False):
            raise NotAContainer(said("'{name}' is not packed as a bundle packs it.", name=each.name))
        at = each.at + each.packed_size
        listed += _listed(made)
    start = listed_at[0]
    file.seek(start)
    if (at, start + len(listed)) != listed_at or file.read(len(listed)) != listed:
        raise NotAContainer(said("Its directory is not that of a bundle."))


def _as_written(info: zipfile.ZipInfo) -> zipfile.ZipInfo:
    """The header of a member as a bundle has it: no date, no rights, no comment."""
    made = zipfile.ZipInfo(info.orig_filename)
    made.compress_type, made.create_system, made.external_attr = info.compress_type, SYSTEM, 0o600 << 16
    made.CRC, made.compress_size, made.file_size = info.CRC, info.compress_size, info.file_size
    made.header_offset = info.header_offset
    return made


def _listed(info: zipfile.ZipInfo) -> bytes:
    """The line of a member in the directory, no flags (PKWARE APPNOTE 4.3.12)."""
    name = info.filename.encode("ascii")
    middle = info.FileHeader(zip64=False)[4:_LOCAL_BYTES]  # version needed to extra length, as in both
    made_by = bytes([20, info.create_system])
    tail = b"\0\0" * 3 + info.external_attr.to_bytes(4, "little") + info.header_offset.to_bytes(4, "little")
    return b"PK\x01\x02" + made_by + middle + tail + name


def _inflated(stored: Iterator[bytes], packed: Packed) -> Iterator[bytes]:
    unpacking = zlib.decompressobj(-15)
    try:
        for part in stored:
            waiting = part
            while waiting:
                out = unpacking.decompress(waiting, CHUNK)
                waiting = unpacking.unconsumed_tail
                if out:
                    yield out
                if unpacking.eof:
                    break
        rest = unpacking.flush()
        if rest:
            yield rest
    except zlib.error:
        raise NotAContainer(said("'{name}' is damaged or cut off.", name=packed.name)) from None
    if not unpacking.eof or unpacking.unused_data:
        raise NotAContainer(said("'{name}' is damaged or cut off.", name=packed.name))
