"""Where somebody new would stand still, the screen has a way on: by touch, on real projects."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from fieldapp.desk.office import begin_project
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project, read_project
from fieldapp.record.cleaning import SoundingRound
from fieldapp.ui.words import projects as words
from tests.screens.decision_journey import INSPECTOR, ZONE
from tests.screens.journey import DEVICE, SteppedClock
from tests.screens.journeys.by_touch import board_row, cut_project, hand_over, to_shaft
from tests.screens.journeys.heron import DAY, TO_THE_BASE
from tests.screens.journeys.heron import INSPECTOR as WREN
from tests.screens.journeys.heron import SHAFT as HERON
from tests.screens.journeys.inspecting import back, clock_at, fill, record, sound, tap_row

# P1-1 of the sample, cut before the cage is set: sounded after its pass, two sets of the fluid within limits.
UNCAGED = ("P1-1", 264, datetime(2026, 5, 12, 12, 30, tzinfo=ZONE))
SHAFT = UNCAGED[0]
# The same, cut after concrete started.
POURING = ("P1-1", 320, datetime(2026, 5, 12, 14, 0, tzinfo=ZONE))
ROUND = dict.fromkeys(("C", *(f"R{number}" for number in range(1, 9))), ("30' 0 3/4\"", "30' 1\""))


def test_the_cage_comes_before_a_round_that_would_only_be_one_more_after_the_pass(opens, tmp_path):
    folder: Path = tmp_path / "project"
    cut_project(folder, UNCAGED)
    on = opens(folder, SteppedClock(UNCAGED[2]))
    hand_over(on, INSPECTOR)
    to_shaft(on, SHAFT, "Base")
    asked = "No round after cage and before concrete since the last cleaning."
    assert asked in [each.text for each in on.strip.reasons]
    assert on.strip.next_text == "Next: record the cage as set"
    assert on.strip.second_text == "Sound the base"  # who wants to sound can
    on.tap_next()
    assert on.walk.current == "entry"
    fill(on, what="cage set", text="four access tubes")
    record(on)
    to_shaft(on, SHAFT, "Base")
    assert (on.strip.next_text, on.strip.second_text) == ("Next: sound the base", "")
    on.tap_next()
    assert on.screen.sides.bar.subtitle.startswith("Round 2, after cage")
    sound(on, ROUND)
    record(on)
    on.leave()
    with read_project(folder) as place:
        assert [str(each.values.why) for each in place.shaft(SHAFT).of(SoundingRound)][-1] == "after cage"


def test_the_reason_about_the_rounds_leads_to_the_cage_too(opens, tmp_path):
    folder: Path = tmp_path / "project"
    cut_project(folder, UNCAGED)
    on = opens(folder, SteppedClock(UNCAGED[2]))
    to_shaft(on, SHAFT, "Base")
    on.screen.onward.reason("sounding rounds")
    on.wait()
    assert (on.walk.current, on.screen.hand.wanted.kind) == ("entry", "event")


def test_once_concrete_has_started_the_next_thing_is_to_record_that_it_finished(opens, tmp_path):
    folder: Path = tmp_path / "project"
    cut_project(folder, POURING)
    on = opens(folder, SteppedClock(POURING[2]))
    assert board_row(on, SHAFT).next_text == "Record that concrete finished"
    hand_over(on, INSPECTOR)
    to_shaft(on, SHAFT, "Base")
    assert on.strip.next_text == "Next: record that concrete finished"
    on.tap_next()
    assert (on.walk.current, on.screen.hand.wanted.kind) == ("entry", "concrete finished")
    fill(on, text="placed in one go")
    record(on)
    to_shaft(on, SHAFT, "Base")
    assert on.strip.next_text.startswith("Designer: ")


def test_a_device_without_a_project_has_its_settings(opens):
    """Whoever reads no English chooses the language before anything else."""
    on = opens(None, clock_at("2026-06-02", "06:30"))
    tap_row(on, words.SETTINGS_ROW)
    assert on.walk.current == "settings"
    fill(on, language="es")
    assert "Ajustes" in on.texts()
    back(on)
    assert on.walk.current == "projects"
    assert "Proyecto nuevo" in on.texts()


def test_the_next_thing_begins_to_write_where_its_box_is_in_hand_already(opens):
    on = opens(None, clock_at("2026-06-02", "06:30"))
    on.tap(on.middle.next)
    assert on.middle.next.text == "Next: name of the project"
    on.tap(on.middle.next)
    assert on.middle.tools.text_field.typing.focus
    on.middle.tools.text_field.typing.insert_text("Heron bridge")
    on.wait()
    assert on.middle.next.text == "Next: units shown"  # the short name follows the name


def test_the_designer_adds_the_numbers_that_a_credit_wants_from_where_they_are_wanted(opens, tmp_path):
    folder, log = tmp_path / "heron-bridge", tmp_path / "heron.log"
    inspector = f"  person          {WREN}    inspector\n"
    assert inspector in TO_THE_BASE
    with_designer = TO_THE_BASE.replace(inspector, f"{inspector}  person          D. Finch   designer\n")
    log.write_text(with_designer, "utf-8")
    begin_project(folder)
    with open_project(folder, clock_at(DAY, "09:25"), DEVICE) as place:
        add_logs(place, read_logs([log]))
    on = opens(folder, clock_at(DAY, "09:30"))
    hand_over(on, WREN)
    to_shaft(on, HERON, "Credit")
    assert on.strip.second_text == ""  # these are the designer's to give
    hand_over(on, "D. Finch")
    to_shaft(on, HERON, "Credit")
    assert "amend it to add them" in on.texts()
    assert on.strip.second_text == "Add design numbers"
    on.tap_second()
    assert on.walk.current == "entry"
    fill(on, nominal_base="210 ksf", rock_modulus="90 ksi", why="left out")
    record(on)
    to_shaft(on, HERON, "Credit")
    assert (on.screen.page.to_amend, on.strip.second_text) == ("", "")
    assert "amend it to add them" not in on.texts()
