"""A tablet that saves pictures and entries as fast as it can and says each time that they are safe.

``early`` is the negative control: it says so inside the transaction, before the entries are durable.
"""

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
    """Acknowledges while the transaction is still open."""

    def rows(self, entries, shafts):
        entries = tuple(entries)
        if shafts is not None:
            mine = sorted((each for each in entries if each.shaft in shafts), key=lambda each: each.seq)
            acknowledge([each.id for each in mine[-2:]])
            time.sleep(0.02)
        return super().rows(entries, shafts)


def work(folder: Path, how: str) -> None:
    early = how == "early"
    with open_journal(folder, Hasty() if early else SimpleProjector()) as journal:
        acknowledge(["ready"])
        for number in itertools.count():
            picture = save_picture(folder, os.urandom(60_000), ".jpg")
            shaft = f"P{number % 3}"
            drafts = [draft(f"note {number}", shaft), draft(Photo(picture, "the base"), shaft)]
            journal.append(drafts, DEVICE)
            if not early:
                acknowledge([each.id for each in drafts])


if __name__ == "__main__":
    work(Path(sys.argv[1]), sys.argv[2])
