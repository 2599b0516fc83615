"""From an empty device to a project: made, half typed, found, lost, damaged, left for another."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from fieldapp.desk.projects.acceptance_editing import keys_of
from fieldapp.record.words import Role
from fieldapp.ui.screens.setup_rows import SetupRow
from fieldapp.ui.words import people as people_words
from fieldapp.ui.words import projects as words
from fieldapp.ui.words import travel
from tests.screens.journey import begin
from tests.screens.office_journey import (
    ENGINEER,
    PASSPHRASE,
    box,
    choose,
    holds,
    leave_as_killed,
    make_project,
    person,
    press_next,
    rows,
    tap_row,
    type_secret,
    write,
)


@pytest.mark.long_walk  # the first log walks the same way, and on
def test_from_an_empty_device_to_a_key_and_the_board(opens):
    on = opens()
    assert words.NONE_YET in on.texts()
    folder = make_project(on)
    assert on.walk.current == "setup"
    assert (folder.name, on.session.person, on.walk.trail) == ("heron-bridge", ENGINEER, ["board", "setup"])
    setup = holds(on)
    assert (setup.name, setup.own_log_release) == ("Heron bridge", False)
    assert setup.people[0].roles == (Role.RESIDENT_ENGINEER,)

    tap_row(on, words.SET_ROW)
    tap_row(on, "Bored piles, EN 1536 form")
    assert on.walk.current == "acceptance set"
    assert on.screen.rail.row("base").shown == "not shown"
    tap_row(on, "Most sediment at any point")
    on.keys("5", "0")
    write(on, "source", "contract, section 31")
    press_next(on)
    assert on.walk.current == "acceptance set"
    assert rows(on)["Most sediment at any point"].value == "50 mm"
    press_next(on)
    assert "comes in" in on.texts() and "50 mm" in on.texts()
    press_next(on)
    assert on.walk.current == "setup"
    number = keys_of(holds(on).acceptance)["max_thickness_anywhere"]
    assert (number.value, number.unit, number.verified_by) == ("50", "mm", ENGINEER)
    assert (number.source, number.confidence) == ("contract, section 31", "contract")

    tap_row(on, words.PEOPLE_ROW)
    press_next(on)
    write(on, "name", "I. Wren")
    choose(on, "roles", "inspector")
    press_next(on)
    assert on.walk.current == "people"
    assert rows(on)["I. Wren"].shown == "not shown"
    tap_row(on, "I. Wren")
    tap_row(on, people_words.MAKE_KEY)
    type_secret(on, new=PASSPHRASE, again=PASSPHRASE)
    press_next(on)
    on.wait()
    assert on.walk.current == "person page"
    assert people_words.MADE.format(name="I. Wren") in on.texts()
    assert person(on, "I. Wren").key.holds
    assert (folder / "keys" / "i.-wren.p12").exists()
    on.press()
    on.press()
    press_next(on)
    assert (on.walk.current, on.session.trouble) == ("board", "")


def test_a_half_typed_project_is_there_after_the_app_was_killed(opens):
    on = opens()
    press_next(on)
    write(on, "name", "Heron bridge")
    choose(on, "units", "SI")
    box(on, "person")
    on.hand.until((Path.home().parent / "device" / "basenote" / "new-project.json").exists)
    leave_as_killed(on)
    on = opens()
    press_next(on)
    assert on.middle.fields["name"].value == "Heron bridge"
    assert on.middle.fields["id"].value == "heron-bridge"
    assert on.middle.fields["units"].value == words.UNITS_SI


def test_a_first_person_without_an_office_role_is_refused_in_place(opens):
    on = opens()
    press_next(on)
    write(on, "name", "Heron bridge")
    choose(on, "units", "US")
    choose(on, "preset", "us-classic")
    write(on, "person", ENGINEER)
    choose(on, "roles", "inspector")
    press_next(on)
    on.wait()
    assert on.walk.current == "new project"
    assert on.middle.fields["roles"].shown == "not met"
    assert "they set up a project" in on.middle.fields["roles"].says
    assert not (Path.home() / "Basenote").exists()


def test_a_time_zone_is_found_by_a_part_of_it_and_another_folder_is_taken(opens, tmp_path):
    on = opens()
    press_next(on)
    write(on, "name", "Heron bridge")
    write(on, "time_zone", "denv")
    on.tap(on.middle.tools.suggested.rows["America/Denver"])
    assert on.middle.fields["time_zone"].value == "America/Denver"
    (Path.home() / "work").mkdir()
    on.tap(on.middle.second)
    assert on.walk.current == "folder"
    tap_row(on, "work")
    press_next(on)
    assert on.walk.current == "new project"
    choose(on, "units", "US")
    choose(on, "preset", "us-classic")
    write(on, "person", ENGINEER)
    choose(on, "roles", "designer")
    press_next(on)
    on.wait()
    assert on.session.folder == Path.home() / "work" / "heron-bridge"
    assert holds(on).time_zone == "America/Denver"


def test_known_projects_open_and_what_cannot_be_opened_says_what_is_safe(opens, folder, tmp_path):
    kept = Path(shutil.copytree(folder, tmp_path / "lost"))
    on = opens()
    for each in (kept, folder):
        on.screen._open(each)
        on.wait()
        on.walk.go("projects")
        on.wait()
    listed = [each.detail for each in on.screen.walk() if isinstance(each, SetupRow) and each.detail]
    assert listed == [str(folder), str(kept)]
    on.session.turn_to(folder)
    on.wait()
    shutil.rmtree(kept)
    on.walk.go("projects")
    on.wait()
    lost = next(each for each in on.screen.walk() if isinstance(each, SetupRow) and each.shown == "not met")
    assert "is not changed by that" in lost.says
    on.tap(lost)
    on.tap(on.middle.ids.foot.question.ids.yes)
    assert list(rows(on)) == ["Larkwater crossing", travel.IN, words.SETTINGS_ROW]
    tap_row(on, "Larkwater crossing")
    assert (on.walk.current, on.session.folder) == ("board", folder)


def test_a_damaged_project_gives_a_sentence_in_the_list(opens, folder):
    on = opens()
    on.screen._open(folder)
    on.wait()
    leave_as_killed(on)
    for beside in ("journal.db-wal", "journal.db-shm"):
        (folder / beside).unlink(missing_ok=True)
    with (folder / "journal.db").open("r+b") as file:
        file.write(b"\0" * 4096)
    on = opens()
    row = next(each for each in on.screen.walk() if isinstance(each, SetupRow))
    assert row.shown == "not met"
    assert str(folder) in row.says


def test_another_project_is_found_by_its_folder_and_none_of_the_old_one_stays(opens, folder):
    on = opens(begin(folder.parent / "vesker", "vesker"))
    on.session.person = "Inspector C"
    on.walk.go("projects")
    on.wait()
    on.tap(on.middle.second)
    assert on.walk.current == "folder"
    tap_row(on, "Up to")
    tap_row(on, "larkwater")
    on.wait()
    assert (on.walk.current, on.walk.trail, on.session.person) == ("board", ["board"], "")
    assert "Larkwater crossing" in on.texts()
    assert "B1" not in on.texts()


def test_the_way_leads_from_the_person_to_the_project_and_a_shaft_is_scheduled(opens, folder):
    on = opens(folder)
    on.session.person = "Designer"
    on.walk.go("person")
    on.wait()
    on.tap_text(words.OFFICE)
    assert on.walk.current == "setup"
    tap_row(on, words.SCHEDULE_ROW)
    assert on.walk.current == "entry"
    for name, text in (("shaft", "P9-1"), ("location", "pier 9")):
        write(on, name, text)
    for name, word in (("method", "wet"), ("fluid", "mineral"), ("design_basis", "both")):
        box(on, name)
        on.tap(on.middle.tools.choices.rows[word])
    for name, number in (("diameter", "6"), ("reference_elevation", "5032"), ("tip_elevation", "5002")):
        box(on, name)
        on.keys(*number)
    on.tap_next()
    assert on.walk.current == "setup"
    assert rows(on)[words.SCHEDULE_ROW].says == "11 shafts are scheduled"
    on.walk.go("board")
    on.wait()
    on.tap_text("All")
    assert "P9-1" in {each["shaft"] for each in on.middle.ids.table.data}
