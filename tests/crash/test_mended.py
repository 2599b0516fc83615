"""What the campaigns found and what was mended since, each held by itself without a campaign."""

from __future__ import annotations

import errno
import os
import shutil
import threading
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path
from unittest.mock import patch

import pytest

from fieldapp.desk.device import take_new_name
from fieldapp.desk.office import save_backup
from fieldapp.desk.papers.forms import FORMS
from fieldapp.desk.papers.summary import write_summary
from fieldapp.desk.papers.verifying import read_paper
from fieldapp.desk.papers.writing import Wanted, write_paper
from fieldapp.desk.projects.beginning import NewProject, create_project
from fieldapp.desk.settings import read_settings, settings_file
from fieldapp.desk.travel.sending import Asked, make_bundle
from fieldapp.desk.trust.unlocking import change_passphrase, key_file, save_key, take_endorsed, unlock_key
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.record.hole import Photo
from fieldapp.record.words import PaperKind, Role, UnitSystem
from fieldapp.store import chains, opening
from fieldapp.store.driver import sqlite3
from fieldapp.store.opening import copy_database
from fieldapp.store.pictures import save_picture
from fieldapp.store.problems import DiskFull, LockedElsewhere, StoreProblem, in_plain_words
from tests.desk.conftest import SiteClock, clock, logs, place
from tests.desk.signed_work import ENGINEER, INSPECTOR, say

__all__ = ["clock", "logs", "place"]
SOMEBODY_ELSE = 4_194_305
"""No process has this number: the largest on Linux is one less than 2^22."""


@pytest.fixture(autouse=True)
def own_device(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))


@pytest.fixture
def full(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    def no_room(_handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as disk:
        disk.setattr(os, "fsync", no_room)
        yield


@pytest.fixture
def synced(monkeypatch: pytest.MonkeyPatch) -> set[int]:
    """The files and folders that were written through to the disk, by their numbers there."""
    found: set[int] = set()
    fsync = os.fsync

    def seen(handle: int) -> None:
        found.add(os.fstat(handle).st_ino)
        fsync(handle)

    monkeypatch.setattr(os, "fsync", seen)
    return found


def sheet(place: Workplace) -> None:
    write_paper(place, Wanted(FORMS[PaperKind.RELEASE_SHEET], "P1-1", place.now(), INSPECTOR))


def summary(place: Workplace) -> None:
    write_summary(place, place.now(), INSPECTOR)


def key(place: Workplace) -> None:
    save_key(place.folder / "keys" / "inspector-a.p12", b"a key")


@pytest.mark.parametrize("writes", [sheet, summary, key])
def test_papers_and_keys_that_find_no_room_get_a_sentence(place, full, writes: Callable[[Workplace], None]):
    with pytest.raises(DiskFull, match="This was not saved"):
        writes(place)
    assert [each.name for each in place.folder.rglob("*") if each.suffix in {".pdf", ".p12", ".part"}] == []


def test_a_device_that_finds_no_room_for_its_name_gets_a_sentence(full):
    with pytest.raises(DiskFull):
        take_new_name()


def test_a_paper_made_beside_the_work_gets_a_sentence_when_its_folder_is_gone(tmp_path):
    from fieldapp.desk.papers.aside import made_aside, name_paper

    with pytest.raises(StoreProblem, match="could not be opened"), made_aside(tmp_path / "gone" / "reports"):
        pass
    with made_aside(tmp_path / "reports") as scratch:
        (scratch / "a.pdf").write_bytes(b"%PDF-")
        assert name_paper(scratch / "a.pdf", tmp_path / "reports") == (tmp_path / "reports" / "a.pdf", True)
    assert [each.name for each in (tmp_path / "reports").iterdir()] == ["a.pdf"]


def test_a_file_that_cannot_be_read_gets_a_sentence(tmp_path):
    with pytest.raises(StoreProblem):
        read_paper(tmp_path / "gone.pdf")
    settings_file().mkdir(parents=True)
    with pytest.raises(StoreProblem):
        read_settings()


def test_a_key_file_that_cannot_be_read_gets_a_sentence(place):
    key_file(place, INSPECTOR).mkdir()
    for opens in (unlock_key, take_endorsed):
        with pytest.raises(StoreProblem):
            opens(place, INSPECTOR, "six plain words for the test")
    with pytest.raises(StoreProblem):
        change_passphrase(place, INSPECTOR, "six plain words for the test", "seven other words for the test")


def test_files_beside_a_log_whose_folder_is_gone_get_a_sentence(logs):
    (typed,) = read_logs([logs / "P1-1.log"])
    shutil.rmtree(logs)
    with pytest.raises(StoreProblem, match="could not be opened"):
        typed.attached()


def test_what_a_dead_program_left_half_written_is_swept_when_the_project_is_opened(place, clock):
    folder = place.folder
    place.writer().close()
    dead = [
        folder / "reports" / f".log.pdf.{SOMEBODY_ELSE}-7.part",
        folder / "keys" / f".inspector-a.p12.{SOMEBODY_ELSE}-7.part",
        folder / "pictures" / f".0.jpg.{SOMEBODY_ELSE}.part",
        folder / "reports" / f".making.{SOMEBODY_ELSE}.x.part" / "reports" / "half.pdf",
    ]
    alive = folder / "reports" / f".making.{os.getpid()}.y.part" / "reports" / "half.pdf"
    for each in (*dead, alive):
        each.parent.mkdir(parents=True, exist_ok=True)
        each.write_bytes(b"half")
    with open_project(folder, clock, "tablet south"):
        assert [each for each in dead if each.exists()] == []
        assert not dead[-1].parents[1].exists()
        assert alive.exists()  # this very program is at it


def test_half_a_bundle_of_a_dead_program_is_swept_by_the_next_one(place, tmp_path):
    half = tmp_path / f".larkwater-20260512-0900.bundle.zip.{SOMEBODY_ELSE}.part"
    half.write_bytes(b"half")
    make_bundle(place, tmp_path / "larkwater-20260512-0901.bundle.zip", Asked(ENGINEER))
    assert not half.exists()


TWO_DEVICES = """\
project   larkwater
author    Inspector A
zone      America/Denver
day       2026-05-12
shaft     P1-1

device    paper one
13:23  note
  text   the tremie is on its way
device    paper two
13:24  note
  text   the tremie is here
"""


def test_a_log_of_two_devices_is_added_whole_or_not_at_all(place, clock: SiteClock, tmp_path, monkeypatch):
    clock.at += timedelta(hours=6)
    log = tmp_path / "two.log"
    log.write_text(TWO_DEVICES, "utf-8")
    before, extend = len(place.entries()), chains.extend

    def no_room_for_the_second(database, drafts, device, **more):
        if device == "paper two":
            raise OSError(errno.ENOSPC, "No space left on device")
        return extend(database, drafts, device, **more)

    with monkeypatch.context() as disk, pytest.raises(DiskFull):
        disk.setattr(chains, "extend", no_room_for_the_second)
        add_logs(place, read_logs([log]))
    assert len(place.writer().entries()) == before
    add_logs(place, read_logs([log]))
    assert len(place.writer().entries()) == before + 2


def test_a_backup_is_written_through_before_it_has_its_name(place, synced, tmp_path):
    digest = save_picture(place.folder, b"a picture", ".jpg")
    say(place, Photo(digest, "the base"))
    made = save_backup(place.folder, tmp_path / "backup").folder
    copied = [made / "pictures" / f"{digest}.jpg", made / "pictures", made / "reports", made, made.parent]
    assert [each for each in copied if each.stat().st_ino not in synced] == []


def test_the_name_of_a_new_project_is_written_through(synced, tmp_path):
    asked = NewProject(
        tmp_path, "vesker", "Vesker", UnitSystem.SI, "UTC", "us-classic", ENGINEER, (Role.RESIDENT_ENGINEER,)
    )
    create_project(asked, device="tablet new")
    assert tmp_path.stat().st_ino in synced


def test_a_copy_of_a_journal_that_somebody_keeps_locked_is_given_up(tmp_path, monkeypatch):
    monkeypatch.setattr(opening, "_MOST_TRIES", 2, raising=False)
    file = tmp_path / "locked.db"
    with sqlite3.connect(file) as made:
        made.execute("CREATE TABLE a (b)")
    holder = sqlite3.connect(file, isolation_level=None)
    holder.execute("BEGIN EXCLUSIVE")
    source = sqlite3.connect(file, timeout=0, check_same_thread=False)
    told: list[BaseException] = []

    def copy() -> None:
        try:
            copy_database(source, tmp_path / "copy.db")
        except LockedElsewhere as problem:
            told.append(problem)

    copying = threading.Thread(target=copy, daemon=True)
    copying.start()
    copying.join(10)
    assert len(told) == 1, "it would try for ever"
    for each in (source, holder, made):
        each.close()


def test_the_app_starts_where_its_own_folder_cannot_be_made(tmp_path, monkeypatch):
    from fieldapp.ui.app import _set_environment

    (tmp_path / "no folder").write_text("")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "no folder"))
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.setattr("tempfile.tempdir", None)
    with patch.dict(os.environ):  # put back afterwards, whatever is set there
        os.environ.pop("KIVY_HOME", None)
        _set_environment()
        assert Path(os.environ["KIVY_HOME"]).parent == tmp_path
    with pytest.raises(StoreProblem):  # and the screen says why nothing can be recorded
        take_new_name()


def test_a_lock_that_is_asked_for_too_often_is_said_to_be_one(tmp_path):
    problem = sqlite3.OperationalError("locking protocol")
    problem.sqlite_errorcode = 15  # SQLITE_PROTOCOL
    with pytest.raises(LockedElsewhere), in_plain_words(tmp_path):
        raise problem
