"""Which files a bundle may carry: those that an entry names, and each only as what that entry says it is.

The sender leaves out what no receiver would take; the receiver refuses it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from fieldapp.desk.pictures.reading import MOST_BYTES, SUFFIXES, check_kept_picture
from fieldapp.desk.pictures.refused import PictureRefused
from fieldapp.desk.trust.signatures import OfKinds
from fieldapp.exchange.bundle.limits import LARGEST_FILE
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.decisions import Amend
from fieldapp.record.entry import Entry
from fieldapp.record.hole import Note
from fieldapp.record.said import said, said_of
from fieldapp.store.pictures import NAMING, pictures_named_in

OPENED_HERE: Final = (*SUFFIXES, ".csv", ".txt", ".pdf")
OF_NO_KIND: Final = ".bin"
"""What is attached and is of none of these kinds is kept under this ending, which nothing runs."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What entries name, by SHA-256: pictures, files attached to notes, and papers with their names."""

    pictures: frozenset[str]
    attached: frozenset[str]
    papers: dict[str, str]

    @classmethod
    def by(cls, journal: OfKinds, asked: Callable[[Entry], bool] = lambda _: True) -> Wanted:
        """What the entries of a journal name, or those of them that are asked for."""
        pictures: set[str] = set()
        attached: set[str] = set()
        papers = {}
        for each in filter(asked, journal.of_kinds((*NAMING, PaperSigned.KIND))):
            values = each.values.says if isinstance(each.values, Amend) else each.values
            (attached if isinstance(values, Note) else pictures).update(pictures_named_in(values))
            if isinstance(values, PaperSigned):
                papers[values.file_digest] = values.file_name
        return cls(frozenset(pictures), frozenset(attached), papers)

    def has_picture(self, digest: str, suffix: str) -> bool:
        """Whether an entry names this as a picture or as an attached file, and it is called like one."""
        return digest in self.attached or (digest in self.pictures and suffix in SUFFIXES)


def why_unfit(path: Path, suffix: str) -> str:
    """Why a picture or attached file does not travel, as a sentence; empty when it does.  Raises OSError."""
    size = path.stat().st_size
    most = MOST_BYTES if suffix in SUFFIXES else LARGEST_FILE
    if size > most:
        return said("It is larger than {most} bytes.", most=most)
    if suffix not in SUFFIXES:
        return ""
    try:
        check_kept_picture(path.read_bytes())
    except PictureRefused as problem:
        return said_of(problem)
    return ""
