"""The negative control: a tablet that says that entries are safe while its transaction is still open."""

from __future__ import annotations

import itertools
import os
import sys
import time
from pathlib import Path

from fieldapp.record.hole import Photo
from fieldapp.store.journal import open_journal
from fieldapp.store.pictures import save_picture
from tests.store.builders import SimpleProjector, draft

DEVICE = "tablet north"


def acknowledge(ids: list[str]) -> None:
    os.write(1, (" ".join(ids) + "\n").encode())


class Hasty(SimpleProjector):
    """Acknowledges before the commit."""

    def shaft_rows(self, project, shaft):
        mine = sorted(shaft.entries, key=lambda each: each.seq)
        acknowledge([each.id for each in mine[-2:]])
        time.sleep(0.02)
        return super().shaft_rows(project, shaft)


def work(folder: Path) -> None:
    with open_journal(folder, Hasty()) as journal:
        acknowledge(["ready"])
        for number in itertools.count():
            picture = save_picture(folder, os.urandom(60_000), ".jpg")
            shaft = f"P{number % 3}"
            journal.append([draft(f"note {number}", shaft), draft(Photo(picture, "the base"), shaft)], DEVICE)


if __name__ == "__main__":
    work(Path(sys.argv[1]))
