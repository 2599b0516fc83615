"""Writes a bundle: entries, files, manifest, and last the sender's signature over all bytes before it.

The same content, made at the same time by the same keys of one device, differs in the signature alone.
"""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import BinaryIO, Final

from fieldapp.exchange.bundle.container import SYSTEM, parts_of
from fieldapp.exchange.bundle.limits import (
    CHUNK,
    LARGEST_ENTRIES,
    LARGEST_FILE,
    LARGEST_MANIFEST,
    MOST_BYTES,
    MOST_MEMBERS,
)
from fieldapp.exchange.bundle.manifest import ENTRIES, MANIFEST, SIGNATURE, Manifest, Member, written_manifest
from fieldapp.exchange.bundle.signature import SenderSignature, written_signature
from fieldapp.record.entry import ChainHead
from fieldapp.record.said import said

_PACKED: Final = frozenset({ENTRIES, MANIFEST})
_FAST: Final = 1  # entries pack to a tenth already at the fastest level


class TooLarge(ValueError):
    """What was chosen does not fit into one bundle; the text says what to do."""


class ChangedMeanwhile(ValueError):
    """A file that is not what its name says any more; the text says what to do."""


@dataclass(frozen=True, slots=True)
class Carried:
    """A file that a bundle carries: its name inside, and where it stands here."""

    name: str
    path: Path


@dataclass(frozen=True, slots=True)
class Sender:
    """Which project and shafts a bundle is of, and who makes it when; see `Manifest`."""

    project: str
    shafts: tuple[str, ...] | None
    made_at: datetime
    made_by: str
    device: str


def write_bundle(
    file: BinaryIO,
    sender: Sender,
    content: tuple[Iterable[bytes], tuple[ChainHead, ...], Iterable[Carried]],
    sign: Callable[[str], SenderSignature],
) -> Manifest:
    """Write a bundle into an empty file that is open for reading and writing, and give its manifest.

    Parameters
    ----------
    file
        Seekable, in binary mode.
    sender
        What the manifest says of it.
    content
        Sealed entries in the order of their chains; the heads of these chains; files to carry.
    sign
        Signs the SHA-256 (hex) of all bytes of the file before the signature.

    Raises
    ------
    TooLarge
        There are more files, or more bytes, than one bundle holds; found before they are written.
    ChangedMeanwhile
        A file is not the one whose hash its name has.
    OSError
        A file cannot be read, or the disk is full.
    """
    entries, heads, files = content
    with zipfile.ZipFile(file, "w", compresslevel=_FAST) as whole:
        members = [_put(whole, ENTRIES, _lines(entries), LARGEST_ENTRIES)]
        members += _carried(whole, files, MOST_BYTES - LARGEST_MANIFEST - members[0].size)
        manifest = Manifest(
            sender.project,
            sender.shafts,
            sender.made_at,
            sender.made_by,
            sender.device,
            heads,
            tuple(members),
        )
        _put(whole, MANIFEST, [written_manifest(manifest)], LARGEST_MANIFEST)
        digest = digest_before(file, whole.start_dir)
        _put(whole, SIGNATURE, [written_signature(sign(digest))], CHUNK)
    return manifest


def digest_before(file: BinaryIO, end: int) -> str:
    """SHA-256 of the first ``end`` bytes of a file, in hex; the place in the file is kept."""
    here, sha = file.tell(), hashlib.sha256()
    for part in parts_of(file, 0, end):
        sha.update(part)
    file.seek(here)
    return sha.hexdigest()


def _carried(whole: zipfile.ZipFile, files: Iterable[Carried], left: int) -> Iterator[Member]:
    for number, each in enumerate(files, 1):
        if number > MOST_MEMBERS - 3:
            raise _too_large()
        member = _put(whole, each.name, _read(each.path), min(left, LARGEST_FILE))
        if member.sha256 not in each.name:
            raise ChangedMeanwhile(
                said(
                    "{file} is not what it was when it was recorded. Nothing was made; run the check of "
                    "the project, then make the bundle again.",
                    file=each.path,
                )
            )
        left -= member.size
        yield member


def _put(whole: zipfile.ZipFile, name: str, parts: Iterable[bytes], most: int) -> Member:
    sha, size = hashlib.sha256(), 0
    whole.compression = zipfile.ZIP_DEFLATED if name in _PACKED else zipfile.ZIP_STORED
    with whole.open(name, "w") as out:
        for each in parts:
            sha.update(each)
            size += len(each)
            if size > most:
                raise _too_many_entries(most) if name == ENTRIES else _too_large()
            out.write(each)
    whole.getinfo(name).create_system = SYSTEM
    return Member(name, sha.hexdigest(), size)


def _too_large() -> TooLarge:
    return TooLarge(
        said(
            "This is more than one bundle holds ({most} bytes). Nothing was made; choose fewer shafts "
            "and make one bundle after the other, or carry a backup of the project.",
            most=MOST_BYTES,
        )
    )


def _too_many_entries(most: int) -> TooLarge:
    return TooLarge(
        said(
            "The entries of this project are more than one bundle holds ({most} bytes), whichever shafts are "
            "chosen. Nothing was made; carry a backup of the project.",
            most=most,
        )
    )


def _lines(entries: Iterable[bytes]) -> Iterator[bytes]:
    """Entries a line each, gathered into parts that are worth packing."""
    gathered = io.BytesIO()
    for each in entries:
        gathered.write(each)
        gathered.write(b"\n")
        if gathered.tell() >= CHUNK:
            yield gathered.getvalue()
            gathered = io.BytesIO()
    yield gathered.getvalue()


def _read(path: Path) -> Iterator[bytes]:
    with path.open("rb") as file:
        while part := file.read(CHUNK):
            yield part
