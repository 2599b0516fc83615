"""A bundle made for another device: whole chains, and the pictures and papers of the shafts chosen.

A chain with holes would prove nothing, and entries are small, so chains are never cut.  The chain of this
device is signed up to its last entry first, and the file is there whole or not at all.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from itertools import chain
from pathlib import Path
from typing import Final, TypeVar

from fieldapp.desk.travel.fitting import OF_NO_KIND, Wanted, why_unfit
from fieldapp.desk.trust.device_key import kept_device_key
from fieldapp.desk.trust.stretches import check_can_sign, sign_stretch
from fieldapp.desk.turning_point import Stopped, TurningPoint
from fieldapp.desk.workplace import Workplace, file_name_of
from fieldapp.exchange.bundle.manifest import PICTURE
from fieldapp.exchange.bundle.refused import NotSent
from fieldapp.exchange.bundle.signature import SenderSignature
from fieldapp.exchange.bundle.writing import Carried, ChangedMeanwhile, Sender, TooLarge, write_bundle
from fieldapp.identity.bundles import Sent, sign_bundle
from fieldapp.identity.certificates import to_pem
from fieldapp.identity.device_keys import DeviceKeyLost, DeviceSigner
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.attesting import PaperSigned, StretchSigned
from fieldapp.record.entry import ChainHead, Entry
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said, said_of
from fieldapp.record.words import PaperKind
from fieldapp.store.atomic_file import PART, sweep, sync_folder
from fieldapp.store.papers import paper_path
from fieldapp.store.pictures import holds_picture, pictures_in
from fieldapp.store.problems import AlreadyThere, in_plain_words
from fieldapp.store.reader import JournalReader, read_journal

T = TypeVar("T")

SUFFIX: Final = ".bundle.zip"
NO_FILE_LEFT: Final = said(
    "Stopped. No file was left. The chain of this device may have been signed up to its last entry for it; "
    "that stands, and does no harm."
)


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A file that an entry names and that did not go along: its digest or name, and why."""

    name: str
    why: str


@dataclass(frozen=True, slots=True)
class SentBundle:
    """A bundle that was made, and what is in it; ``signed_by`` is empty when the device alone signed."""

    path: Path
    entries: int
    files: int
    size: int
    signed_by: str
    left_out: tuple[LeftOut, ...]


@dataclass(frozen=True, slots=True)
class Asked:
    """Which bundle: shafts whose pictures and papers it carries (None for all), and who sends it.

    ``key`` is the sender's, when unlocked: then the person signs it too.
    """

    author: str
    shafts: tuple[str, ...] | None = None
    key: UnlockedKey | None = None


def bundle_name(project: str, moment: datetime) -> str:
    """The file name that a bundle is offered under."""
    return f"{file_name_of(project)}-{moment:%Y%m%d-%H%M}{SUFFIX}"


@dataclass(frozen=True, slots=True)
class Ready:
    """A project as it goes out: its journal at one moment, signed, and the key that signs the bundle."""

    folder: Path
    project: str
    heads: Mapping[str, ChainHead]
    asked: Asked
    made_at: datetime
    signer: DeviceSigner

    def holds(self, entry: Entry) -> bool:
        """Whether an entry was there when this was taken."""
        head = self.heads.get(entry.device)
        return head is not None and entry.seq <= head.seq


def make_bundle(
    place: Workplace, path: Path, asked: Asked, turning: TurningPoint | None = None
) -> SentBundle:
    """Make a bundle of the project as it is now; see `ready_to_send` and `write_ready` for what is raised."""
    turning = turning or TurningPoint()
    turning.look()
    if path.exists():
        raise AlreadyThere(folder=path)
    return write_ready(ready_to_send(place, asked), path, turning)


def ready_to_send(place: Workplace, asked: Asked) -> Ready:
    """Sign the chain of this device up to its last entry, and take the journal as it is then.

    ``place`` is open for work.  What is recorded afterwards goes with the next bundle.

    Raises
    ------
    UnknownShaft, Impossible for an empty journal;
    DeviceKeyLost, RevokedKey, OutsideValidity, NotThisPerson, Refused as `sign_stretch`; StoreProblem.
    """
    for each in asked.shafts or ():
        place.shaft(each)
    if not place.heads():
        raise Impossible("journal", said("nothing"), said("at least one entry"))
    signer = _signed_chain(place, asked)
    return Ready(place.folder, place.project_id, place.heads(), asked, place.now(), signer)


def write_ready(ready: Ready, path: Path, turning: TurningPoint | None = None) -> SentBundle:
    """Write the bundle; nobody needs the project meanwhile.

    Parameters
    ----------
    ready
        What goes out.
    path
        Where it is to stand; nothing may be there yet.
    turning
        Stops it until the file is named; then nothing is left of it.

    Raises
    ------
    AlreadyThere, Stopped, StoreProblem; NotSent for too much for one bundle, or for a file that changes
    meanwhile.
    """
    try:
        return _written(ready, path, turning or TurningPoint())
    except Stopped:
        raise Stopped(NO_FILE_LEFT) from None


def _written(ready: Ready, path: Path, turning: TurningPoint) -> SentBundle:
    if path.exists():
        raise AlreadyThere(folder=path)
    with read_journal(ready.folder) as journal:
        return _written_from(journal, ready, path, turning)


def _written_from(journal: JournalReader, ready: Ready, path: Path, turning: TurningPoint) -> SentBundle:
    carried, left_out = _files(journal, ready, turning)
    sweep(path.parent, SUFFIX)
    part = path.with_name(f".{path.name}.{os.getpid()}{PART}")
    with in_plain_words(path.parent):
        try:
            sealed = chain.from_iterable(map(journal.chain, ready.heads.values()))
            _write(ready, part, _looking(turning, sealed), _looking(turning, carried))
            turning.go_through()
            part.replace(path)
            sync_folder(path.parent)
        except (TooLarge, ChangedMeanwhile) as problem:
            raise NotSent(said_of(problem)) from None
        finally:
            with suppress(OSError):
                part.unlink(missing_ok=True)
        size = path.stat().st_size
    count = sum(each.seq for each in ready.heads.values())
    return SentBundle(path, count, len(carried), size, _signed_by(ready.asked), left_out)


def _looking(turning: TurningPoint, going: Iterable[T]) -> Iterator[T]:
    """The same, with a look at each whether somebody has stopped it."""
    for each in going:
        turning.look()
        yield each


def _write(ready: Ready, part: Path, sealed: Iterable[bytes], files: Iterable[Carried]) -> None:
    asked, signer = ready.asked, ready.signer
    sender = Sender(ready.project, asked.shafts, ready.made_at, _signed_by(asked), signer.device)

    def sign(digest: str) -> SenderSignature:
        sent = Sent(ready.project, signer.device, digest)
        person = (to_pem(asked.key.x509_certificate), sign_bundle(sent, asked.key)) if asked.key else ("", "")
        return SenderSignature(signer.certificate, sign_bundle(sent, signer), *person)

    part.unlink(missing_ok=True)
    with part.open("x+b") as file:  # never through a link that somebody put there
        write_bundle(file, sender, (sealed, tuple(ready.heads.values()), files), sign)
        file.flush()
        os.fsync(file.fileno())


def _signed_by(asked: Asked) -> str:
    return asked.author if asked.key else ""


def _signed_chain(place: Workplace, asked: Asked) -> DeviceSigner:
    """Sign the chain of this device where its last entry is not signed yet, and give its key."""
    last = place.last_of(place.device, 1)
    if not last or not isinstance(last[0].values, StretchSigned):
        sign_stretch(place, asked.author, asked.key)
    else:
        check_can_sign(place, asked.author, asked.key)
    signer = kept_device_key(place.device)
    if signer is None:
        raise DeviceKeyLost(said("The key of device {device} is not here any more.", device=place.device))
    return signer


def _files(
    journal: JournalReader, ready: Ready, turning: TurningPoint
) -> tuple[list[Carried], tuple[LeftOut, ...]]:
    """The pictures and papers that belong to these shafts, and those that stay here, with the reason."""
    wanted = Wanted.by(journal, lambda each: ready.holds(each) and _belongs(each, ready.asked.shafts))
    here = pictures_in(ready.folder)
    carried: list[Carried] = []
    left_out: list[LeftOut] = []
    for digest in sorted(wanted.pictures | wanted.attached):
        turning.look()
        path = here.get(digest)
        why = _why_not(path, digest, wanted)
        if path is None or why:
            left_out.append(LeftOut(digest, why))
        else:
            carried.append(Carried(_name_inside(digest, path), path))
    for digest, name in sorted(wanted.papers.items()):
        turning.look()
        paper = paper_path(ready.folder, name, digest)
        if paper is None:
            left_out.append(LeftOut(name, said("It is not here as it was signed.")))
        else:
            carried.append(Carried(f"papers/{digest}.pdf", paper))
    return carried, tuple(left_out)


def _why_not(path: Path | None, digest: str, wanted: Wanted) -> str:
    """Why a picture stays here; empty for one that goes along."""
    if path is None:
        return said("It is not here.")
    with in_plain_words(path):
        if not holds_picture(path, digest):
            return said("It was changed since it was recorded.")
        suffix = path.suffix.lower()
        if not wanted.has_picture(digest, suffix):
            return said("It is named by an entry as a picture, and is none.")
        return why_unfit(path, suffix)


def _name_inside(digest: str, path: Path) -> str:
    name = f"pictures/{digest}{path.suffix.lower()}"
    return name if PICTURE.fullmatch(name) else f"pictures/{digest}{OF_NO_KIND}"


def _belongs(entry: Entry, shafts: tuple[str, ...] | None) -> bool:
    if isinstance(entry.values, PaperSigned):
        of_all = entry.values.paper is PaperKind.PROJECT_SUMMARY
        about = None if of_all else entry.values.about
    else:
        about = entry.shaft
    return shafts is None or about is None or about in shafts
