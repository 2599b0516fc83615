"""A project in which everything can be done, copied as often as somebody spoils it.

It is made once in a process: one sample log cut where the decisions begin, three people with keys that stay
unlocked in memory, a picture, and a bundle of another tablet that waits to be taken over.
"""

from __future__ import annotations

import io
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from importlib.resources import files
from pathlib import Path
from zoneinfo import ZoneInfo

from PIL import Image

from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.office import begin_project
from fieldapp.desk.travel.arriving import NewFolder, begin_from_bundle
from fieldapp.desk.travel.sending import Asked, make_bundle
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.hole import Note, Photo
from fieldapp.store.pictures import save_picture
from tests.desk.decision_site import CLEAN, HERE, ROLES
from tests.desk.signed_work import ENGINEER, INSPECTOR, person_key, pinned

SHAFT = CLEAN[0]
WEST = "tablet west"


@dataclass
class GroundClock:
    """Goes on by a second each time it is read; identifiers follow from the number of the turn."""

    at: datetime = CLEAN[2]
    turn: int = 0
    made: int = 0

    def now(self, zone: str) -> datetime:
        self.at += timedelta(seconds=1)
        return self.at.astimezone(ZoneInfo(zone))

    def new_id(self) -> str:
        self.made += 1
        high, low = divmod(self.turn, 0x1000)
        return f"019e1d46-3180-7{low:03x}-9{high % 0x1000:03x}-{self.made:012x}"

    def in_another_process(self) -> None:
        """Whoever had this clock is gone, with identifiers that nobody else may make."""
        self.turn += 0x10_0000


@dataclass
class Ground:
    """One copy: the project, this device's own folder, what arrives, and who can sign."""

    root: Path
    keys: dict[str, UnlockedKey]
    clock: GroundClock = field(default_factory=GroundClock)
    arriving_ids: frozenset[str] = frozenset()
    """The entries of the bundle that arrives which are new here."""

    @property
    def project(self) -> Path:
        return self.root / "project"

    @property
    def device(self) -> Path:
        """What belongs to this device and to no project."""
        return self.root / "config" / "basenote"

    @property
    def arriving(self) -> Path:
        """A bundle of another tablet with two entries and two pictures that are new."""
        return self.root / "arriving.bundle.zip"

    def beside(self, name: str) -> Path:
        """A file that somebody brings, on another disk."""
        return self.root.with_name(f"{self.root.name}-{name}")

    def stand_here(self) -> None:
        """From now on this process is the device of this copy."""
        os.environ["XDG_CONFIG_HOME"] = str(self.root / "config")

    @contextmanager
    def at_work(self) -> Iterator[Workplace]:
        self.stand_here()
        with open_project(self.project, self.clock, HERE) as place:
            yield place

    def copied(self, root: Path, turn: int = 0) -> Ground:
        """A fresh copy under a folder that is not there yet, with identifiers of its own."""
        shutil.rmtree(root, ignore_errors=True)
        shutil.copytree(self.root, root)
        return Ground(root, self.keys, GroundClock(turn=turn + 1), self.arriving_ids)


def noise(number: int, size: tuple[int, int] = (64, 48)) -> bytes:
    """A JPEG that no other number gives."""
    out = io.BytesIO()
    image = Image.linear_gradient("L").resize(size).point(lambda grey: (grey * (number * 2 + 1)) % 256)
    image.convert("RGB").save(out, "JPEG", quality=90)
    return out.getvalue()


def made_ground(root: Path) -> Ground:
    """Make the ground in a folder that is there and empty."""
    ground = Ground(root, {})
    logs = _logs(root)
    begin_project(ground.project)
    with ground.at_work() as place:
        add_logs(place, read_logs(logs))
        ground.keys |= {who: person_key(place, who, role) for who, role in ROLES.items()}
        setup = place.setup()
        for who, key in ground.keys.items():
            setup = pinned(setup, who, key)
        record_entry(place, Saying(None, setup, ENGINEER))
        _photo(place, 1)
        make_bundle(place, root / "first.bundle.zip", Asked(ENGINEER))
    for each in logs:
        each.unlink()
    _west(ground)
    (root / "first.bundle.zip").unlink()
    return ground


def _logs(root: Path) -> list[Path]:
    """The sample log of one shaft up to the sign-off, and of the project file what it needs."""
    name, lines, _ = CLEAN
    samples = Path(str(files("sample_logs") / "larkwater"))
    log, project = root / f"{name}.log", root / "project.log"
    log.write_text(
        "\n".join((samples / f"{name}.log").read_text("utf-8").splitlines()[:lines]) + "\n", "utf-8"
    )
    parts = (samples / "project.log").read_text("utf-8").split("\n\n")
    other = [each for each in parts if "shaft scheduled" in each and f"shaft {name} " not in each]
    project.write_text("\n\n".join(each for each in parts if each not in other), "utf-8")
    return [log, project]


def _west(ground: Ground) -> None:
    """Another tablet takes the project over, goes on with it, and sends it back."""
    folder, home = ground.root / "west", ground.root / "west-config"
    os.environ["XDG_CONFIG_HOME"] = str(home)
    clock = GroundClock(CLEAN[2] + timedelta(minutes=1), 0xFFFFFF)
    begin_from_bundle(NewFolder(folder, clock, WEST), ground.root / "first.bundle.zip")
    with open_project(folder, clock, WEST) as place:
        for number in (2, 3):
            _photo(place, number)
        record_entry(place, Saying(SHAFT, Note("cage on its way"), INSPECTOR))
        make_bundle(place, ground.arriving, Asked(ENGINEER))
        ground.arriving_ids = frozenset(each.id for each in place.entries() if each.device == WEST)
    shutil.rmtree(folder)
    shutil.rmtree(home)
    ground.stand_here()


def _photo(place: Workplace, number: int) -> None:
    digest = save_picture(place.folder, noise(number), ".jpg")
    record_entry(place, Saying(SHAFT, Photo(digest, "the base"), INSPECTOR))
