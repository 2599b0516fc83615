"""A bundle made for another device: whole chains, and the pictures and papers of the shafts chosen.

A chain with holes would prove nothing, and entries are small, so chains are never cut.  The chain of this
device is signed up to its last entry first, and the file is there whole or not at all.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Final

from fieldapp.desk.decisions.turning_point import TurningPoint
from fieldapp.desk.trust.device_key import kept_device_key
from fieldapp.desk.trust.stretches import check_can_sign, sign_stretch
from fieldapp.desk.workplace import Workplace, file_name_of
from fieldapp.exchange.bundle.signature import SenderSignature
from fieldapp.exchange.bundle.writing import Carried, Sender, TooLarge, write_bundle
from fieldapp.identity.bundles import Sent, sign_bundle
from fieldapp.identity.certificates import to_pem
from fieldapp.identity.device_keys import DeviceKeyLost, DeviceSigner
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.attesting import PaperSigned, StretchSigned
from fieldapp.record.chain import chains_of, heads_of
from fieldapp.record.entry import Entry
from fieldapp.record.reading import Impossible
from fieldapp.record.said import said
from fieldapp.store.atomic_file import PART, sync_folder
from fieldapp.store.papers import paper_path
from fieldapp.store.pictures import missing_or_changed, picture_path, pictures_named_in
from fieldapp.store.problems import AlreadyThere, in_plain_words

SUFFIX: Final = ".bundle.zip"


@dataclass(frozen=True, slots=True)
class SentBundle:
    """A bundle that was made, what is in it, and digests of files that it should carry and are not here."""

    path: Path
    entries: int
    files: int
    size: int
    left_out: tuple[str, ...]


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


def make_bundle(
    place: Workplace, path: Path, asked: Asked, turning: TurningPoint | None = None
) -> SentBundle:
    """Make a bundle of the project as it is now.

    Parameters
    ----------
    place
        Open for work: the chain of this device is signed before.
    path
        Where it is to stand; nothing may be there yet.
    asked
        What it carries and who sends it.
    turning
        Stops it until the file is named; then nothing is left of it but the signature of the chain.

    Raises
    ------
    UnknownShaft, AlreadyThere, Impossible for an empty journal or too much for one bundle, Stopped;
    DeviceKeyLost, RevokedKey, OutsideValidity, NotThisPerson, Refused as `sign_stretch`; StoreProblem.
    """
    for each in asked.shafts or ():
        place.shaft(each)
    if not place.entries():
        raise Impossible("journal", said("nothing"), said("at least one entry"))
    if path.exists():
        raise AlreadyThere(folder=path)
    signer = _signed_chain(place, asked)
    carried, left_out = _files(place, asked.shafts)
    turning = turning or TurningPoint()
    part = path.with_name(f".{path.name}.{os.getpid()}{PART}")
    with in_plain_words(path.parent):
        try:
            _write(place, part, asked, (carried, signer, turning))
            turning.go_through()
            part.replace(path)
            sync_folder(path.parent)
        except TooLarge as problem:
            raise Impossible("bundle", str(problem), said("fewer shafts")) from None
        finally:
            with suppress(OSError):
                part.unlink(missing_ok=True)
    return SentBundle(path, len(place.entries()), len(carried), path.stat().st_size, left_out)


def _write(
    place: Workplace, part: Path, asked: Asked, made_by: tuple[list[Carried], DeviceSigner, TurningPoint]
) -> None:
    carried, signer, turning = made_by
    by_person = asked.key.certificate.name if asked.key else ""
    sender = Sender(place.project_id, asked.shafts, place.now(), by_person, signer.device)
    entries = place.entries()

    def sign(digest: str) -> SenderSignature:
        sent = Sent(place.project_id, signer.device, digest)
        person = (to_pem(asked.key.x509_certificate), sign_bundle(sent, asked.key)) if asked.key else ("", "")
        return SenderSignature(signer.certificate, sign_bundle(sent, signer), *person)

    def sealed() -> Iterator[bytes]:
        for chain in chains_of(entries).values():
            turning.look()
            yield from (each.sealed for each in chain)

    def files() -> Iterator[Carried]:
        for each in carried:
            turning.look()
            yield each

    with part.open("w+b") as file:
        write_bundle(file, sender, (sealed(), tuple(heads_of(entries).values()), files()), sign)
        file.flush()
        os.fsync(file.fileno())


def _signed_chain(place: Workplace, asked: Asked) -> DeviceSigner:
    """Sign the chain of this device where its last entry is not signed yet, and give its key."""
    mine = [each for each in place.entries() if each.device == place.device]
    last = max(mine, key=lambda each: each.seq, default=None)
    if last is None or not isinstance(last.values, StretchSigned):
        sign_stretch(place, asked.author, asked.key)
    else:
        check_can_sign(place, asked.author, asked.key)
    signer = kept_device_key(place.device)
    if signer is None:
        raise DeviceKeyLost(said("The key of device {device} is not here any more.", device=place.device))
    return signer


def _files(place: Workplace, shafts: tuple[str, ...] | None) -> tuple[list[Carried], tuple[str, ...]]:
    """The pictures and papers that belong to these shafts, and digests of those that are not here whole."""
    wanted = [each for each in place.entries() if _belongs(each, shafts)]
    pictures = dict.fromkeys(digest for each in wanted for digest in pictures_named_in(each.values))
    lost = missing_or_changed(place.folder, pictures)
    carried = [
        Carried(f"pictures/{path.name}", path)
        for digest in sorted(pictures)
        if digest not in lost and (path := picture_path(place.folder, digest)) is not None
    ]
    left_out = list(lost)
    papers = {each.values.file_digest: each.values for each in wanted if isinstance(each.values, PaperSigned)}
    for digest, paper in sorted(papers.items()):
        path = paper_path(place.folder, paper.file_name, digest)
        if path is None:
            left_out.append(digest)
        else:
            carried.append(Carried(f"papers/{digest}.pdf", path))
    return carried, tuple(left_out)


def _belongs(entry: Entry, shafts: tuple[str, ...] | None) -> bool:
    about = entry.values.about if isinstance(entry.values, PaperSigned) else entry.shaft
    return shafts is None or about is None or about in shafts
