"""Papers made beside the work: in a hidden folder first, and among the reports only when they are whole."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from fieldapp.store.atomic_file import PART, sync_folder
from fieldapp.store.problems import in_plain_words


@contextmanager
def made_aside(reports: Path) -> Iterator[Path]:
    """A hidden folder on the disk of the reports, gone afterwards with everything in it.

    What a crash leaves of it is swept at the next opening.  Raises StoreProblem.
    """
    with in_plain_words(reports):
        reports.mkdir(exist_ok=True)
        scratch = Path(tempfile.mkdtemp(PART, f".making.{os.getpid()}.", reports))
    try:
        yield scratch
    finally:
        shutil.rmtree(scratch, ignore_errors=True)


def name_paper(made: Path, reports: Path) -> tuple[Path, bool]:
    """Give a paper that was made aside its place, durably; one that stands there is kept as it is.

    Gives where it stands, and whether it is new.  Raises StoreProblem.
    """
    target = reports / made.name
    with in_plain_words(reports):
        new = not target.exists()
        if new:
            made.replace(target)
            sync_folder(reports)
    return target, new
