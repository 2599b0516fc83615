"""The files of a bundle on their way into a project: hidden beside their place first, named later.

What is here as it should be is left as it is.  A file that stands in the way with other content is never
written over: a paper gets a place beside it, and a picture that was damaged here is mended when all the
rest is durable.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from fieldapp.desk.travel.fitting import OF_NO_KIND, OPENED_HERE, Wanted, why_unfit
from fieldapp.desk.turning_point import TurningPoint
from fieldapp.exchange.bundle.manifest import PAPER, PICTURE, Member
from fieldapp.exchange.bundle.reading import Bundle
from fieldapp.exchange.bundle.refused import BundleRefused
from fieldapp.record.said import said
from fieldapp.store.atomic_file import PART, sync_folder
from fieldapp.store.papers import paper_path, places_of_paper
from fieldapp.store.pictures import PICTURES, holds_picture, pictures_in


@dataclass(frozen=True, slots=True)
class Staged:
    """A file of the bundle under a hidden name, and the name that it is to get.

    ``mends`` when a damaged one stands there, which stays until everything else is durable.
    """

    part: Path
    target: Path
    mends: bool


@dataclass
class Staging:
    """Files on their way into a project; what is not kept at the end is taken away again."""

    folder: Path
    staged: list[Staged] = field(default_factory=list)
    named: list[Path] = field(default_factory=list)
    came: int = 0
    """How many stay."""
    _here: dict[str, Path] = field(default_factory=dict)

    def stage(self, bundle: Bundle, wanted: Wanted, turning: TurningPoint) -> None:
        """Write each file that is not here, held against its hash and against the entry that names it.

        ``wanted`` is what the journal as it will be names.  Raises BundleRefused, Stopped, OSError.
        """
        self.sweep()  # a journal that had to be opened anew asks a second time
        self.staged.clear()
        self.named.clear()
        self._here = pictures_in(self.folder)
        for member in bundle.files:
            turning.look()
            found = self._target(bundle, member, wanted)
            if found is None:
                for _ in bundle.content(member):
                    turning.look()  # it is here already; its hash is held all the same
                continue
            target, mends = found
            target.parent.mkdir(exist_ok=True)
            part = target.with_name(f".{target.name}.{os.getpid()}{PART}")
            part.unlink(missing_ok=True)
            with part.open("xb") as out:  # never through a link that somebody put there
                self.staged.append(Staged(part, target, mends))
                for each in bundle.content(member):
                    turning.look()
                    out.write(each)
                out.flush()
                os.fsync(out.fileno())
            _check_picture(bundle, member, part)

    def name(self) -> None:
        """Give every new file its name, durably.  Raises OSError."""
        for each in self.staged:
            if not each.mends:
                self.named.append(each.target)
                each.part.replace(each.target)
        self._sync()

    def keep(self) -> None:
        """Everything else is durable: the files stay, and damaged ones are mended."""
        self.came = len(self.staged)
        self.named.clear()
        for each in self.staged:
            if each.mends:
                with suppress(OSError):  # it stays damaged, and the check says so
                    each.part.replace(each.target)
        with suppress(OSError):
            self._sync()

    def sweep(self) -> None:
        """Take away what was staged or named and is not kept."""
        for each in self.staged:
            with suppress(OSError):
                if each.part.exists():
                    each.part.unlink()
                elif each.target in self.named:
                    each.target.unlink()

    def _sync(self) -> None:
        for folder in {each.target.parent for each in self.staged}:
            sync_folder(folder)

    def _target(self, bundle: Bundle, member: Member, wanted: Wanted) -> tuple[Path, bool] | None:
        """Where a file belongs and whether it mends one; None when it is here.  Raises BundleRefused."""
        picture, paper = PICTURE.fullmatch(member.name), PAPER.fullmatch(member.name)
        if picture is not None and wanted.has_picture(picture["digest"], picture["suffix"]):
            return self._picture(picture["digest"], picture["suffix"])
        name = wanted.papers.get(paper["digest"], "") if paper is not None else ""
        places = places_of_paper(self.folder, name, member.sha256)
        if not places:
            raise BundleRefused(
                bundle.name, said("It holds '{name}', which no entry names.", name=member.name[:80])
            )
        if paper_path(self.folder, name, member.sha256) is not None:
            return None
        taken = {str(each.target).casefold() for each in self.staged}
        free = (each for each in places if not _stands(each) and str(each).casefold() not in taken)
        target = next(free, None)
        return (target, False) if target is not None else (places[-1], True)

    def _picture(self, digest: str, suffix: str) -> tuple[Path, bool] | None:
        known = self._here.get(digest)
        if known is None:
            ending = suffix if suffix in OPENED_HERE else OF_NO_KIND
            return self.folder / PICTURES / f"{digest}{ending}", False
        return None if holds_picture(known, digest) else (known, True)


@contextmanager
def staging(folder: Path) -> Iterator[Staging]:
    """A place for files on their way; afterwards nothing is left of those that were not kept."""
    made = Staging(folder)
    try:
        yield made
    finally:
        made.sweep()


def _stands(path: Path) -> bool:
    return path.exists() or path.is_symlink()


def _check_picture(bundle: Bundle, member: Member, part: Path) -> None:
    picture = PICTURE.fullmatch(member.name)
    why = why_unfit(part, picture["suffix"]) if picture is not None else ""
    if why:
        raise BundleRefused(
            bundle.name,
            said("The picture '{name}' is not one to keep: {why}", name=member.name[:80], why=why),
        )
