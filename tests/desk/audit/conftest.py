"""A project that was worked on, signed and closed, for those who tamper with its file."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from fieldapp.desk.trust.stretches import sign_stretch
from fieldapp.desk.workplace import Workplace
from fieldapp.record.column import HeadReading
from fieldapp.record.decisions import Hold, LogSigned, Release
from fieldapp.record.hole import Note, Photo
from fieldapp.record.reading import Reading
from fieldapp.record.words import Role
from fieldapp.store.pictures import save_picture
from tests.desk.audit.forged_work import (
    PAPER,
    Job,
    a_paper,
    wrong,
)
from tests.desk.conftest import SiteClock
from tests.desk.signed_work import ENGINEER, INSPECTOR, basis, person_key, pinned, say


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    return tmp_path / "home" / "basenote"


@pytest.fixture
def job(place: Workplace, clock: SiteClock) -> Job:
    inspector = person_key(place, INSPECTOR, Role.INSPECTOR)
    engineer = person_key(place, ENGINEER, Role.RESIDENT_ENGINEER)
    say(place, pinned(place.setup(), INSPECTOR, inspector), INSPECTOR)
    say(place, pinned(place.setup(), ENGINEER, engineer), ENGINEER)
    plan = place.shaft("P1-1").scheduled
    assert plan is not None
    say(place, replace(plan, location="pier 1, upstation right"), ENGINEER, "P1-2")
    say(place, Note("rig on the first shaft"))
    say(place, Note("rig on the second shaft"), shaft="P1-2")
    say(place, HeadReading(fluid_level=Reading("2.0", "ft")))
    say(place, Photo(save_picture(place.folder, b"the base", ".jpg"), "the base"))
    say(place, LogSigned(basis(place), "Recorded as seen."))
    sign_stretch(place, INSPECTOR, inspector)
    clock.move(minutes=20)
    say(place, Release(basis(place), clock.at + timedelta(hours=6), reason="soft rim accepted"), ENGINEER)
    sign_stretch(place, ENGINEER, engineer)
    say(place, Hold(basis(place), "tremie late"), ENGINEER)
    sign_stretch(place, ENGINEER)
    (place.folder / "reports" / "p1-1.pdf").write_bytes(PAPER)
    say(place, a_paper(inspector))
    place.writer().close()
    assert wrong(place.folder) == {}
    return Job(place.folder, clock, inspector, engineer)
