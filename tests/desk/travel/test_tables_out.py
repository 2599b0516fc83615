"""A project as a folder of tables, valid by the published rules, and its journal back from there."""

from __future__ import annotations

import json
import shutil
import sqlite3
from pathlib import Path

import pytest

from fieldapp.desk.office import all_shafts, begin_project
from fieldapp.desk.travel.tables import begin_with_journal_file, take_journal_file, write_tables
from fieldapp.desk.typed_logs import add_logs, read_logs
from fieldapp.desk.workplace import open_project
from fieldapp.desk.worth.worth import base_worth
from fieldapp.record.chain import chains_of
from fieldapp.record.kinds import KINDS
from fieldapp.record.reading import Impossible
from fieldapp.store.problems import AlreadyThere, BrokenLink, DiskFull
from tests.desk.travel.test_interrupted import failing, no_room
from tests.exchange.tables.package_rules import faults

SAMPLES = Path(__file__).parents[3] / "sample_logs" / "larkwater"


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    """A sample shaft that was released and judged, and the load test shaft with its attached curve."""
    folder = tmp_path_factory.mktemp("tables") / "larkwater"
    begin_project(folder)
    with open_project(folder, device="tablet") as place:
        add_logs(place, read_logs([SAMPLES / f"{each}.log" for each in ("project", "P1-1", "T-1")]))
        write_tables(place, folder.parent / "out", workbook=True)
    return folder


@pytest.fixture
def out(whole):
    return whole.parent / "out"


def test_the_folder_is_a_valid_data_package(out):
    assert faults(out) == []


def test_there_is_a_file_for_every_kind_and_every_entry_a_row(whole, out):
    package = json.loads((out / "datapackage.json").read_text("utf-8"))
    names = {each["name"] for each in package["resources"]}
    assert {kind.replace(" ", "_").replace("-", "_") for kind in KINDS} <= names
    told = json.loads((out / "tables.json").read_text("utf-8"))
    with open_project(whole, device="tablet") as place:
        entries = {each.id for each in place.entries()}
    kinds = [kind.replace(" ", "_").replace("-", "_") for kind in KINDS]
    assert {row["entry"] for kind in kinds for row in told[kind]} == entries
    assert {path.stem for path in out.glob("*.csv")} == names


def test_findings_and_credits_are_those_that_the_desk_gives(whole, out):
    told = json.loads((out / "tables.json").read_text("utf-8"))
    with open_project(whole, device="tablet") as place:
        for now in all_shafts(place):
            rows = [each for each in told["findings"] if each["shaft"] == now.shaft.id]
            assert [(each["requirement"], each["outcome"]) for each in rows] == [
                (each.requirement, str(each.outcome)) for each in now.findings
            ]
            (shaft,) = (each for each in told["shafts"] if each["shaft"] == now.shaft.id)
            assert shaft["standing"] == str(now.standing.standing)
            assert shaft["record_digest"] == now.shaft.digest
        worth = base_worth(place, "P1-1", None)
        assert worth.credit is not None
        at = [each for each in told["credits"] if each["shaft"] == "P1-1"]
        assert [each["credit"] for each in at] == [worth.credit.service.credit, worth.credit.strength.credit]
        assert all(each["credit"] <= 1 for each in told["credits"] if each["credit"] is not None)


def test_the_journal_file_gives_the_same_journal_byte_for_byte(whole, out, tmp_path):
    made = begin_with_journal_file(tmp_path / "again", out / "journal.jsonl")
    with open_project(whole, device="tablet") as place, open_project(tmp_path / "again") as again:
        assert [each.sealed for each in again.entries()] == [each.sealed for each in place.entries()]
        assert made.new == len(place.entries())
        write_tables(again, tmp_path / "out again")
        for device, chain in chains_of(again.entries()).items():
            assert [each.device for each in chain] == [device] * len(chain)
    for name in ("journal.jsonl", "tables.json", "findings.csv", "sounding_round_points.csv"):
        assert (tmp_path / "out again" / name).read_bytes() == (out / name).read_bytes()


def test_the_journal_file_comes_again_without_harm_and_a_forged_one_not_at_all(whole, out, tmp_path):
    folder = tmp_path / "again"
    begin_with_journal_file(folder, out / "journal.jsonl")
    with open_project(folder) as place:
        assert take_journal_file(place, out / "journal.jsonl").new == 0
    lines = (out / "journal.jsonl").read_bytes().splitlines(keepends=True)
    for content, problem in (
        (b"".join(lines)[:-1], Impossible),
        (b"".join(lines[:3]) + lines[3].replace(b'"seq":4', b'"seq":5', 1), Exception),
        (lines[0].replace(b"Larkwater", b"Larkwasser", 1) + lines[1], BrokenLink),
        (b"x" * 2_000_000, Impossible),
    ):
        (tmp_path / "forged.jsonl").write_bytes(content)
        with pytest.raises(problem):
            begin_with_journal_file(tmp_path / "forged", tmp_path / "forged.jsonl")
        assert not (tmp_path / "forged").exists()


def test_a_folder_that_is_there_is_left_and_a_full_disk_leaves_none(whole, tmp_path, monkeypatch):
    (tmp_path / "out").mkdir()
    with open_project(whole, device="tablet") as place:
        with pytest.raises(AlreadyThere):
            write_tables(place, tmp_path / "out")
        for number in (1, 5, 40):
            with failing(monkeypatch, number, no_room), pytest.raises(DiskFull):
                write_tables(place, tmp_path / "full")
            assert [each.name for each in tmp_path.iterdir() if "full" in each.name] == []


def test_any_sqlite_browser_reads_the_projects_file_and_is_told_what_is_in_it(whole, tmp_path):
    """By the standard library's own driver, on a copy: tables by name, each explained in ``about``."""
    shutil.copy(whole / "journal.db", tmp_path / "copy.db")
    with sqlite3.connect(tmp_path / "copy.db") as browser:
        tables = {name for (name,) in browser.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        about = dict(browser.execute("SELECT name, value FROM about"))
        assert tables - set(about) - {"about"} <= {"entries", "devices", "forms"}
        assert browser.execute("SELECT standing FROM shafts WHERE id = 'P1-1'").fetchone()
        assert browser.execute("SELECT count(*) FROM entries").fetchone()[0] > 20
    browser.close()
