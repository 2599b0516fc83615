"""A project of one sample log, cut where the decisions begin, in which three people have keys."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from importlib.resources import files
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from fieldapp.criteria.finding import ReleaseState
from fieldapp.desk.decisions.engineer import ReleaseAsked, release
from fieldapp.desk.inspector import Saying, record_entry
from fieldapp.desk.office import begin_project, shaft_now
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.identity.keys import UnlockedKey
from fieldapp.record.entry import Entry
from fieldapp.record.kinds import PROJECT_KINDS, Values
from fieldapp.record.words import Role
from tests.desk.conftest import SiteClock
from tests.desk.signed_work import DESIGNER, ENGINEER, INSPECTOR, person_key, pinned

ZONE = ZoneInfo("America/Denver")
HERE = "tablet east"
ROLES = {INSPECTOR: Role.INSPECTOR, ENGINEER: Role.RESIDENT_ENGINEER, DESIGNER: Role.DESIGNER}
# Sample logs up to the sign-off: file, number of lines kept, the moment at which the desk goes on.
CLEAN = ("P1-1", 308, datetime(2026, 5, 12, 13, 22, tzinfo=ZONE))
SANDY = ("P1-3", 251, datetime(2026, 5, 14, 11, 35, tzinfo=ZONE))
SOFT = ("T-1", 282, datetime(2026, 5, 6, 13, 12, tzinfo=ZONE))


class Site:
    """A project in which the people have keys, at the moment when somebody decides."""

    TYPED = frozenset({"office", "tablet north", "tablet south"})  # the devices of the sample logs

    def __init__(self, place: Workplace, clock: SiteClock, shaft: str, keys: dict[str, UnlockedKey]) -> None:
        self.place, self.clock, self.shaft, self.keys = place, clock, shaft, keys

    @property
    def state(self) -> ReleaseState:
        return shaft_now(self.place, self.shaft, self.place.now()).release

    def at(self, clock: str) -> datetime:
        hour, minute = clock.split(":")
        return self.clock.at.replace(hour=int(hour), minute=int(minute))

    def say(self, values: Values, author: str = INSPECTOR, confirmed: tuple[str, ...] = ()) -> Entry:
        about = None if values.KIND in PROJECT_KINDS else self.shaft
        return record_entry(self.place, Saying(about, values, author, confirmed=confirmed))

    def release(self, until: str, author: str = ENGINEER, **asked: object) -> Entry:
        said = ReleaseAsked(self.at(until), **asked)
        return release(self.place, self.shaft, said, author, self.keys[author])

    def writes_nothing(self, problem: type[Exception], act: Callable[[], object]) -> str:
        before = len(self.place.entries())
        with pytest.raises(problem) as raised:
            act()
        assert len(self.place.entries()) == before
        return str(raised.value)


@contextmanager
def site(folder: Path, sample: tuple[str, int, datetime], *, with_keys: bool = True) -> Iterator[Site]:
    """A new project of one sample log, cut where the decisions begin; the keys of all three are pinned."""
    name, lines, moment = sample
    logs, samples = folder / "logs", Path(str(files("sample_logs") / "larkwater"))
    logs.mkdir(parents=True)
    shutil.copy(samples / "project.log", logs)
    text = (samples / f"{name}.log").read_text("utf-8").splitlines()[:lines]
    (logs / f"{name}.log").write_text("\n".join(text) + "\n", "utf-8")
    begin_project(folder / "project")
    clock = SiteClock(moment)
    with open_project(folder / "project", clock, device=HERE) as place:
        add_logs(place, read_logs(list(logs.glob("*.log"))))
        keys = {who: person_key(place, who, role) for who, role in ROLES.items()} if with_keys else {}
        setup = place.setup()
        for who, key in keys.items():
            setup = pinned(setup, who, key)
        if keys:
            record_entry(place, Saying(None, setup, ENGINEER))
        yield Site(place, clock, name, keys)
