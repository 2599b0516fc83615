"""Bundles for tests: good ones as the program writes them, and ones packed by hand to deceive."""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from fieldapp.exchange.bundle.manifest import ENTRIES, MANIFEST, SIGNATURE, Manifest, Member, written_manifest
from fieldapp.exchange.bundle.reading import read_bundle
from fieldapp.exchange.bundle.signature import SenderSignature, written_signature
from fieldapp.exchange.bundle.writing import Carried, Sender, write_bundle
from fieldapp.record.chain import chains_of, heads_of
from tests.support.journals import Journal, accepted, at

NAME = Path("arrived.bundle.zip")
MADE_AT = datetime.fromisoformat("2026-05-22T18:00:00-06:00")


def sealed() -> tuple[bytes, ...]:
    """The chains of a small journal."""
    return tuple(each.sealed for chain in chains_of(_journal().entries).values() for each in chain)


def _journal() -> Journal:
    journal = Journal(accepted())
    journal.set_up()
    journal.plan()
    for hour in range(8, 16):
        journal.head(at(f"{hour}:00"))
    return journal


def signed_for_tests(digest: str) -> SenderSignature:
    """A text that looks like a signature and changes with what is signed; no key is needed to read a file."""
    return SenderSignature("certificate", hashlib.sha512(digest.encode()).hexdigest() + "ab" * 6)


def good_bundle(folder: Path, picture: bytes = b"a picture") -> bytes:
    """A whole bundle with one file."""
    journal = _journal()
    digest = hashlib.sha256(picture).hexdigest()
    path = folder / "picture"
    path.write_bytes(picture)
    chains = chains_of(journal.entries).values()
    content = (each.sealed for chain in chains for each in chain)
    out = io.BytesIO()
    write_bundle(
        out,
        Sender(journal.entries[0].draft.project, None, MADE_AT, "", "tablet"),
        (content, tuple(heads_of(journal.entries).values()), [Carried(f"pictures/{digest}.jpg", path)]),
        signed_for_tests,
    )
    return out.getvalue()


def read_whole(content: bytes) -> tuple[list[bytes], list[bytes], SenderSignature, str]:
    """Everything in a bundle, every member read to its end: entries, files, signature, digest."""
    bundle = read_bundle(NAME, io.BytesIO(content))
    entries = list(bundle.entries())
    files = [b"".join(bundle.content(each)) for each in bundle.files]
    return entries, files, bundle.signature, bundle.digest


def packed_by_hand(
    members: Iterable[tuple[str, bytes]], *, how: int = zipfile.ZIP_STORED, manifest: bytes | None = None
) -> bytes:
    """A ZIP in the shape of a bundle with other members, and a manifest that names them truly."""
    held = list(members)
    stated = manifest if manifest is not None else written_manifest(manifest_of(held))
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", compression=how) as whole:
        for name, content in held:
            put(whole, name, content)
        put(whole, MANIFEST, stated)
        digest = hashlib.sha256(out.getvalue()[: whole.start_dir]).hexdigest()
        put(whole, SIGNATURE, written_signature(signed_for_tests(digest)))
    return out.getvalue()


def put(whole: zipfile.ZipFile, name: str, content: bytes) -> None:
    """A member with the header that a bundle has, whatever its name."""
    with whole.open(name, "w") as out:
        out.write(content)
    whole.infolist()[-1].create_system = 3


def manifest_of(members: list[tuple[str, bytes]]) -> Manifest:
    """What a true manifest says of these members."""
    named = (Member(name, hashlib.sha256(content).hexdigest(), len(content)) for name, content in members)
    return Manifest("larkwater", None, MADE_AT, "", "tablet", (), tuple(named))


def with_members(manifest: Manifest, **changed: object) -> bytes:
    """The bytes of a manifest with its first member changed."""
    first = replace(manifest.members[0], **changed)
    return written_manifest(replace(manifest, members=(first, *manifest.members[1:])))


def entry_lines() -> bytes:
    """A member of entries."""
    return b"".join(each + b"\n" for each in sealed())


__all__ = ["ENTRIES", "MANIFEST", "SIGNATURE"]
