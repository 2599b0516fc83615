"""Pictures and attached files, named by the SHA-256 of their content and never overwritten by another.

A picture is on disk before the entry that names it.  One without an entry does no harm and is kept.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from fieldapp.record.decisions import Amend
from fieldapp.record.hole import BaseSighting, Note, Photo
from fieldapp.record.kinds import Values
from fieldapp.store.atomic_file import save_bytes
from fieldapp.store.problems import in_plain_words

PICTURES: Final = "pictures"
MISSING: Final = "missing"
CHANGED: Final = "changed"
_SUFFIX: Final = re.compile(r"\.[a-z0-9]{1,8}")
_DIGEST: Final = re.compile(r"[0-9a-f]{64}")


def save_picture(folder: Path, content: bytes, suffix: str) -> str:
    """Keep a picture or attached file in a project folder and return its SHA-256 in hex.

    ``suffix`` is like ``.jpg``.  Raises ValueError for another suffix, StoreProblem when it cannot be kept.
    """
    if not _SUFFIX.fullmatch(suffix):
        raise ValueError(f"a suffix is a dot and up to 8 small letters or digits, not {suffix!r}")
    digest = hashlib.sha256(content).hexdigest()
    with in_plain_words(folder):
        known = picture_path(folder, digest)
        if known is None or _digest_of(known) != digest:
            save_bytes(known or folder / PICTURES / f"{digest}{suffix}", content)
    return digest


def picture_path(folder: Path, digest: str) -> Path | None:
    """Where a picture stands, or None.  Raises ValueError when ``digest`` is not a SHA-256 in hex."""
    if not _DIGEST.fullmatch(digest):
        raise ValueError(f"{digest!r} is not a SHA-256 in hex")
    return next(iter(sorted((folder / PICTURES).glob(f"{digest}.*"))), None)


def pictures_in(folder: Path) -> dict[str, Path]:
    """Every picture and attached file that is here, by the digest that names it, from one look."""
    found: dict[str, Path] = {}
    for path in sorted((folder / PICTURES).glob("*.*"), reverse=True):
        digest = path.name.partition(".")[0]
        if _DIGEST.fullmatch(digest):
            found[digest] = path
    return found


def missing_or_changed(folder: Path, digests: Iterable[str]) -> dict[str, str]:
    """What is wrong with each of these pictures, ``missing`` or ``changed``; sound ones are left out."""
    here = pictures_in(folder)
    wrong = {}
    for digest in sorted(set(digests)):
        path = here.get(digest)
        if path is None:
            wrong[digest] = MISSING
        elif not holds_picture(path, digest):
            wrong[digest] = CHANGED
    return wrong


def holds_picture(path: Path, digest: str) -> bool:
    """Whether a file is the picture of this digest.  Raises OSError."""
    return path.is_file() and _digest_of(path) == digest


NAMING: Final = (Photo.KIND, BaseSighting.KIND, Note.KIND, Amend.KIND)
"""The kinds of entries that may name a picture or an attached file."""


def pictures_named_in(values: Values) -> tuple[str, ...]:
    """Digests of the pictures and attached files that an entry rests on."""
    if isinstance(values, Amend):
        return pictures_named_in(values.says)
    if isinstance(values, Photo | BaseSighting):
        return (values.picture,) if values.picture else ()
    if isinstance(values, Note):
        return (values.attached,) if values.attached else ()
    return ()


def _digest_of(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
