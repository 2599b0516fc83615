"""The projects that a device knows, a new one, folders to choose from, and the roster of a project."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from fieldapp.desk.device import device_folder
from fieldapp.desk.inspector import Refused
from fieldapp.desk.projects.beginning import (
    NewProject,
    change_units,
    create_project,
    time_zones,
    zone_of_the_system,
)
from fieldapp.desk.projects.folders import KEY_FILES, Found, folder_page, nearest_there
from fieldapp.desk.projects.known import (
    drop_half_typed,
    forget_project,
    half_typed,
    keep_half_typed,
    known_projects,
    remember_project,
)
from fieldapp.desk.trust.key_time import keep_key_minutes, key_minutes
from fieldapp.desk.trust.people import make_key
from fieldapp.desk.trust.revoking import revoke
from fieldapp.desk.trust.roster import key_file_bytes, person_now, put_person, roster, weakness
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.record.reading import Impossible
from fieldapp.record.words import Role, UnitSystem
from fieldapp.store.problems import AlreadyThere, NoAccess, StoreProblem
from tests.desk.conftest import SiteClock

PASSPHRASE = "seven quiet herons on the bank"
ENGINEER, INSPECTOR = "Resident engineer", "Inspector A"
START = datetime(2026, 5, 12, 9, 0, tzinfo=ZoneInfo("America/Denver"))


@pytest.fixture(autouse=True)
def _own_device(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "device"))


@pytest.fixture
def new(tmp_path: Path) -> NewProject:
    return NewProject(
        above=tmp_path / "projects",
        id="heron-bridge",
        name="Heron bridge",
        units=UnitSystem.US,
        time_zone="America/Denver",
        preset="us-classic",
        person=ENGINEER,
        roles=(Role.RESIDENT_ENGINEER,),
    )


@pytest.fixture
def made(new: NewProject) -> Path:
    return create_project(new, SiteClock(START), "tablet test")


@pytest.fixture
def at_work(made: Path) -> Iterator[Workplace]:
    clock = SiteClock(START)
    clock.made = 100
    with open_project(made, clock, "tablet test") as place:
        yield place


def test_a_new_project_holds_one_entry_by_its_first_person(new, at_work) -> None:
    (entry,) = at_work.entries()
    setup = at_work.setup()
    assert (entry.draft.project, entry.draft.author, entry.draft.shaft) == (new.id, ENGINEER, None)
    assert (setup.name, setup.units, setup.time_zone) == ("Heron bridge", UnitSystem.US, "America/Denver")
    assert setup.acceptance.id == "us-classic"
    assert [(each.name, each.roles) for each in setup.people] == [(ENGINEER, (Role.RESIDENT_ENGINEER,))]
    assert (setup.own_log_release, setup.keep_picture_positions) == (False, False)
    assert at_work.folder.name == "heron-bridge"


def test_a_new_project_may_ask_for_the_positions_of_pictures(new) -> None:
    folder = create_project(replace(new, keep_picture_positions=True), SiteClock(START), "tablet test")
    with open_project(folder, SiteClock(START), "tablet test") as place:
        assert place.setup().keep_picture_positions


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"id": "a:b"}, "id"),
        ({"id": "..."}, "id"),
        ({"id": ""}, "id"),
        ({"name": " "}, "name"),
        ({"person": ""}, "person"),
        ({"person": "x" * 65}, "person"),
        ({"time_zone": "Denver"}, "time_zone"),
        ({"preset": "none"}, "name"),
        ({"roles": (Role.INSPECTOR,)}, "roles"),
        ({"roles": ()}, "roles"),
    ],
)
def test_what_cannot_be_leaves_nothing_behind(new, change, field) -> None:
    with pytest.raises(Impossible) as problem:
        create_project(replace(new, **change))
    assert problem.value.field_name == field
    assert not new.above.exists()


def test_a_folder_that_is_there_is_left_as_it_is(new) -> None:
    (new.above / "heron-bridge").mkdir(parents=True)
    (new.above / "heron-bridge" / "plan.txt").write_text("kept", "utf-8")
    with pytest.raises(AlreadyThere):
        create_project(new)
    assert [each.name for each in new.above.iterdir()] == ["heron-bridge"]
    assert (new.above / "heron-bridge" / "plan.txt").read_text("utf-8") == "kept"


def test_a_place_that_is_a_file_is_refused_with_a_sentence(new) -> None:
    new.above.parent.mkdir(exist_ok=True)
    new.above.write_text("no folder", "utf-8")
    with pytest.raises(StoreProblem):
        create_project(new)
    assert new.above.read_text("utf-8") == "no folder"


def test_the_list_begins_with_the_project_that_was_opened_last(new, made) -> None:
    other = create_project(replace(new, id="otter", name="Otter quay"))
    clock = SiteClock(START)
    remember_project(made, clock)
    clock.at += timedelta(hours=1)
    remember_project(other, clock)
    assert [each.known.name for each in known_projects()] == ["Otter quay", "Heron bridge"]
    remember_project(made, clock)
    assert [each.known.name for each in known_projects()] == ["Heron bridge", "Otter quay"]
    assert all(each.able and not each.says for each in known_projects())
    forget_project(str(other.resolve()))
    assert [each.known.folder for each in known_projects()] == [str(made.resolve())]
    assert other.is_dir()


def test_a_lost_folder_and_a_damaged_file_are_said_with_what_is_safe(new, made) -> None:
    lost = create_project(replace(new, id="otter", name="Otter quay"))
    remember_project(made)
    remember_project(lost)
    lost.rename(lost.with_name("moved"))
    with (made / "journal.db").open("r+b") as file:
        file.write(b"\0" * 4096)
    for beside in ("journal.db-wal", "journal.db-shm"):
        (made / beside).unlink(missing_ok=True)
    gone, damaged = known_projects()
    assert (gone.able, damaged.able) == (False, False)
    assert "is not changed by that" in gone.says and "open a backup" in gone.says
    assert str(made) in damaged.says


@pytest.mark.parametrize("content", [b"", b"{", b"[1, {}]", b'{"a": 1}', b"\xff\xfe", b"[" * 60_000])
def test_a_list_that_cannot_be_read_is_an_empty_one(content) -> None:
    device_folder().mkdir(parents=True)
    (device_folder() / "projects.json").write_bytes(content)
    assert known_projects() == ()


def test_a_line_that_is_none_of_ours_is_left_out(made) -> None:
    remember_project(made)
    path = device_folder() / "projects.json"
    lines = json.loads(path.read_text("utf-8"))
    path.write_text(json.dumps([{"name": 1, "folder": 2, "opened_at": 3}, *lines]), "utf-8")
    assert [each.known.name for each in known_projects()] == ["Heron bridge"]


def test_the_zone_of_the_system_is_one_that_a_project_can_have() -> None:
    assert ZoneInfo(zone_of_the_system())
    assert {"America/Denver", "Europe/Lisbon", "UTC"} <= set(time_zones())


def test_a_folder_shows_folders_projects_and_the_files_asked_for(tmp_path, made) -> None:
    above = made.parent
    for name in ("zebra", ".hidden", "Alder"):
        (above / name).mkdir()
    for name in ("mine.p12", "mine.PFX", "notes.txt", ".secret.p12"):
        (above / name).write_bytes(b"x")
    page = folder_page(above)
    assert [(each.path.name, each.what) for each in page.rows] == [
        ("Alder", Found.FOLDER),
        ("heron-bridge", Found.PROJECT),
        ("zebra", Found.FOLDER),
    ]
    files = [each.path.name for each in folder_page(above, KEY_FILES).rows if each.what is Found.FILE]
    assert files == ["mine.p12", "mine.PFX"]
    assert (page.above, page.is_project, folder_page(made).is_project) == (tmp_path, False, True)
    assert folder_page(Path(above.anchor)).above is None


def test_a_folder_that_is_not_there_or_not_ours_gives_a_sentence(tmp_path) -> None:
    with pytest.raises(NoAccess, match="Nothing was changed"):
        folder_page(tmp_path / "gone")
    assert nearest_there(tmp_path / "gone" / "deeper") == tmp_path
    shut = tmp_path / "shut"
    shut.mkdir(mode=0o000)
    if os.geteuid() != 0:
        with pytest.raises(NoAccess):
            folder_page(shut)
    shut.chmod(0o700)


def test_people_are_put_on_the_roster_by_the_office_alone(at_work) -> None:
    put_person(at_work, INSPECTOR, (Role.INSPECTOR,), ENGINEER)
    assert [(each.name, each.roles) for each in roster(at_work)] == [
        (ENGINEER, (Role.RESIDENT_ENGINEER,)),
        (INSPECTOR, (Role.INSPECTOR,)),
    ]
    with pytest.raises(Refused, match="may not make a project set-up"):
        put_person(at_work, INSPECTOR, (Role.INSPECTOR, Role.DESIGNER), INSPECTOR)
    put_person(at_work, INSPECTOR, (Role.INSPECTOR, Role.DESIGNER), ENGINEER)
    assert person_now(at_work, INSPECTOR).roles == (Role.INSPECTOR, Role.DESIGNER)


@pytest.mark.parametrize(
    ("name", "roles", "field"),
    [
        (" spaced ", (Role.INSPECTOR,), "name"),
        ("", (Role.INSPECTOR,), "name"),
        ("x" * 65, (Role.INSPECTOR,), "name"),
        (INSPECTOR, (), "roles"),
        (ENGINEER, (Role.INSPECTOR,), "roles"),
    ],
)
def test_a_person_that_cannot_be_is_refused_at_its_field(at_work, name, roles, field) -> None:
    with pytest.raises(Impossible) as problem:
        put_person(at_work, name, roles, ENGINEER)
    assert problem.value.field_name == field
    assert len(at_work.entries()) == 1


def test_a_key_is_told_as_pinned_then_of_other_roles_then_revoked(at_work) -> None:
    assert person_now(at_work, ENGINEER).key.says == ("no key yet",)
    make_key(at_work, ENGINEER, PASSPHRASE)
    key = person_now(at_work, ENGINEER).key
    assert (key.outcome, key.here, key.holds) == ("met", True, True)
    assert key.says[0].startswith("pinned on the roster, good until 11 May 2029 09:00")
    put_person(at_work, ENGINEER, (Role.RESIDENT_ENGINEER, Role.DESIGNER), ENGINEER)
    key = person_now(at_work, ENGINEER).key
    assert (key.outcome, key.says[0]) == ("not met", "The key was made for other roles. Make a new key.")
    put_person(at_work, ENGINEER, (Role.RESIDENT_ENGINEER,), ENGINEER)
    revoke(at_work, ENGINEER, START, "tablet lost", ENGINEER)
    key = person_now(at_work, ENGINEER).key
    assert (key.says[0], key.revoked) == ("revoked since 12 May 09:00", True)


def test_a_key_that_expired_does_not_hold(at_work) -> None:
    make_key(at_work, ENGINEER, PASSPHRASE)
    at_work.clock.move(days=1200)
    key = person_now(at_work, ENGINEER).key
    assert (key.outcome, key.holds) == ("not met", False)
    assert key.says[0].startswith("expired 11 May 09:00")


def test_a_key_whose_file_is_on_another_device_is_said_so(at_work) -> None:
    made = make_key(at_work, ENGINEER, PASSPHRASE)
    made.path.unlink()
    assert person_now(at_work, ENGINEER).key.says[1] == "the key file is on another device"


def test_units_are_changed_by_the_office_and_readings_stay(at_work) -> None:
    put_person(at_work, INSPECTOR, (Role.INSPECTOR,), ENGINEER)
    with pytest.raises(Refused):
        change_units(at_work, UnitSystem.SI, INSPECTOR)
    before = tuple(at_work.entries())
    change_units(at_work, UnitSystem.SI, ENGINEER)
    assert at_work.setup().units is UnitSystem.SI
    assert tuple(at_work.entries())[:-1] == before


def test_a_half_typed_project_is_kept_on_this_device_until_it_is_made(new) -> None:
    assert half_typed() == {}
    keep_half_typed({"name": "Heron bridge", "units": "US"})
    assert half_typed() == {"name": "Heron bridge", "units": "US"}
    (device_folder() / "new-project.json").write_bytes(b"[1")
    assert half_typed() == {}
    drop_half_typed()
    drop_half_typed()
    assert half_typed() == {}


def test_how_long_a_key_stays_open_is_one_of_a_few_times(tmp_path) -> None:
    assert key_minutes() == 10
    keep_key_minutes(5)
    assert key_minutes() == 5
    with pytest.raises(Impossible):
        keep_key_minutes(500)
    (device_folder() / "key-minutes.txt").write_text("500", "utf-8")
    assert key_minutes() == 10


def test_a_key_file_that_is_too_large_or_gone_gives_a_sentence(tmp_path) -> None:
    large = tmp_path / "large.p12"
    large.write_bytes(b"x" * 70_000)
    with pytest.raises(Impossible, match="a key file"):
        key_file_bytes(large)
    with pytest.raises(NoAccess):
        key_file_bytes(tmp_path / "gone.p12")


@pytest.mark.parametrize(
    ("phrase", "says"), [("short", "too short"), ("1234567890123", "A number alone"), (PASSPHRASE, "")]
)
def test_a_weak_passphrase_is_told_as_a_sentence(phrase, says) -> None:
    assert says in weakness(phrase)
    assert bool(weakness(phrase)) == bool(says)
