"""Tablets that carry one project: each with a device folder, a clock and a project folder of its own."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from PIL import Image

from fieldapp.desk.office import begin_project
from fieldapp.desk.travel.arriving import Arrived, Meant, NewFolder, begin_from_bundle, take_bundle
from fieldapp.desk.travel.sending import Asked, SentBundle, make_bundle
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.entry import Entry
from fieldapp.record.hole import Note, Photo
from fieldapp.store.opening import LOCK, reading
from fieldapp.store.pictures import save_picture
from tests.desk.conftest import HOLE, SETUP
from tests.desk.signed_work import ENGINEER, INSPECTOR, say

MORNING = datetime(2026, 5, 12, 9, 0, tzinfo=ZoneInfo("America/Denver"))
TABLES = ("entries", "devices", "forms", "shafts", "soundings", "timeline")


@dataclass
class TabletClock:
    """Stands still until it is moved; identifiers are of this tablet alone."""

    number: int
    at: datetime = MORNING
    made: int = 0

    def now(self, zone: str) -> datetime:
        return self.at.astimezone(ZoneInfo(zone))

    def new_id(self) -> str:
        self.made += 1
        return f"019e1d46-3180-7{self.number:03x}-904d-{self.made:012x}"


@dataclass
class Tablet:
    """One device; ``at_work`` opens its project as that device."""

    root: Path
    number: int
    patch: pytest.MonkeyPatch
    clock: TabletClock = field(init=False)

    def __post_init__(self) -> None:
        self.clock = TabletClock(self.number)

    @property
    def device(self) -> str:
        return f"tablet {self.number}"

    @property
    def folder(self) -> Path:
        return self.root / f"project {self.number}"

    def is_in_hand(self) -> None:
        """From now on this process is this device."""
        self.patch.setenv("XDG_CONFIG_HOME", str(self.root / f"home {self.number}"))

    @contextmanager
    def at_work(self) -> Iterator[Workplace]:
        self.is_in_hand()
        with open_project(self.folder, self.clock, self.device) as place:
            yield place

    def begins(self) -> None:
        """Make the project of the small sample logs here."""
        logs = self.root / "logs"
        logs.mkdir()
        (logs / "project.log").write_text(SETUP, "utf-8")
        (logs / "P1-1.log").write_text(HOLE, "utf-8")
        begin_project(self.folder)
        with self.at_work() as place:
            add_logs(place, read_logs(sorted(logs.glob("*.log"))))

    def notes(self, text: str, shaft: str = "P1-1") -> Entry:
        self.clock.at += timedelta(minutes=1)
        with self.at_work() as place:
            return say(place, Note(text), shaft=shaft)

    def photographs(self, picture: bytes, shaft: str = "P1-1") -> str:
        with self.at_work() as place:
            digest = save_picture(place.folder, picture, ".png")
            say(place, Photo(digest, "the base"), shaft=shaft)
        return digest

    def sends(
        self,
        name: str = "out",
        shafts: tuple[str, ...] | None = None,
        *,
        author: str = ENGINEER,
        key: UnlockedKey | None = None,
    ) -> SentBundle:
        with self.at_work() as place:
            return make_bundle(place, self.root / f"{name}.bundle.zip", Asked(author, shafts, key))

    def takes(self, path: Path, meant: Meant | None = None) -> Arrived:
        """Receive a bundle; a tablet without the project makes it of the bundle."""
        self.is_in_hand()
        if not self.folder.exists():
            return begin_from_bundle(NewFolder(self.folder, self.clock, self.device), path, meant=meant)
        with self.at_work() as place:
            return take_bundle(place, path, meant=meant)

    def entries(self) -> tuple[Entry, ...]:
        with self.at_work() as place:
            return tuple(place.entries())

    def as_it_is(self) -> dict[str, object]:
        """Everything in the folder: every file with its hash, and the rows of every table."""
        if not self.folder.exists():
            return {}
        found: dict[str, object] = {}
        for path in sorted(self.folder.rglob("*")):
            if path.is_file() and path.name != LOCK and not path.name.endswith(("-shm", "-wal")):
                found[str(path.relative_to(self.folder))] = hashlib.sha256(path.read_bytes()).hexdigest()
        with reading(self.folder) as connection:
            for name in TABLES:
                found[f"rows of {name}"] = connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0]
        return found

    def refuses(self, path: Path, problem: type[Exception], meant: Meant | None = None) -> str:
        """Taking it over is refused, and afterwards everything is as it was."""
        return self.leaves_all(lambda: self.takes(path, meant), problem)

    def leaves_all(self, act: Callable[[], object], problem: type[BaseException]) -> str:
        before, beside = self.as_it_is(), sorted(each.name for each in self.root.iterdir())
        with pytest.raises(problem) as raised:
            act()
        assert self.as_it_is() == before
        homes = {"home 1", "home 2", "home 3"}
        assert set(beside) - homes == {each.name for each in self.root.iterdir()} - homes
        return str(raised.value)


def a_picture(colour: str = "red", size: tuple[int, int] = (8, 6)) -> bytes:
    """A small PNG."""
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "PNG")
    return out.getvalue()


def pair(root: Path, patch: pytest.MonkeyPatch) -> tuple[Tablet, Tablet]:
    """Two tablets with the same project; nothing was recorded since it went over."""
    one, two = Tablet(root, 1, patch), Tablet(root, 2, patch)
    one.begins()
    two.takes(one.sends("first").path)
    return one, two


@pytest.fixture
def tablets(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Tablet, Tablet]:
    """Two tablets that know the same project."""
    return pair(tmp_path, monkeypatch)


@pytest.fixture
def one(tablets: tuple[Tablet, Tablet]) -> Tablet:
    return tablets[0]


@pytest.fixture
def two(tablets: tuple[Tablet, Tablet]) -> Tablet:
    return tablets[1]


__all__ = ["ENGINEER", "INSPECTOR", "Tablet", "TabletClock", "a_picture", "one", "pair", "tablets", "two"]
