"""A bundle taken over: judged whole first, then its files and all of its entries, or nothing at all.

Files are staged hidden beside their place and named only when every entry has been held against the
journal; the entries follow in one transaction.  What is here already is left as it is, so that a bundle may
come any number of times, and bundles in any order.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from fieldapp.desk.clock import Clock
from fieldapp.desk.decisions.turning_point import TurningPoint
from fieldapp.desk.pictures.reading import check_kept_picture
from fieldapp.desk.pictures.refused import PictureRefused
from fieldapp.desk.projects.growing import growing_project
from fieldapp.desk.travel.sender import BundleSender, check_signatures, sender_of
from fieldapp.desk.trust.receiving import receive
from fieldapp.desk.workplace import Workplace
from fieldapp.exchange.bundle.manifest import PAPER, PICTURE, Member
from fieldapp.exchange.bundle.reading import Bundle, read_bundle
from fieldapp.exchange.bundle.refused import BundleRefused
from fieldapp.record.attesting import PaperSigned
from fieldapp.record.entry import Entry
from fieldapp.record.said import said
from fieldapp.store.atomic_file import PART, sync_folder
from fieldapp.store.papers import REPORTS, is_paper_name
from fieldapp.store.pictures import PICTURES, picture_path, pictures_named_in
from fieldapp.store.problems import AlreadyThere, in_plain_words

_AS_PICTURES: Final = frozenset({".jpg", ".jpeg", ".png", ".webp"})


@dataclass(frozen=True, slots=True)
class Arrived:
    """What came with a bundle: entries that are new, how many were known, new files, and who sent it."""

    added: tuple[Entry, ...]
    known: int
    files: int
    sender: BundleSender


@dataclass(frozen=True, slots=True)
class _Staged:
    """A file of the bundle on disk under a hidden name, and the name that it is to get."""

    part: Path
    target: Path


def take_bundle(place: Workplace, path: Path, turning: TurningPoint | None = None) -> Arrived:
    """Take over a bundle.

    Parameters
    ----------
    place
        Open for work; an empty project becomes that of the bundle.
    path
        The bundle.
    turning
        Stops it until the first thing is written.

    Raises
    ------
    BundleRefused with the file and the rule; EntryRefused and what else `receive` raises; Stopped;
    StoreProblem.  Then nothing was written.
    """
    turning = turning or TurningPoint()
    place.writer()
    with in_plain_words(path.parent), path.open("rb") as file:
        bundle = read_bundle(path, file)
        if place.project_id not in {"", bundle.manifest.project}:
            raise BundleRefused(
                bundle.name,
                said(
                    "It is of project {found}, and this is project {known}.",
                    found=bundle.manifest.project,
                    known=place.project_id,
                ),
            )
        check_signatures(bundle)
        sealed = tuple(_watched(bundle.entries(), turning))
        with _staging() as staged:
            senders: list[BundleSender] = []

            def before_commit(everything: tuple[Entry, ...]) -> None:
                _check_heads(bundle, everything)
                senders.append(sender_of(bundle, everything))
                staged.extend(_stage(place.folder, bundle, everything, turning))
                turning.go_through()
                for each in staged:
                    each.part.replace(each.target)
                for folder in {each.target.parent for each in staged}:
                    sync_folder(folder)

            written = receive(place, sealed, before_commit)
            new = len(staged)
            staged.clear()  # they stay
    return Arrived(written.added, len(written.known), new, senders[0])


def begin_from_bundle(
    folder: Path, path: Path, clock: Clock | None = None, turning: TurningPoint | None = None
) -> Arrived:
    """Make a new project folder of a bundle; this device begins a chain of its own there.

    Raises AlreadyThere for a folder that exists, and as `take_bundle`; then no folder is left.
    """
    if folder.exists():
        raise AlreadyThere(folder=folder)
    with growing_project(folder, clock) as place:
        return take_bundle(place, path, turning)


def _watched(sealed: Iterator[bytes], turning: TurningPoint) -> Iterator[bytes]:
    for each in sealed:
        turning.look()
        yield each


def _check_heads(bundle: Bundle, everything: tuple[Entry, ...]) -> None:
    """The chains reach the heads that the sender stated; nothing was left out at their ends."""
    here = {(each.device, each.seq): each.hash for each in everything}
    for head in bundle.manifest.heads:
        if here.get((head.device, head.seq)) != head.hash:
            raise BundleRefused(
                bundle.name,
                said("The chain of device {device} does not end where it says.", device=head.device),
            )


def _stage(
    folder: Path, bundle: Bundle, everything: tuple[Entry, ...], turning: TurningPoint
) -> Iterator[_Staged]:
    """Write each file that is not here under a hidden name, once it is what its name and an entry say."""
    named = {digest for each in everything for digest in pictures_named_in(each.values)}
    papers = {
        each.values.file_digest: each.values.file_name
        for each in everything
        if isinstance(each.values, PaperSigned)
    }
    for member in bundle.files:
        turning.look()
        target = _target(folder, bundle, member, named, papers)
        if target is None:
            for _ in bundle.content(member):
                turning.look()  # it is here already; its hash is held all the same
            continue
        part = target.with_name(f".{target.name}.{os.getpid()}{PART}")
        yield _Staged(part, target)  # first, so that it is swept away whatever happens next
        with part.open("wb") as out:
            for each in bundle.content(member):
                turning.look()
                out.write(each)
            out.flush()
            os.fsync(out.fileno())
        _check_picture(bundle, member, part)


def _target(
    folder: Path, bundle: Bundle, member: Member, named: set[str], papers: dict[str, str]
) -> Path | None:
    """Where a file belongs; None when it is here.  Raises BundleRefused for one that no entry names."""
    picture, paper = PICTURE.fullmatch(member.name), PAPER.fullmatch(member.name)
    if picture is not None and picture["digest"] in named:
        known = picture_path(folder, picture["digest"])
        return None if known is not None else folder / PICTURES / Path(member.name).name
    name = papers.get(paper["digest"], "") if paper is not None else ""
    if not is_paper_name(name):
        raise BundleRefused(
            bundle.name, said("It holds '{name}', which no entry names.", name=member.name[:80])
        )
    target = folder / REPORTS / name
    return None if target.exists() else target


def _check_picture(bundle: Bundle, member: Member, part: Path) -> None:
    picture = PICTURE.fullmatch(member.name)
    if picture is None or picture["suffix"] not in _AS_PICTURES:
        return
    try:
        check_kept_picture(part.read_bytes(), member.name[:80])
    except PictureRefused as problem:
        raise BundleRefused(
            bundle.name,
            said("The picture '{name}' is not one to keep: {why}", name=member.name[:80], why=problem),
        ) from None


@contextmanager
def _staging() -> Iterator[list[_Staged]]:
    """Files on their way; those still in the list at the end are taken away again, named or not."""
    staged: list[_Staged] = []
    try:
        yield staged
    finally:
        for each in staged:
            with suppress(OSError):
                each.part.unlink(missing_ok=True)
            with suppress(OSError):
                each.target.unlink(missing_ok=True)
