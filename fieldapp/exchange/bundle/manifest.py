"""What a bundle says of itself: project, shafts, sender, heads of the chains, and each member with its hash.

Canonical JSON (RFC 8785), so that the same content is the same bytes.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, TypeVar

from fieldapp.record.codec import Json, read_time
from fieldapp.record.entry import ChainHead, check_name
from fieldapp.record.reading import Impossible, check_text
from fieldapp.record.said import said
from fieldapp.record.strict_json import NotStrict, read_strict, written_one_way

FORMAT: Final = "basenote bundle"
VERSION: Final = 1

MANIFEST: Final = "bundle.json"
ENTRIES: Final = "entries.jsonl"
SIGNATURE: Final = "signature.json"
PICTURE: Final = re.compile(r"pictures/(?P<digest>[0-9a-f]{64})(?P<suffix>\.[a-z0-9]{1,8})")
PAPER: Final = re.compile(r"papers/(?P<digest>[0-9a-f]{64})\.pdf")

_DIGEST: Final = re.compile(r"[0-9a-f]{64}")
_FIELDS: Final = {
    "format", "version", "project", "shafts", "made_at", "made_by", "device", "heads", "members"
}  # fmt: skip
T = TypeVar("T")


class UnreadableManifest(ValueError):
    """A manifest that breaks a rule; the text is the rule, as a sentence."""


class NewerBundle(UnreadableManifest):
    """A manifest of a format that this program does not know yet."""


@dataclass(frozen=True, slots=True)
class Member:
    """A file inside a bundle: its name there, SHA-256 of its content in hex, and its size in bytes."""

    name: str
    sha256: str
    size: int


@dataclass(frozen=True, slots=True)
class Manifest:
    """What a bundle holds.

    ``shafts`` are those whose pictures and papers it carries, None for all; the chains are whole in any
    case.  ``made_by`` is the person who sent it, empty when nobody's key was unlocked.
    """

    project: str
    shafts: tuple[str, ...] | None
    made_at: datetime
    made_by: str
    device: str
    heads: tuple[ChainHead, ...]
    members: tuple[Member, ...]


def written_manifest(manifest: Manifest) -> bytes:
    """The bytes of a manifest, the same for the same content."""
    body: dict[str, Json] = {
        "format": FORMAT,
        "version": VERSION,
        "project": manifest.project,
        "shafts": None if manifest.shafts is None else list(manifest.shafts),
        "made_at": manifest.made_at.isoformat(),
        "made_by": manifest.made_by,
        "device": manifest.device,
        "heads": [{"device": each.device, "seq": each.seq, "hash": each.hash} for each in manifest.heads],
        "members": [
            {"name": each.name, "sha256": each.sha256, "size": each.size} for each in manifest.members
        ],
    }
    return written_one_way(body)


def read_manifest(data: bytes) -> Manifest:
    """A manifest from its bytes.  Raises UnreadableManifest, or NewerBundle for a newer format."""
    try:
        body = read_strict(data)
        if not isinstance(body, dict) or body.get("format") != FORMAT:
            raise UnreadableManifest(said("Its manifest is not that of a bundle."))
        version = body.get("version")
        if type(version) is int and version > VERSION:
            raise NewerBundle(
                said(
                    "A newer Basenote made it (format {found}, this one knows {known}).",
                    found=version,
                    known=VERSION,
                )
            )
        if version != VERSION or set(body) != _FIELDS or written_one_way(body) != data:
            raise UnreadableManifest(said("Its manifest is not written as a bundle's is."))
        return _read(body)
    except (NotStrict, Impossible) as problem:
        raise UnreadableManifest(said("Its manifest cannot be read: {problem}.", problem=problem)) from None


def _read(body: dict[str, Any]) -> Manifest:
    project, device, made_by = (_of(body, name, str) for name in ("project", "device", "made_by"))
    check_name("project", project)
    check_name("device", device)
    if made_by:
        check_text("made_by", made_by, 120)
    shafts = None if body["shafts"] is None else tuple(_of(body, "shafts", list))
    for each in shafts or ():
        if not isinstance(each, str):
            raise Impossible("shafts", str(each), said("names of shafts"))
        check_name("shaft", each)
    heads = tuple(_head(each) for each in _rows(body, "heads", {"device", "seq", "hash"}))
    members = tuple(_member(each) for each in _rows(body, "members", {"name", "sha256", "size"}))
    made_at = read_time(_of(body, "made_at", str), "made_at")
    return Manifest(project, shafts, made_at, made_by, device, heads, members)


def _rows(body: dict[str, Any], name: str, names: set[str]) -> list[dict[str, Any]]:
    rows = _of(body, name, list)
    if not all(isinstance(each, dict) and set(each) == names for each in rows):
        raise Impossible(name, said("something else"), said("the fields of the format"))
    return rows


def _head(row: dict[str, Any]) -> ChainHead:
    device = _of(row, "device", str)
    check_name("device", device)
    return ChainHead(device, _count(row, "seq"), _digest(row, "hash"))


def _member(row: dict[str, Any]) -> Member:
    return Member(_of(row, "name", str), _digest(row, "sha256"), _count(row, "size"))


def _of(body: dict[str, Any], name: str, kind: type[T]) -> T:
    content = body[name]
    if not isinstance(content, kind):
        raise Impossible(name, type(content).__name__, said("text or a list, as the format has it"))
    return content


def _count(row: dict[str, Any], name: str) -> int:
    if type(row[name]) is not int or row[name] < 0:
        raise Impossible(name, str(row[name])[:40], said("a whole number"))
    return int(row[name])


def _digest(row: dict[str, Any], name: str) -> str:
    content = _of(row, name, str)
    if not _DIGEST.fullmatch(content):
        raise Impossible(name, content[:70], said("a SHA-256 in hex"))
    return content
