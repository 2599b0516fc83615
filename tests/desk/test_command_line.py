"""The command line: exit codes, sentences instead of tracebacks, JSON for programs."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from fieldapp.cli import DONE, NOT_AS_ASKED, REFUSED, run


@pytest.fixture
def project(tmp_path: Path, logs: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "home"))
    folder = tmp_path / "by-hand"
    assert run(["add", str(folder), str(logs)]) == DONE
    return folder


def test_shafts_can_be_listed_for_people_and_for_programs(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert run(["shafts", str(project), "--as-of", "last"]) == DONE
    table = capsys.readouterr().out
    assert "P1-1" in table
    assert "base standing" in table
    assert run(["shafts", str(project), "--json", "--as-of", "last"]) == DONE
    (shaft,) = json.loads(capsys.readouterr().out)
    assert shaft["shaft"] == "P1-1"
    assert shaft["base_standing"] == "not shown"
    assert {each["outcome"] for each in shaft["findings"]} <= {"met", "not met", "not shown", "not asked"}


def test_show_says_by_its_exit_code_that_something_is_not_as_asked(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["show", str(project), "P1-1", "--as-of", "2026-05-12T09:00-06:00"]) == NOT_AS_ASKED
    assert "base standing: not shown" in capsys.readouterr().out


def test_a_report_is_written_and_named(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert run(["report", str(project), "P1-1", "--as-of", "last"]) == DONE
    path = Path(capsys.readouterr().out.strip())
    assert path.read_bytes().startswith(b"%PDF")


def test_a_sound_project_passes_its_audit_and_a_damaged_one_does_not(
    project: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["check", str(project)]) == DONE
    journal = project / "journal.db"
    content = bytearray(journal.read_bytes())
    place = content.index(b"first_contact")
    content[place + 30] ^= 1
    journal.write_bytes(content)
    assert run(["check", str(project), "--json"]) in {NOT_AS_ASKED, REFUSED}


def test_a_backup_is_a_whole_project(project: Path, tmp_path: Path) -> None:
    target = tmp_path / "copy"
    assert run(["backup", str(project), str(target)]) == DONE
    assert run(["check", str(target)]) == DONE
    assert run(["backup", str(project), str(target)]) == REFUSED


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["shafts", "nowhere"], "not a project folder"),
        (["show", "{project}", "P9-9"], "There is no shaft P9-9"),
        (["show", "{project}", "P1-1", "--as-of", "noon"], "as-of"),
        (["add", "{project}", "missing.log"], "missing.log"),
        (["add", "nowhere-yet", "missing.log"], "missing.log"),
    ],
)
def test_a_mistake_gets_a_sentence_and_no_traceback(
    project: Path, words: list[str], said: str, capsys: pytest.CaptureFixture[str], tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    assert run([each.format(project=project) for each in words]) == REFUSED
    caught = capsys.readouterr()
    assert said in caught.err
    assert "Traceback" not in caught.err
    assert not (tmp_path / "nowhere-yet").exists()


def test_no_command_shows_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert run([]) == DONE
    assert "licensed engineers decide" in capsys.readouterr().out
