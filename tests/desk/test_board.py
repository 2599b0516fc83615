"""The board on the sample projects: stages, clocks as moments, and a board that equals its rebuild."""

from __future__ import annotations

import subprocess
import sys
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from fieldapp.criteria.finding import Group, Work
from fieldapp.criteria.findings import findings
from fieldapp.criteria.release_limit import _TIMED, VALID_FOR
from fieldapp.desk.board import BoardRow, board
from fieldapp.desk.looking import look_at
from fieldapp.desk.office import begin_project, moment_of
from fieldapp.desk.projector import Rows
from fieldapp.desk.shaft.clocks import OF_REQUIREMENT, SOUND_AGAIN_BY, clocks_of
from fieldapp.desk.shaft.stages import KINDS, OF_WORK, STAGES, stage_of_finding, stage_of_kind
from fieldapp.desk.shaft.view import shaft_view
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import Workplace, open_project
from fieldapp.record.kinds import KINDS as ALL_KINDS
from fieldapp.record.kinds import PROJECT_KINDS
from fieldapp.store.checking import check_store
from fieldapp.store.read_tables import CLOCKS

SAMPLES = Path(__file__).parents[2] / "sample_logs"
STATES = {"met", "not met", "not shown", "not asked", "due"}


@pytest.fixture(scope="module", params=["larkwater", "vesker"])
def project(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("board") / request.param
    begin_project(folder)
    with open_project(folder, device="tablet test") as place:
        add_logs(place, read_logs(sorted((SAMPLES / request.param).glob("*.log"))))
    return folder


@pytest.fixture(scope="module")
def larkwater(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("clocks") / "larkwater"
    begin_project(folder)
    names = ("project", "P1-4", "P2-1", "P2-3", "P1-1")
    with open_project(folder, device="tablet test") as place:
        add_logs(place, read_logs([SAMPLES / "larkwater" / f"{name}.log" for name in names]))
    return folder


def row_of(folder: Path, shaft: str) -> BoardRow:
    return next(each for each in board(folder).rows if each.shaft == shaft)


def test_the_board_after_many_appends_equals_a_rebuild(project):
    found = {each.what: each for each in check_store(project, Rows())}
    assert [each for each in found.values() if not each.ok] == []
    assert any("read tables" in name for name in found)


def test_the_board_says_of_every_shaft_what_its_screen_says(project):
    with open_project(project, device="tablet test") as place:
        for row in board(project).rows:
            view = shaft_view(place, row.shaft, None)
            assert (row.standing, row.next_step) == (view.standing, view.next_step)
            assert [(name, datetime.fromisoformat(at)) for name, at in sorted(row.clocks)] == sorted(
                view.clocks
            )
            assert row.stage in {view.next_stage, "filed"}
            assert {each.state for each in view.stages} <= STATES


def test_clocks_are_the_moments_at_which_the_requirements_break(larkwater):
    clocks = {name: datetime.fromisoformat(at) for name, at in row_of(larkwater, "P2-1").clocks}
    with open_project(larkwater, device="tablet test") as place:
        for name, moment in clocks.items():
            names = {each for each, column in OF_REQUIREMENT.items() if column == name}
            at = {each.requirement: str(each.outcome) for each in found_at(place, "P2-1", moment)}
            after = {
                each.requirement: str(each.outcome)
                for each in found_at(place, "P2-1", moment.replace(microsecond=0), 1)
            }
            assert any(at[each] == "met" != after[each] for each in names & set(at)), name


def found_at(place: Workplace, shaft: str, moment: datetime, more_s: int = 0):
    return findings(place.record(), place.shaft(shaft), moment + timedelta(seconds=more_s))


def test_the_next_sounding_is_due_as_long_after_the_round_as_the_set_asks(larkwater):
    # P2-1 was sounded on 18 May at 11:20; max_hours_inspect_to_concrete of the preset is 4 h: 15:20
    clocks = dict(row_of(larkwater, "P2-1").clocks)
    assert clocks["sound_by"].startswith("2026-05-18T15:20:00")


def test_a_forecast_sets_a_clock_only_while_the_base_meets_its_requirement(larkwater):
    assert SOUND_AGAIN_BY in dict(row_of(larkwater, "P2-3").clocks)  # sounded clean
    assert SOUND_AGAIN_BY not in dict(row_of(larkwater, "P1-4").clocks)  # over its limits as it is


def test_once_concrete_has_started_no_clock_runs(larkwater):
    row = row_of(larkwater, "P1-1")
    assert row.concrete_in
    assert row.concrete_at.startswith("2026-05-12T13:34")
    assert row.clocks == ()
    assert row.stage == "filed"  # the designer has decided


def test_every_rule_that_time_alone_breaks_has_its_clock(larkwater):
    with open_project(larkwater, device="tablet test") as place:
        look = look_at(place, "P2-1", moment_of(place, "P2-1"))
        for rule, _ in _TIMED:
            found = rule(look)
            for each in found if isinstance(found, tuple) else (found,):
                assert each.requirement in OF_REQUIREMENT or each.requirement == VALID_FOR.replace("_", " ")
        assert set(clocks_of(look)) <= set(CLOCKS)
    assert set(OF_REQUIREMENT.values()) | {SOUND_AGAIN_BY} == set(CLOCKS)


def test_every_kind_of_a_shaft_belongs_to_one_stage():
    of_shaft = set(ALL_KINDS) - PROJECT_KINDS - {"amend", "strike"}
    listed = [kind for kinds in KINDS.values() for kind in kinds]
    assert sorted(listed) == sorted(of_shaft)
    assert set(KINDS) == set(STAGES)
    assert stage_of_kind("sounding round") == "Base"


def test_every_work_and_every_group_has_a_stage_but_what_the_office_enters():
    assert set(Work) - set(OF_WORK) == {Work.ENTER_LIMIT}  # shown in the stage of its requirement
    assert {group for groups in STAGES.values() for group in groups} == set(Group)
    assert set(OF_WORK.values()) <= set(STAGES)


def test_every_finding_stands_in_one_stage(project):
    with open_project(project, device="tablet test") as place:
        for shaft in place.record().shafts:
            view = shaft_view(place, shaft, None)
            shown = [each.requirement for stage in view.stages for each in stage.findings]
            assert len(shown) == len(set(shown))
            assert all(
                stage_of_finding(each) == stage.name for stage in view.stages for each in stage.findings
            )
            assert {each.requirement for each in view.reasons} <= set(shown)


def test_reading_the_board_loads_nothing_heavy(larkwater):
    code = (
        "import sys; from pathlib import Path; from fieldapp.desk.board import board; "
        f"assert board(Path({str(larkwater)!r})).rows; "
        "print([name for name in ('numpy', 'sqlite_utils', 'reportlab', 'pyhanko', 'fieldapp.criteria') "
        "if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
