"""A bundle looked into before it is taken over: what it says of itself, under a signature that holds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from fieldapp.desk.travel.sender import check_signatures
from fieldapp.desk.workplace import Workplace
from fieldapp.exchange.bundle.manifest import Manifest
from fieldapp.exchange.bundle.reading import read_bundle
from fieldapp.store.problems import in_plain_words


@dataclass(frozen=True, slots=True)
class BundleSeen:
    """A bundle as it would arrive.

    Attributes
    ----------
    project, device, person
        Whose it is, and who sent it as it says; the person is empty when no person signed.
    shafts
        Those whose pictures and papers it carries; None for all.
    entries, new
        Entries in it, and those that the project in hand does not have yet.
    files, size
        Pictures and papers in it; bytes of the whole file.
    digest
        SHA-256 (hex) of what was signed: names this very bundle.
    known_device
        Whether the project in hand has entries of the sending device already.
    """

    path: Path
    project: str
    device: str
    person: str
    made_at: datetime
    shafts: tuple[str, ...] | None
    entries: int
    new: int
    files: int
    size: int
    digest: str
    known_device: bool


def look_into(path: Path, place: Workplace | None = None) -> BundleSeen:
    """What is in a bundle, without taking anything over.

    That the sender is known to the project is held only when it is taken over.
    Raises BundleRefused, StoreProblem.
    """
    with in_plain_words(path), path.open("rb") as file:
        bundle = read_bundle(path, file)
        check_signatures(bundle)
        size = file.seek(0, 2)
    said = bundle.manifest
    return BundleSeen(
        path,
        said.project,
        said.device,
        said.made_by,
        said.made_at,
        said.shafts,
        sum(each.seq for each in said.heads),
        _new(said, place),
        len(bundle.files),
        size,
        bundle.digest,
        place is not None and said.device in place.heads(),
    )


def _new(manifest: Manifest, place: Workplace | None) -> int:
    here = place.heads() if place is not None and place.project_id == manifest.project else {}
    reach = {device: head.seq for device, head in here.items()}
    return sum(max(0, each.seq - reach.get(each.device, 0)) for each in manifest.heads)
