"""Papers on disk: signed files in the project's reports, known by name and by SHA-256 of the whole file."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path
from typing import Final

from fieldapp.store.problems import in_plain_words

REPORTS: Final = "reports"
_NAME: Final = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,199}\.pdf")


def is_paper_name(name: str) -> bool:
    """Whether a name is one of a PDF inside the reports, and of nothing elsewhere."""
    return bool(_NAME.fullmatch(name))


def paper_path(folder: Path, name: str, digest: str) -> Path | None:
    """Where a signed paper stands, if it is here as it was signed.  Raises StoreProblem."""
    if not is_paper_name(name):
        return None
    path = folder / REPORTS / name
    with in_plain_words(folder):
        if not path.is_file():
            return None
        with path.open("rb") as file:
            same = hashlib.file_digest(file, "sha256").hexdigest() == digest
    return path if same else None
