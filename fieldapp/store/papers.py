"""Papers on disk: signed files in the project's reports, known by name and by SHA-256 of the whole file.

Two devices may give one name to two papers.  The one that arrives second stands beside the first, under its
name and its hash.
"""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import Final

from fieldapp.store.atomic_file import save_bytes
from fieldapp.store.problems import in_plain_words

REPORTS: Final = "reports"
_NAME: Final = re.compile(r"(?P<stem>[A-Za-z0-9][A-Za-z0-9._-]{0,195})\.pdf")
_OF_A_SYSTEM: Final = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?", re.IGNORECASE)
_STEM_BESIDE: Final = 120


def is_paper_name(name: str) -> bool:
    """Whether a name is one of a PDF inside the reports, and of nothing elsewhere."""
    return bool(_NAME.fullmatch(name)) and not _OF_A_SYSTEM.fullmatch(name)


def places_of_paper(folder: Path, name: str, digest: str) -> tuple[Path, ...]:
    """Where a paper may stand: under its name, or beside another of that name; none for an odd name."""
    found = _NAME.fullmatch(name) if is_paper_name(name) else None
    if found is None:
        return ()
    beside = f"{found['stem'][:_STEM_BESIDE]}-{digest}.pdf"
    return (folder / REPORTS / name, folder / REPORTS / beside)


def save_paper(path: Path, content: bytes) -> None:
    """Keep a paper, whole or not at all.  Raises StoreProblem."""
    with in_plain_words(path.parent):
        path.parent.mkdir(exist_ok=True)
        save_bytes(path, content)


def paper_path(folder: Path, name: str, digest: str) -> Path | None:
    """Where a signed paper stands, if it is here as it was signed.  Raises StoreProblem."""
    with in_plain_words(folder):
        places = places_of_paper(folder, name, digest)
        return next((each for each in places if _is(each, digest)), None)


def _is(path: Path, digest: str) -> bool:
    if not path.is_file():
        return False
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest() == digest
