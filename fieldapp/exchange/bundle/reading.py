"""Reads a bundle, from the outside in: shape, signature, manifest, then each member against its hash.

Nothing is written here.  A bundle is judged whole: whoever takes it over reads every member to its end first.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import BinaryIO

from fieldapp.exchange.bundle import signature as signatures
from fieldapp.exchange.bundle.container import NotAContainer, Packed, content_of, directory, parts_of
from fieldapp.exchange.bundle.limits import (
    LARGEST_ENTRIES,
    LARGEST_ENTRY,
    LARGEST_FILE,
    LARGEST_MANIFEST,
    LEAST_ENTRY,
)
from fieldapp.exchange.bundle.manifest import (
    ENTRIES,
    MANIFEST,
    PAPER,
    PICTURE,
    SIGNATURE,
    Manifest,
    Member,
    UnreadableManifest,
    read_manifest,
)
from fieldapp.exchange.bundle.refused import BundleRefused
from fieldapp.exchange.bundle.signature import SenderSignature, UnreadableSignature, read_signature
from fieldapp.record.said import said, said_of


@dataclass(frozen=True, slots=True)
class Bundle:
    """A bundle that is open; its members are not read yet.

    ``digest`` is SHA-256 (hex) of all bytes before the signature: what the sender signed.
    """

    name: str
    file: BinaryIO
    manifest: Manifest
    signature: SenderSignature
    digest: str
    packed: dict[str, Packed]

    @property
    def files(self) -> tuple[Member, ...]:
        """Pictures and papers."""
        return tuple(each for each in self.manifest.members if each.name != ENTRIES)

    def entries(self) -> Iterator[bytes]:
        """The sealed entries, in the order of the bundle.  Raises BundleRefused."""
        line = b""
        for part in self.content(next(each for each in self.manifest.members if each.name == ENTRIES)):
            whole = (line + part).split(b"\n")
            line = whole.pop()
            if len(line) > LARGEST_ENTRY or any(len(each) > LARGEST_ENTRY for each in whole):
                raise BundleRefused(
                    self.name, said("It holds an entry of more than {most} bytes.", most=LARGEST_ENTRY)
                )
            if any(len(each) < LEAST_ENTRY for each in whole):
                raise BundleRefused(self.name, said("It holds a line that is no entry."))
            yield from whole
        if line:
            raise BundleRefused(self.name, said("Its last entry is cut off."))

    def content(self, member: Member) -> Iterator[bytes]:
        """The content of a member in parts; its hash is held at the end.  Raises BundleRefused."""
        sha = hashlib.sha256()
        try:
            for part in content_of(self.file, self.packed[member.name]):
                sha.update(part)
                yield part
        except NotAContainer as problem:
            raise BundleRefused(self.name, said_of(problem)) from None
        if sha.hexdigest() != member.sha256:
            raise BundleRefused(self.name, said("'{name}' is not the file of its hash.", name=member.name))


def read_bundle(path: Path, file: BinaryIO) -> Bundle:
    """Open a bundle: its shape, its signature's text and its manifest are read, and its bytes hashed.

    ``file`` is ``path``, open for reading in binary.  Raises BundleRefused, or OSError.
    """
    try:
        found = directory(file)
        if len(found) < 3 or [each.name for each in found[-2:]] != [MANIFEST, SIGNATURE]:
            raise NotAContainer(said("It is not a bundle: manifest and signature do not stand at its end."))
        signature = read_signature(_small(file, found[-1], signatures.LARGEST_BYTES))
        digest, stated = _signed(file, found[-2], found[-1].header_at)
        manifest = read_manifest(stated)
        _hold_together(manifest, found[:-2])
    except (NotAContainer, UnreadableSignature, UnreadableManifest) as problem:
        raise BundleRefused(path.name, said_of(problem)) from None
    return Bundle(path.name, file, manifest, signature, digest, {each.name: each for each in found})


def _signed(file: BinaryIO, manifest: Packed, end: int) -> tuple[str, bytes]:
    """SHA-256 (hex) of what was signed, and the manifest in it.

    Both are of one reading, and members are held against that manifest: a file that somebody changes
    meanwhile is never other than what was signed.
    """
    _check_small(manifest, LARGEST_MANIFEST)
    sha = hashlib.sha256()
    for part in parts_of(file, 0, manifest.header_at):
        sha.update(part)
    tail = b"".join(parts_of(file, manifest.header_at, end - manifest.header_at))
    sha.update(tail)
    inside = replace(manifest, at=manifest.at - manifest.header_at)
    return sha.hexdigest(), b"".join(content_of(io.BytesIO(tail), inside))


def _small(file: BinaryIO, packed: Packed, most: int) -> bytes:
    _check_small(packed, most)
    return b"".join(content_of(file, packed))


def _check_small(packed: Packed, most: int) -> None:
    if max(packed.size, packed.packed_size) > most:
        raise NotAContainer(said("'{name}' is larger than {most} bytes.", name=packed.name, most=most))


def _hold_together(manifest: Manifest, found: tuple[Packed, ...]) -> None:
    """The members are those of the manifest, in its order, each of its size, each with a name that may be."""
    said_here = [(each.name, each.size) for each in manifest.members]
    if said_here != [(each.name, each.size) for each in found]:
        raise UnreadableManifest(said("Its manifest names other files than it holds."))
    if not said_here or said_here[0][0] != ENTRIES:
        raise UnreadableManifest(said("It holds no entries."))
    if said_here[0][1] > LARGEST_ENTRIES:
        raise UnreadableManifest(
            said("'{name}' is larger than {most} bytes.", name=ENTRIES, most=LARGEST_ENTRIES)
        )
    for each in manifest.members[1:]:
        named = PICTURE.fullmatch(each.name) or PAPER.fullmatch(each.name)
        if named is None:
            raise UnreadableManifest(
                said("It holds '{name}', which no bundle may hold.", name=ascii(each.name)[1:61])
            )
        if named["digest"] != each.sha256:
            raise UnreadableManifest(said("'{name}' is not named by its hash.", name=each.name))
        if each.size > LARGEST_FILE:
            raise UnreadableManifest(
                said("'{name}' is larger than {most} bytes.", name=each.name, most=LARGEST_FILE)
            )
